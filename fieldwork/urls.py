"""Addresses of the technician's day, and of what the office sees of it.

A `day` in an address is scheduling.urls.DayConverter.
"""

from django.urls import path, re_path

import scheduling.urls  # noqa: F401  (registers the day in an address)
from fieldwork.views import (
    check_lists,
    day,
    events,
    follow_up,
    home_work,
    office,
    pictures,
    report,
    sheet,
    visit,
)

app_name = "fieldwork"
urlpatterns = [
    path("", day.today, name="my-day"),
    path("events/", events.events, name="events"),
    path("pictures/", events.picture, name="pictures"),
    path("sw.js", day.worker, name="worker"),
    path("manifest.webmanifest", day.manifest, name="manifest"),
    path("offline/", day.offline, name="offline"),
    path("photo/<int:pk>/", pictures.photo, name="photo"),
    path("signature/<int:pk>/", pictures.signature, name="signature"),
    path("home/<int:pk>/", home_work.show, name="home-work"),
    path("follow-up/", follow_up.show, name="follow-up"),
    path("follow-up/<int:pk>/", follow_up.settle, name="settle-follow-up"),
    path("report/<int:pk>/", report.show, name="report"),
    path("report/<int:pk>/pdf/", report.pdf, name="report-pdf"),
    path("report/<int:pk>/send/", report.send, name="report-send"),
    path("report/<int:pk>/end-link/", report.end_link, name="report-end-link"),
    path("report/of/<str:token>/", report.customer, name="customer-report"),
    path("report/of/<str:token>/pdf/", report.customer_pdf, name="customer-report-pdf"),
    path("office/conflicts/", office.conflicts, name="conflicts"),
    re_path(
        r"^office/conflicts/(?P<pk>\d{1,18})/(?P<act>take|leave)/$", office.settle, name="settle"
    ),
    path("office/check-lists/", check_lists.listing, name="check-lists"),
    path("office/check-lists/<str:kind>/", check_lists.edit, name="check-list"),
    path("<day:day>/", day.other_day, name="other-day"),
    path("<day:day>/sheet/", sheet.show, name="sheet"),
    path("<day:day>/sheet/pdf/", sheet.pdf, name="sheet-pdf"),
    path("<day:day>/visit/<int:pk>/", visit.show, name="visit"),
    path("<day:day>/visit/<int:pk>/verdicts/", visit.verdicts, name="verdicts"),
    path("<day:day>/visit/<int:pk>/stamp/", day.stamp, name="stamp"),
]
