"""Addresses of the season, its days, runs and visits."""

import datetime as dt

from django.urls import path, register_converter

from scheduling.views import (
    answer,
    branches,
    day,
    offers,
    plans,
    runs,
    season,
    technicians,
    visits,
    watch,
    why,
)


class DayConverter:
    """A day in an address: 2027-04-12."""

    regex = r"\d{4}-\d{2}-\d{2}"

    def to_python(self, value: str) -> dt.date:
        return dt.date.fromisoformat(value)

    def to_url(self, value: dt.date) -> str:
        return value.isoformat()


register_converter(DayConverter, "day")

app_name = "scheduling"
urlpatterns = [
    path("", season.newest, name="newest"),
    path("new/", season.new, name="new"),
    path("branches/", branches.show, name="branches"),
    path("branches/plan/", branches.plan, name="branches-plan"),
    path("branches/cancel/", branches.cancel, name="branches-cancel"),
    path("<int:pk>/", season.show, name="season"),
    path("<int:pk>/plan/", season.plan, name="plan"),
    path("<int:pk>/gather/", season.gather, name="gather"),
    path("<int:pk>/plans/", plans.room, name="plans"),
    path("<int:pk>/plans/compare/", plans.compare, name="compare"),
    path("<int:pk>/plans/what-if/", plans.try_change, name="what-if"),
    path("run/<int:pk>/", runs.show, name="run"),
    path("run/<int:pk>/cancel/", runs.cancel, name="run-cancel"),
    path("run/<int:pk>/finish/", runs.finish, name="run-finish"),
    path("run/<int:pk>/undo/", plans.undo, name="run-undo"),
    path("run/<int:pk>/apply/", runs.apply, name="run-apply"),
    path("run/<int:pk>/discard/", runs.discard, name="run-discard"),
    path("day/", day.today, name="today"),
    path("day/<day:day>/", day.show, name="day"),
    path("offers/", offers.show, name="offers"),
    path("offers/make/", offers.make, name="offers-make"),
    path("offers/short-notice/", offers.short_notice, name="short-notice"),
    path("offers/short-notice/<int:pk>/", offers.fill, name="fill"),
    path("offers/calls/", offers.calls, name="calls"),
    path("offers/calls/<int:pk>/", offers.call, name="call"),
    path("answer/<str:token>/", answer.show, name="answer"),
    path("answer/<str:token>/accept/", answer.accept, name="answer-accept"),
    path("answer/<str:token>/keep/", answer.keep, name="answer-keep"),
    path("answer/<str:token>/confirm/", answer.confirm, name="answer-confirm"),
    path("answer/<str:token>/call/", answer.call, name="answer-call"),
    path("answer/<str:token>/short-notice/", answer.short_notice, name="answer-short-notice"),
    path("feed/<str:token>.ics", answer.feed, name="feed"),
    path("watch/", watch.show, name="watch"),
    path("watch/look/", watch.look, name="watch-look"),
    path("watch/agree/", watch.agree_to_all, name="watch-agree-all"),
    path("watch/<int:pk>/agree/", watch.agree, name="watch-agree"),
    path("watch/<int:pk>/refuse/", watch.refuse, name="watch-refuse"),
    path("technicians/", technicians.listing, name="technicians"),
    path("technicians/new/", technicians.edit, name="technician-new"),
    path("technicians/<int:pk>/", technicians.edit, name="technician"),
    path("technicians/<int:pk>/feed/", technicians.renew_feed, name="renew-feed"),
    path("technicians/<int:pk>/off/", technicians.days_off, name="days-off"),
    path("technicians/<int:pk>/on/<int:absence>/", technicians.days_on, name="days-on"),
    path("visit/<int:pk>/", visits.show, name="visit"),
    path("visit/<int:pk>/why/", why.show, name="visit-why"),
    path("visit/<int:pk>/place/", visits.place, name="visit-place"),
    path("visit/<int:pk>/hold/", visits.hold, name="visit-hold"),
    path("visit/<int:pk>/waive/", visits.waive, name="visit-waive"),
    path("visit/<int:pk>/unplace/", visits.unplace, name="visit-unplace"),
]
