"""What a phone sends is taken over exactly once, and never over somebody else's change."""

import datetime as dt

import pytest

from fieldwork.actions.phone import leave_aside, take_over
from fieldwork.models import Entry, EventState, PhoneEvent, Stamp
from scheduling.actions.visits import unplace_visit
from tests import cast, factories
from tests.fieldwork import day_of_checks as story

pytestmark = pytest.mark.django_db
MINUTE = dt.timedelta(minutes=1)
HOUR = dt.timedelta(hours=1)


def values(visit) -> list[object]:
    return list(Entry.objects.filter(record__visit=visit).values_list("value", flat=True))


def bo():
    user = factories.UserFactory(username="bo", role="technician", branch=cast.cedarburg())
    return factories.TechnicianFactory(branch=cast.cedarburg(), name="Bo Larsen", user=user)


def test_a_reading_is_kept_as_typed_and_as_a_value():
    visit = story.stop()
    assert story.send(story.entry(visit, "outdoor_db_f", "74.0")).state == "applied"
    kept = Entry.objects.get()
    assert (kept.typed, kept.value, kept.made_at) == ("74.0", 74.0, story.NOON)


def test_an_event_that_arrives_twice_counts_once():
    visit = story.stop()
    raw = story.entry(visit, "outdoor_db_f", "74")
    assert story.send(raw).already is False
    again = story.send(raw)
    assert (again.already, again.state) == (True, "applied")
    assert values(visit) == [74.0]


def test_a_repeat_of_a_refusal_is_refused_in_the_same_words():
    visit = story.stop()
    raw = story.entry(visit, "outdoor_db_f", "740")
    first, again = story.send(raw), story.send(raw)
    assert (first.state, again.state) == ("refused", "refused")
    assert again.words == first.words != ""


def test_a_reading_that_arrives_late_does_not_replace_the_newer_one():
    visit = story.stop()
    early, late = (
        story.entry(visit, "outdoor_db_f", "71", story.NOON - MINUTE),
        story.entry(visit, "outdoor_db_f", "74"),
    )
    story.send(late)
    story.send(early)
    assert values(visit) == [71.0, 74.0]


def test_the_phones_own_counting_tells_the_order_when_its_clock_was_set_back():
    visit = story.stop()
    first = story.entry(visit, "outdoor_db_f", "71") | {"seq": 1}
    second = story.entry(visit, "outdoor_db_f", "74", story.NOON - HOUR) | {"seq": 2}
    story.send(first)
    story.send(second)
    assert values(visit)[-1] == 74.0


def test_a_phone_whose_clock_is_an_hour_wrong_is_put_right():
    visit = story.stop()
    raw = story.stamp(visit, "there", story.NOON + HOUR)
    story.send(raw, now=story.NOON + MINUTE, phone_now=story.NOON + HOUR + MINUTE)
    pressed = Stamp.objects.get()
    assert pressed.made_at == story.NOON
    assert pressed.phone_at == story.NOON + HOUR
    assert story.record_of(visit).arrived_at == story.NOON


def test_nothing_is_done_in_the_future():
    visit = story.stop()
    story.send(story.stamp(visit, "there", story.NOON + HOUR), phone_now=story.NOON)
    assert story.record_of(visit).arrived_at == story.NOON


def test_an_odd_value_is_asked_about_and_nothing_is_kept_yet():
    visit = story.stop()
    raw = story.entry(visit, "return_db_f", "24", sure=False)
    answer = story.send(raw)
    assert (answer.state, PhoneEvent.objects.count()) in {("asked", 0), ("refused", 1)}


def test_it_is_asked_again_only_until_the_technician_is_sure():
    visit = story.stop()
    assert story.send(story.entry(visit, "supply_db_f", "70", sure=False)).state == "asked"
    assert story.send(story.entry(visit, "supply_db_f", "70", sure=True)).state == "applied"


def test_a_reading_changed_on_another_phone_is_not_written_over():
    visit = story.stop()
    story.send(story.entry(visit, "outdoor_db_f", "74"))
    answer = story.send(story.entry(visit, "outdoor_db_f", "80"), device="a-second-phone")
    assert answer.state == "conflict"
    assert "74" in answer.words
    assert values(visit) == [74.0]


def test_whoever_saw_the_other_reading_may_change_it():
    visit = story.stop()
    story.send(story.entry(visit, "outdoor_db_f", "74"))
    seen = Entry.objects.get().pk
    later = story.entry(visit, "outdoor_db_f", "80", story.NOON + MINUTE, seen=seen)
    story.send(later, device="a-second-phone", now=story.NOON + MINUTE)
    assert values(visit) == [74.0, 80.0]


def test_the_same_reading_on_two_phones_is_no_conflict():
    visit = story.stop()
    story.send(story.entry(visit, "outdoor_db_f", "74"))
    answer = story.send(story.entry(visit, "outdoor_db_f", "74"), device="a-second-phone")
    assert answer.state == "applied"


def test_a_visit_that_the_office_moved_keeps_what_the_phone_sent():
    visit = story.stop()
    unplace_visit(visit=visit, now=story.NOON)
    answer = story.send(story.entry(visit, "outdoor_db_f", "74"))
    assert answer.state == "conflict"
    assert "out of the day" in answer.words
    assert PhoneEvent.objects.conflicts().get().payload["typed"] == "74"


def test_a_visit_that_went_to_another_technician_keeps_what_the_phone_sent():
    visit = story.stop(technician=bo())
    answer = story.send(story.entry(visit, "outdoor_db_f", "74"))
    assert (answer.state, "Bo Larsen" in answer.words) == ("conflict", True)


def test_yesterdays_readings_count_for_yesterday_when_the_visit_stood_there():
    visit = story.stop()
    raw = story.entry(visit, "outdoor_db_f", "74")
    answer = story.send(raw, now=story.NOON + 24 * HOUR)
    assert answer.state == "applied"
    assert Entry.objects.get().made_at == story.NOON


def test_yesterdays_readings_of_a_visit_that_moved_are_kept_and_shown():
    visit = story.stop()
    visit.starts_at += 24 * HOUR
    visit.ends_at += 24 * HOUR
    visit.save()
    answer = story.send(story.entry(visit, "outdoor_db_f", "74"), now=story.NOON + 24 * HOUR)
    assert (answer.state, answer.words) == (
        "conflict", "The office moved this visit to Tue, May 25.",
    )  # fmt: skip


def test_the_office_takes_a_kept_reading_over_after_all():
    visit = story.stop()
    story.send(story.entry(visit, "outdoor_db_f", "74"))
    story.send(story.entry(visit, "outdoor_db_f", "80"), device="a-second-phone")
    take_over(event=PhoneEvent.objects.conflicts().get(), by=cast.odile(), now=story.NOON + MINUTE)
    assert values(visit) == [74.0, 80.0]
    assert not PhoneEvent.objects.conflicts().exists()


def test_two_people_of_the_office_decide_once():
    visit = story.stop()
    story.send(story.entry(visit, "outdoor_db_f", "74"))
    story.send(story.entry(visit, "outdoor_db_f", "80"), device="a-second-phone")
    kept = PhoneEvent.objects.conflicts().get()
    leave_aside(event=kept, by=cast.odile(), now=story.NOON)
    again = take_over(event=kept, by=cast.odile(), now=story.NOON)
    assert (again.already, again.state) == (True, EventState.LEFT)
    assert values(visit) == [74.0]


def test_a_visit_of_another_branch_is_not_on_file():
    visit = story.stop()
    user = factories.UserFactory(username="ole", role="technician", branch=cast.sheboygan())
    stranger = factories.TechnicianFactory(branch=cast.sheboygan(), user=user)
    answer = story.send(story.entry(visit, "outdoor_db_f", "74"), technician=stranger)
    assert (answer.state, answer.words) == ("refused", "This visit is not on file here.")


def test_a_system_of_another_home_is_refused():
    visit, other = story.stop(9), story.stop(11)
    raw = story.entry(visit, "outdoor_db_f", "74", system=story.system_of(other).pk)
    assert story.send(raw).state == "refused"


def test_an_unexpected_error_leaves_no_trace(monkeypatch):
    visit = story.stop()
    raw = story.entry(visit, "outdoor_db_f", "74")

    def fail(*_):
        raise RuntimeError

    with monkeypatch.context() as broken:
        broken.setattr("fieldwork.actions.phone.apply_event", fail)
        with pytest.raises(RuntimeError):
            story.send(raw)
    assert not PhoneEvent.objects.exists()
    assert story.send(raw).state == "applied"
