from django.contrib.auth.decorators import login_not_required
from django.contrib.auth.views import LogoutView
from django.urls import path
from django.views.generic import RedirectView

from front.views import (
    files,
    health,
    history,
    interface,
    keys,
    personal,
    sign_in,
    staff,
    today,
)

app_name = "front"
urlpatterns = [
    path("", today.today, name="today"),
    path("sign-in/", sign_in.SignIn.as_view(), name="sign-in"),
    # Django's administration has no door of its own: it would open without the second step.
    path(
        "admin/login/",
        login_not_required(RedirectView.as_view(pattern_name="front:sign-in", query_string=True)),
        name="admin-sign-in",
    ),
    path("sign-out/", LogoutView.as_view(), name="sign-out"),
    path("branches/", today.branches, name="branches"),
    # The search box of every page's head looks through the homes.
    path(
        "search/",
        RedirectView.as_view(pattern_name="customers:list", query_string=True),
        name="search",
    ),
    path("files/", files.files, name="files"),
    path("files/<slug:name>.<slug:ending>", files.list_file, name="list-file"),
    path("files/company/", files.company, name="company"),
    path("files/keys/", keys.keys, name="keys"),
    path("files/keys/<int:pk>/revoke/", keys.revoke, name="key-revoke"),
    path("interface/openapi.json", interface.openapi, name="openapi"),
    path("interface/v1/revenue", interface.revenue, name="interface-revenue"),
    path("interface/v1/<str:name>", interface.rows, name="interface-rows"),
    path("interface/v1/<str:name>/<str:pk>", interface.one, name="interface-one"),
    path("health/", health.health, name="health"),
    path("ready/", health.ready, name="ready"),
    path("metrics/", health.metrics, name="metrics"),
    path("second-step/", sign_in.second_step, name="second-step"),
    path("second-step/new/", sign_in.set_up_second_step, name="set-up-second-step"),
    path("history/<int:pk>/", history.history, name="history"),
    path("personal/<int:pk>/", personal.show, name="personal"),
    path("personal/<int:pk>/copy/", personal.copy, name="personal-copy"),
    path("personal/<int:pk>/take-out/", personal.take_out, name="personal-take-out"),
    path("account/", sign_in.account, name="account"),
    path("account/password/", sign_in.ChangePassword.as_view(), name="change-password"),
    path("account/end/<int:number>/", sign_in.end, name="end-session"),
    path("staff/", staff.listing, name="staff"),
    path("staff/new/", staff.new, name="invite"),
    path("staff/<int:pk>/<str:what>/", staff.change, name="staff-change"),
    path(
        "choose-password/<uidb64>/<token>/", staff.ChoosePassword.as_view(), name="choose-password"
    ),
]
