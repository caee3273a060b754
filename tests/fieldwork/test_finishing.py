"""How a trip ends: done, the cooling test still owed, nobody home, too cold, not finished."""

import datetime as dt

import pytest

from customers.models import System
from fieldwork.actions.phone import take_over
from fieldwork.models import Outcome, PhoneEvent, Record
from letters.models import Letter
from scheduling.actions.visits import promise_visit
from scheduling.models import Outcome as TripOutcome
from scheduling.models import State, Trip, Visit
from tests import cast, factories
from tests.fieldwork import day_of_checks as story
from tests.scheduling import spring

pytestmark = pytest.mark.django_db
EVENING = story.NOON + dt.timedelta(hours=6)


def end(visit, kind: str, why: str = ""):
    return story.send(story.stamp(visit, kind, why=why), now=story.NOON + dt.timedelta(minutes=9))


def state_of(visit) -> str:
    return Visit.objects.get(pk=visit.pk).state


def test_a_warm_test_that_is_done_closes_the_owed_visit():
    visit = story.stop()
    story.read(visit)
    end(visit, "done")
    record = story.record_of(visit)
    assert (record.outcome, state_of(visit)) == (Outcome.DONE, State.DONE)
    visit.owed_visit.refresh_from_db()
    assert (visit.owed_visit.closed, visit.owed_visit.closed_on) == ("done", story.DAY)


def test_the_judgement_is_kept_with_the_rules_it_was_made_by():
    visit = story.stop()
    story.read(visit)
    end(visit, "done")
    record = story.record_of(visit)
    judgement = record.judgement[str(story.system_of(visit).pk)]
    assert judgement["test"] == "warm"
    assert record.rules_version == judgement["rules_version"] != ""
    assert {"title", "outcome", "sentence"} <= set(judgement["verdicts"][0])


def test_the_systems_last_check_is_noted():
    visit = story.stop()
    story.read(visit)
    end(visit, "done")
    system = story.system_of(visit)
    assert (system.last_checked_on, system.last_checked_by) == (story.DAY, "Ingrid Solberg")


def test_an_earlier_check_that_arrives_late_does_not_set_the_day_back():
    visit = story.stop()
    story.read(visit)
    newer = story.DAY + dt.timedelta(days=1)
    System.objects.update(last_checked_on=newer, last_checked_by="Bo Larsen")
    end(visit, "done")
    assert story.system_of(visit).last_checked_on == newer


@pytest.mark.parametrize("kind", ["done", "nobody_home", "not_finished"])
def test_a_system_that_was_not_tested_is_not_noted_as_checked(kind):
    visit = story.stop()
    end(visit, kind, why="No key")
    assert story.system_of(visit).last_checked_on is None


def test_a_system_that_the_visit_is_not_about_is_not_noted_as_checked():
    visit = story.stop()
    story.read(visit)
    furnace = factories.SystemFactory(home=visit.owed_visit.home, kind="furnace")
    end(visit, "done")
    furnace.refresh_from_db()
    assert furnace.last_checked_on is None


def test_done_in_the_cold_leaves_the_cooling_test_owed():
    visit = story.stop()
    story.read(visit, story.COLD)
    end(visit, "done")
    record = story.record_of(visit)
    assert (record.outcome, state_of(visit)) == (Outcome.TEST_OWED, State.HELD)
    visit.owed_visit.refresh_from_db()
    assert visit.owed_visit.closed == ""
    assert Visit.objects.get().test_only is True


def test_done_without_any_reading_leaves_the_cooling_test_owed():
    visit = story.stop()
    end(visit, "done")
    assert story.record_of(visit).outcome == Outcome.TEST_OWED


def test_nobody_home_is_a_missed_visit():
    visit = story.stop()
    end(visit, "nobody_home")
    assert (story.record_of(visit).outcome, state_of(visit)) == ("nobody_home", State.MISSED)
    assert Trip.objects.get().outcome == TripOutcome.ABSENT


def test_too_cold_before_anything_was_done_is_a_trip_lost_to_cold():
    visit = story.stop()
    end(visit, "too_cold")
    assert (story.record_of(visit).outcome, state_of(visit)) == ("too_cold", State.MISSED)
    assert Trip.objects.lost_to_cold().count() == 1


def test_too_cold_after_the_cleaning_leaves_only_the_test_owed():
    visit = story.stop()
    story.send(story.entry(visit, "outdoor_coil", "pass"))
    end(visit, "too_cold")
    assert (story.record_of(visit).outcome, state_of(visit)) == ("too_cold", State.HELD)


def test_a_heating_check_is_never_too_cold():
    visit = story.stop()
    visit.owed_visit.kind = "heating"
    visit.owed_visit.save()
    answer = end(visit, "too_cold")
    assert (answer.state, state_of(visit)) == ("refused", State.PROMISED)


def test_what_could_not_be_finished_says_why():
    visit = story.stop()
    assert end(visit, "not_finished").state == "refused"
    assert end(visit, "not_finished", why="Breaker locked").state == "applied"
    assert Trip.objects.get().why == "Breaker locked"


def test_a_second_done_changes_nothing():
    visit = story.stop()
    story.read(visit)
    end(visit, "done")
    assert end(visit, "done").state == "applied"
    assert Trip.objects.count() == 1


def test_another_end_after_the_end_is_kept_as_a_conflict():
    visit = story.stop()
    story.read(visit)
    end(visit, "done")
    late = story.stamp(visit, "nobody_home", EVENING)
    answer = story.send(late, now=EVENING)
    assert answer.state == "conflict"
    assert "already finished" in answer.words
    assert state_of(visit) == State.DONE


def test_a_reading_after_the_end_is_kept_as_a_conflict():
    visit = story.stop()
    story.read(visit)
    end(visit, "done")
    answer = story.send(story.entry(visit, "outdoor_db_f", "60", EVENING), now=EVENING)
    assert answer.state == "conflict"
    assert story.record_of(visit).entries.filter(field="outdoor_db_f").count() == 1


def test_a_part_written_down_before_the_end_still_arrives_after_it():
    visit = story.stop()
    part = story.event("part", visit, words="Contactor", quantity="1")
    end(visit, "done")
    assert story.send(part).state == "applied"
    assert str(story.record_of(visit).parts.get()) == "1 x Contactor"


def test_the_customer_hears_that_the_technician_is_on_the_way_once():
    cast.letterhead()
    visit = story.stop()
    raw = story.stamp(visit, "on_the_way")
    story.send(raw)
    story.send(raw)
    story.send(story.stamp(visit, "on_the_way"))
    assert Letter.objects.filter(kind="on_the_way").count() == 1


def test_old_news_is_not_sent():
    cast.letterhead()
    visit = story.stop()
    story.send(story.stamp(visit, "on_the_way"), now=EVENING)
    assert story.record_of(visit).on_the_way_at == story.NOON
    assert not Letter.objects.filter(kind="on_the_way").exists()


def test_a_held_visit_that_is_driven_to_again_has_a_second_record():
    visit = story.stop()
    story.read(visit, story.COLD)
    end(visit, "done")
    again = Visit.objects.get(pk=visit.pk)
    tuesday = story.DAY + dt.timedelta(days=1)
    promise_visit(
        visit=again, technician=spring.technician(), starts_at=spring.at(tuesday, 13),
        minutes=30, now=spring.at(tuesday, 8),
    )  # fmt: skip
    later = spring.at(tuesday, 13)
    raw = story.entry(visit, "outdoor_db_f", "75", later) | {"day": tuesday.isoformat()}
    assert story.send(raw, now=later).state == "applied"
    assert Record.objects.filter(visit=visit).count() == 2


def test_a_reading_taken_over_after_the_end_is_judged_again():
    visit = story.stop()
    story.read(visit)
    end(visit, "done")
    system = str(story.system_of(visit).pk)
    story.send(story.entry(visit, "outdoor_db_f", "48", EVENING), now=EVENING)
    take_over(event=PhoneEvent.objects.conflicts().get(), by=cast.odile(), now=EVENING)
    record = story.record_of(visit)
    assert record.judgement[system]["test"] == "owed"
    assert (record.outcome, state_of(visit)) == (Outcome.DONE, State.DONE)
