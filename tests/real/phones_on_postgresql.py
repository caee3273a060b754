"""Two tabs or two phones at once. Run by test_on_postgresql.py."""

import pytest

from fieldwork.models import Entry, Record, Stamp
from scheduling.models import State, Visit
from tests.fieldwork import day_of_checks as story
from tests.real.on_postgresql import at_once
from tests.scheduling import spring

pytestmark = pytest.mark.django_db(transaction=True)


def test_one_event_sent_four_times_at_once_counts_once():
    visit, ingrid = story.stop(), spring.technician()
    raw = story.entry(visit, "outdoor_db_f", "74")
    answers = at_once(*[lambda: story.send(raw, technician=ingrid)] * 4)
    assert sorted(answer.already for answer in answers) == [False, True, True, True]
    assert Entry.objects.count() == 1


def test_two_phones_that_begin_a_record_begin_the_same():
    visit, ingrid = story.stop(), spring.technician()
    fields = ("outdoor_db_f", "return_db_f", "supply_db_f")
    raws = [story.entry(visit, field, "75") for field in fields]
    at_once(
        *[lambda raw=raw: story.send(raw, technician=ingrid, device=raw["key"]) for raw in raws]
    )
    assert Record.objects.count() == 1
    assert Entry.objects.count() == 3


def test_two_phones_that_change_one_reading_leave_one_and_keep_the_other():
    visit, ingrid = story.stop(), spring.technician()
    raws = [story.entry(visit, "outdoor_db_f", typed) for typed in ("74", "80")]
    answers = at_once(
        *[lambda raw=raw: story.send(raw, technician=ingrid, device=raw["key"]) for raw in raws]
    )
    assert sorted(answer.state for answer in answers) == ["applied", "conflict"]


def test_a_visit_that_is_finished_twice_at_once_is_done_once():
    visit, ingrid = story.stop(), spring.technician()
    story.read(visit)
    raws = [story.stamp(visit, "done") for _ in range(3)]
    at_once(
        *[lambda raw=raw: story.send(raw, technician=ingrid, device=raw["key"]) for raw in raws]
    )
    assert Visit.objects.get().state == State.DONE
    assert Stamp.objects.count() == 3
