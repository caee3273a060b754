"""What counts as kept and broken, as found, as an effect of a letter, and what does not."""

import datetime as dt

import pytest
import time_machine

from books.actions.digest import digest_of, digest_records
from books.models import RecordDigest
from books.models.digest import unread
from books.numbers import NUMBERS
from letters.models import LetterState
from reminders.models import EventKind, HomeEvent, NoStart
from scheduling.actions.offers import accept_offer, offer_visit
from scheduling.actions.repairs import agree_step
from scheduling.actions.visits import leave_test_owed, miss_visit, pencil_visit, waive_visit
from scheduling.models import Outcome, Repair, RepairStep, Visit, What
from tests import cast, factories
from tests.books import books
from tests.scheduling import spring

pytestmark = pytest.mark.django_db
DAY = dt.date(2027, 5, 18)
BEFORE = spring.at(DAY, 9) - 8 * books.A_DAY


@pytest.fixture(autouse=True)
def _in_may():
    cast.letterhead()
    with time_machine.travel(BEFORE, tick=False):
        yield


def counts(season, *keys):
    return [NUMBERS[key].rows(season).count() for key in keys]


def promises(season):
    return counts(season, "promised", "kept", "broken")


def offered(visit, hour=13):
    pencil_visit(
        visit=visit, technician=spring.technician(), starts_at=spring.at(DAY, hour), minutes=60,
        now=BEFORE,
    )  # fmt: skip
    offer_visit(visit=visit, now=BEFORE)
    return visit


def moved(visit, minutes, now=BEFORE + books.A_DAY):
    """The office agrees to a repair that moves the visit later on its day; None: holds it."""
    repair = Repair.objects.create(season=visit.season, made_at=now, source="forecast")
    slot = {}
    if minutes is not None:
        shift = dt.timedelta(minutes=minutes)
        starts_at, ends_at = visit.slot
        slot = {
            "to_technician": visit.technician, "to_starts_at": starts_at + shift,
            "to_ends_at": ends_at + shift,
        }  # fmt: skip
    step = RepairStep.objects.create(
        repair=repair, visit=visit, version=visit.version, why="Too cold.", warmth_after=0.8,
        what=What.LATER if minutes is not None else What.HOLD,
        from_technician=visit.technician, from_starts_at=visit.starts_at, **slot,
    )  # fmt: skip
    return agree_step(step=step, by=None, now=now)


def accepted(season, hour=13):
    visit = offered(books.owed(season), hour)
    return accept_offer(visit=visit, now=BEFORE + dt.timedelta(hours=5))


def test_an_accepted_time_is_promised_and_a_silent_offer_is_not():
    season = books.season()
    offered(books.owed(season), hour=10)
    accepted(season)
    assert promises(season) == [1, 0, 0]


def test_whoever_came_has_kept_it_though_nobody_was_home():
    season = books.season()
    books.done(books.owed(season), DAY, "", hour=9)
    visit = books.promised(books.owed(season), DAY, 11)
    miss_visit(visit=visit, now=spring.at(DAY, 12), why="Nobody was home.")
    assert promises(season) == [2, 2, 0]


@pytest.mark.parametrize(("minutes", "broken"), [(30, 0), (31, 1), (180, 1), (None, 1)])
def test_half_an_hour_is_kept_more_is_broken(minutes, broken):
    season = books.season()
    moved(accepted(season), minutes)
    assert promises(season)[2] == broken


def test_an_offer_that_is_moved_breaks_nothing():
    season = books.season()
    moved(offered(books.owed(season)), 180)
    assert promises(season) == [0, 0, 0]


def test_a_customer_who_lets_a_promise_go_has_not_been_let_down():
    season = books.season()
    waive_visit(visit=accepted(season), why="moves out", now=BEFORE + books.A_DAY)
    assert promises(season) == [1, 0, 0]


def test_a_trip_that_could_not_come_off_breaks_it():
    season = books.season()
    visit = books.promised(books.owed(season), DAY)
    miss_visit(visit=visit, now=spring.at(DAY, 13), why="Truck broke.", outcome=Outcome.LOST)
    assert promises(season) == [1, 0, 1]


def judged(*systems):
    return {str(number): system for number, system in enumerate(systems)}


def verdict(group, outcome, applies=True):
    return {"group": group, "outcome": outcome, "applies": applies}


def test_a_digest_keeps_the_groups_and_the_test_that_counts():
    digest = digest_of(
        1,
        judged(
            {"test": "warm", "verdicts": [verdict("E", "act"), verdict("B", "watch")]},
            {"test": "owed", "verdicts": [verdict("B", "act"), verdict("A", "act")]},
            {"test": "provisional", "verdicts": [verdict("F", "act", applies=False)]},
        ),
        books.NOW,
    )
    assert (digest.test, digest.act, digest.watch) == ("provisional", "BE", "B")


def test_an_emergency_stands_in_front():
    found = digest_of(1, judged({"emergencies": [{"key": "gas"}], "verdicts": []}), books.NOW)
    assert (found.act, found.test) == ("!", "owed")
    assert digest_of(1, {}, books.NOW).test == ""


def test_findings_count_a_record_once_in_each_subject():
    season = books.season()
    for number in range(2):
        visit = books.promised(books.owed(season), DAY, 9 + number)
        books.record(visit, DAY, verdicts=(("E", "act"), ("E", "watch"), ("C", "watch")))
    books.read(season)
    assert counts(season, "repair-e", "watch-e", "watch-c", "repair-c", "read") == [2, 2, 2, 0, 2]


def test_a_record_is_read_once_and_again_when_readings_came_later():
    season = books.season()
    record = books.record(books.promised(books.owed(season), DAY), DAY)
    assert (books.read(season), books.read(season)) == (1, 0)
    event = books.event(record)
    event.received_at = books.NOW + dt.timedelta(hours=1)
    event.save()
    record.entries.create(
        system=record.visit.owed_visit.agreement.systems.get(), field="outdoor_db_f", typed="80",
        value=80, made_at=books.NOW, by=event.by, event=event,
    )  # fmt: skip
    assert unread(season).count() == 1
    later = books.NOW + dt.timedelta(hours=2)
    assert digest_records(season=season, now=later) == 1
    assert (RecordDigest.objects.get().read_at, unread(season).count()) == (later, 0)


def letter(home, kind="filter", sent=DAY):
    return factories.LetterFactory(
        customer=home.customer, kind=kind, about=f"home:{home.pk}", occasion=f"{kind}:{sent}",
        state=LetterState.SENT, sent_at=spring.at(sent, 9),
    )  # fmt: skip


def told(home, kind, on, filter_=None):
    """In the evening of the day."""
    at = spring.at(on, 18)
    HomeEvent.objects.create(home=home, kind=kind, on=on, filter=filter_, told_at=at)


@pytest.mark.parametrize(("days", "effect"), [(-1, 0), (0, 1), (29, 1), (30, 0)])
def test_a_filter_letter_counts_when_the_change_came_within_thirty_days(days, effect):
    season, home = books.season(), cast.noras_home()
    letter(home)
    told(home, EventKind.FILTER_CHANGED, DAY + days * books.A_DAY, home.systems.get().filters.get())
    assert counts(season, "filter-letters", "filter-changed") == [1, effect]


def test_another_home_s_change_and_the_cover_are_no_effect():
    season, home = books.season(), cast.noras_home()
    letter(home)
    other = factories.HomeFactory(customer=home.customer)
    told(other, EventKind.COVER_OFF, DAY)
    told(home, EventKind.COVER_OFF, DAY)
    letter(home, "cover_off")
    assert counts(season, "filter-changed", "cover-letters", "cover-answered") == [0, 1, 1]


def test_only_letters_of_the_season_and_the_branch_count():
    season, home = books.season(), cast.noras_home()
    letter(home, sent=season.ends_on + books.A_DAY)
    stranger = factories.HomeFactory(customer__branch=cast.sheboygan())
    letter(stranger)
    letter(home, sent=season.ends_on)
    assert counts(season, "filter-letters") == [1]


def test_a_trip_is_saved_when_it_runs_again():
    season, home = books.season(), cast.noras_home()
    for outcome in ("solved", "call"):
        NoStart.objects.create(home=home, asked_at=spring.at(DAY, 9), outcome=outcome)
    assert counts(season, "no-starts", "trips-saved") == [2, 1]


@pytest.mark.parametrize(("is_open", "found"), [(True, [0, 1]), (False, [1, 0])])
def test_a_test_left_owed_in_warm_weather_is_not_lost_to_cold(is_open, found):
    season = books.season()
    visit = books.promised(books.owed(season), DAY, 9)
    record = books.record(visit, DAY, test="owed", slot_starts_at=visit.starts_at)
    (row,) = record.judgement.values()
    record.judgement = {"1": row | {"gate": {"is_open": is_open}}}
    record.save()
    leave_test_owed(visit=visit, now=spring.at(DAY, 10), why="A reading is missing.")
    books.read(season)
    assert counts(season, "cold-trips", "test-owed") == found


def test_a_visit_with_one_provisional_system_is_provisional():
    season = books.season()
    visit = books.done(books.owed(season), DAY, "warm")
    books.record(visit, DAY - books.A_DAY, test="provisional")
    books.read(season)
    assert counts(season, "warm", "provisional", "no-readings") == [0, 1, 0]
    assert Visit.objects.get(pk=visit.pk).state == "done"
