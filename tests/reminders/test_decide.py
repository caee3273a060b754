"""The decision of every morning, written into the outbox."""

import datetime as dt

import pytest
import time_machine
from django.db import connection
from django.test.utils import CaptureQueriesContext

from customers.models import Filter
from letters.actions.stops import EVERYTHING, REMINDERS, stop_letters
from letters.models import Letter, Link
from letters.render import message_of
from reminders import reading
from reminders.actions import decide
from reminders.actions.decide import Counts, decide_reminders
from reminders.models import HomeEvent, ReminderDay
from reminders.tasks import decide_branch, undecided
from tests import cast, factories
from tests.reminders import year
from tests.reminders.year import MAY, MAY_MORNING

pytestmark = pytest.mark.django_db


def decided(day: dt.date = MAY) -> Counts:
    now = dt.datetime.combine(day, dt.time(11, 30), dt.UTC)
    return decide_reminders(branch=cast.cedarburg(), today=day, now=now)


def test_a_filter_that_is_due_becomes_a_letter_that_says_why():
    home = year.noras_home()

    assert decided() == Counts(homes=1, letters=1)

    letter = Letter.objects.get()
    assert (letter.kind, letter.about) == ("filter", f"home:{home.pk}")
    assert letter.facts["size"] == "16x25x1"
    assert "April 1, 2027" in letter.facts["why"]
    assert letter.facts["links"] == {"home": [Link.objects.get().pk, "reminders:home"]}


def test_a_filter_of_which_only_the_thickness_is_known_is_named_by_it():
    home = year.noras_home()
    Filter.objects.filter(system__home=home).update(size="")
    decided()

    assert Letter.objects.get().facts["size"] == "1 inch"


def test_deciding_twice_writes_nothing_new():
    year.noras_home()
    decided()

    decided()

    assert Letter.objects.count() == 1
    assert Link.objects.count() == 1
    assert ReminderDay.objects.count() == 1


def test_the_next_days_are_quiet_because_the_letter_is_known():
    year.noras_home()
    decided()

    assert [decided(MAY + dt.timedelta(days=n)).letters for n in range(1, 7)] == [0] * 6


def test_a_letter_waits_for_the_end_of_the_quiet_hours():
    year.noras_home()
    decided()

    assert Letter.objects.get().due_at == dt.datetime(2027, 5, 13, 13, tzinfo=dt.UTC)


def test_a_home_without_a_running_agreement_hears_nothing():
    year.branch()
    factories.FilterFactory(system__home=cast.noras_home(), last_changed_on=dt.date(2027, 4, 1))

    assert decided() == Counts(homes=0, letters=0)


def test_a_customer_without_an_email_address_hears_nothing():
    home = year.noras_home()
    type(home.customer).objects.update(email="")

    assert decided().letters == 0


@pytest.mark.parametrize("kind", ["filter", EVERYTHING])
def test_a_customer_who_stopped_these_letters_hears_nothing(kind):
    home = year.noras_home()
    stop_letters(customer=home.customer, kind=kind, now=MAY_MORNING)

    assert decided().letters == 0


def test_a_customer_who_stopped_other_letters_hears_of_the_filter():
    home = year.noras_home()
    stop_letters(customer=home.customer, kind="rinse", now=MAY_MORNING)

    assert decided().letters == 1


def test_a_spanish_customer_is_told_why_in_spanish():
    home = year.noras_home()
    type(home.customer).objects.update(language="es")
    decided()

    assert Letter.objects.get().facts["why"].startswith("Su filtro de 16x25x1 pulgadas")


def test_a_cover_that_the_customer_took_off_is_not_asked_for():
    home = year.noras_home(winter_cover=True)
    day = dt.date(2027, 4, 27)
    HomeEvent.objects.create(home=home, kind="cover_off", on=day, told_at=MAY_MORNING)

    assert decided(day).letters == 0


def test_the_cover_is_asked_for_before_the_check_that_was_promised():
    home = year.noras_home(winter_cover=True)
    factories.VisitFactory(
        owed_visit=home.agreements.get().owed_visits.get(), state="promised",
        technician=cast.ingrid(), starts_at=dt.datetime(2027, 4, 16, 15, tzinfo=dt.UTC),
        ends_at=dt.datetime(2027, 4, 16, 16, tzinfo=dt.UTC),
    )  # fmt: skip
    decided(dt.date(2027, 4, 12))

    assert "April 16, 2027" in Letter.objects.get().facts["why"]


def test_a_pencilled_time_is_told_to_nobody():
    home = year.noras_home(winter_cover=True)
    factories.VisitFactory(
        owed_visit=home.agreements.get().owed_visits.get(), state="pencilled",
        technician=cast.ingrid(), starts_at=dt.datetime(2027, 4, 16, 15, tzinfo=dt.UTC),
        ends_at=dt.datetime(2027, 4, 16, 16, tzinfo=dt.UTC),
    )  # fmt: skip

    assert decided(dt.date(2027, 4, 12)).letters == 0


def test_killed_between_chunks_it_loses_nothing_and_doubles_nothing(monkeypatch):
    monkeypatch.setattr(reading, "CHUNK", 2)
    year.some_homes(5)
    write, calls = decide.write_letters, []

    def killed_at_the_second(**chunk):
        calls.append(chunk)
        if len(calls) == 2:
            raise KeyboardInterrupt
        write(**chunk)

    monkeypatch.setattr(decide, "write_letters", killed_at_the_second)
    with pytest.raises(KeyboardInterrupt):
        decided()
    assert (Letter.objects.count(), ReminderDay.objects.count()) == (2, 0)

    monkeypatch.setattr(decide, "write_letters", write)
    decided()

    assert Letter.objects.values("about").distinct().count() == Letter.objects.count() == 5


def test_a_chunk_is_read_in_seven_queries_whatever_its_size():
    branch = cast.cedarburg()
    year.some_homes(2)
    with CaptureQueriesContext(connection) as few:
        list(reading.homes_to_remind(branch, MAY))
    year.some_homes(30)
    with CaptureQueriesContext(connection) as many:
        list(reading.homes_to_remind(branch, MAY))

    assert len(few) == len(many) == 8  # the eighth finds no more homes


def test_a_morning_is_decided_once():
    year.branch()
    assert undecided(MAY_MORNING) == [cast.cedarburg()]

    decided()

    assert undecided(MAY_MORNING) == []
    assert undecided(MAY_MORNING + dt.timedelta(days=1)) == [cast.cedarburg()]


def test_before_six_in_the_morning_of_the_branch_nothing_is_decided():
    year.branch()

    assert undecided(dt.datetime(2027, 5, 13, 10, 59, tzinfo=dt.UTC)) == []


def test_a_branch_that_cannot_write_letters_is_left_alone():
    cast.cedarburg()

    assert undecided(MAY_MORNING) == []


def test_the_task_decides_the_branchs_own_day():
    year.noras_home()

    with time_machine.travel(MAY_MORNING):
        decide_branch(cast.cedarburg().pk)

    assert ReminderDay.objects.get().day == MAY
    assert Letter.objects.count() == 1


def test_every_kind_of_reminder_becomes_a_mail_that_can_be_read():
    year.noras_home(
        winter_cover=True, ice_falls_on_unit=True, plants_near_unit=True, high_low_returns=True
    )
    for days in range(0, 365, 9):
        decided(dt.date(2027, 1, 4) + dt.timedelta(days=days))

    letters = Letter.objects.all()
    assert {letter.kind for letter in letters} == set(REMINDERS) - {"lapsed"}
    assert all(letter.facts["why"] in message_of(letter).body for letter in letters)
