"""The work at a home over the years, and what to bring next time."""

import datetime as dt

import pytest
from django.urls import reverse

from customers.models import Home
from fieldwork.models import Recommendation, Record
from fieldwork.trends import work_at
from tests import cast, factories
from tests.fieldwork import day_of_checks as story
from tests.fieldwork.reported import finished

pytestmark = pytest.mark.django_db
WEAK = {
    "key": "capacitor_compressor", "title": "Capacitor, compressor side, is wearing out",
    "sentence": "-4.5 % of its label now.", "plain": "A part wears out.", "visits": 2,
    "certain": False, "bring": "capacitor 40 µF",
}  # fmt: skip


def years(*microfarads: float) -> Record:
    """A check each spring, the last one this year; all at one home."""
    last = finished(story.GOOD | {"capacitor_compressor_uf": str(microfarads[-1])})
    home = last.visit.owed_visit.home
    for ago, value in enumerate(reversed(microfarads[:-1]), start=1):
        starts_on = dt.date(2027 - ago, 1, 1)
        agreement = factories.AgreementFactory(home=home, starts_on=starts_on)
        earlier = factories.VisitFactory(season=last.visit.season, owed_visit__agreement=agreement)
        (row,) = last.judgement.values()
        Record.objects.create(
            visit=earlier, day=last.day - dt.timedelta(days=365 * ago), version=last.version,
            technician=last.technician, outcome="done", completed_at=last.completed_at,
            judgement={str(home.systems.first().pk): with_capacitor(row, value)},
        )  # fmt: skip
    return last


def with_capacitor(row, microfarads):
    """The judgement with another capacitor."""
    verdicts = [
        verdict | {"value": microfarads} if verdict["key"] == "capacitor_compressor" else verdict
        for verdict in row["verdicts"]
    ]
    return row | {"verdicts": verdicts}


def home_of(record):
    return record.visit.owed_visit.home


def page_of(record) -> str:
    return reverse("fieldwork:home-work", args=[home_of(record).pk])


def series_of(record, words):
    (system,) = work_at(home_of(record)).systems
    return next(one for one in system.series if words in one.title)


def test_a_reading_of_three_springs_is_a_line_with_its_limits():
    capacitor = series_of(years(40.4, 39.2, 38.6), "Capacitor, compressor")
    assert len(capacitor.picture.dots) == 3
    assert len(capacitor.picture.limits) == 2
    assert "May 24, 2026: 39.2" in capacitor.earlier


def test_a_reading_of_one_visit_is_no_line_yet():
    assert series_of(years(40.1), "Capacitor, compressor").picture is None


def test_an_early_warning_says_what_to_bring():
    record = years(40.4, 38.4)
    (row,) = record.judgement.values()
    row["trends"] = [WEAK]
    record.save()
    page = cast.signed_in(cast.odile()).get(page_of(record)).text
    assert "is wearing out" in page
    assert "two only, so look again" in page
    assert work_at(home_of(record)).bring == ("capacitor 40 µF",)


def test_a_repair_that_was_agreed_is_brought_too():
    record = finished(recommended="New contactor")
    Recommendation.objects.update(state="agreed")
    assert work_at(home_of(record)).bring == ("for the agreed repair: New contactor",)


def test_the_newest_record_stands_first():
    days = [record.day.year for record in work_at(home_of(years(40, 39, 38.5))).records]
    assert days == sorted(days, reverse=True)


def test_a_home_without_work_says_what_comes():
    home = cast.noras_home()
    page = cast.signed_in(cast.odile()).get(reverse("fieldwork:home-work", args=[home.pk])).text
    assert "No work recorded here yet" in page


def test_a_technician_of_the_branch_may_look_before_she_drives():
    record = years(40.1)
    assert "What to bring" in cast.signed_in(cast.ingrid().user).get(page_of(record)).text


def test_another_branch_does_not_know_the_home():
    record = years(40.1)
    assert cast.signed_in(cast.priya()).get(page_of(record)).status_code == 404


def test_it_is_read_only_and_for_staff(client):
    page = page_of(years(40.1))
    assert cast.signed_in(cast.odile()).post(page).status_code == 405
    assert client.get(page).status_code == 302


def test_three_queries_read_a_homes_years(django_assert_num_queries):
    home = Home.objects.get(pk=home_of(years(40, 39, 38.5)).pk)
    with django_assert_num_queries(3):
        work_at(home)


def test_the_visit_page_leads_here():
    record = years(40.1)
    visit = reverse("scheduling:visit", args=[record.visit_id])
    assert page_of(record) in cast.signed_in(cast.odile()).get(visit).text
