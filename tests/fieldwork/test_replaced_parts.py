"""A new part begins a new line of its readings."""

import datetime as dt

import pytest

from fieldwork.models import PartUsed, Record
from fieldwork.reading import earlier_visits, replaced_until
from tests import cast, factories
from tests.fieldwork import day_of_checks as story

pytestmark = pytest.mark.django_db
MINUTE = dt.timedelta(minutes=1)
BOTH_SIDES = {"capacitor_compressor_uf", "capacitor_fan_uf"}


def use(visit, replaces="capacitor", **more):
    said = {"words": "Capacitor", "quantity": "1", "system": story.system_of(visit).pk}
    return story.send(story.event("part", visit, **said | {"replaces": replaces} | more))


def last_year(visit):
    """The same visit's record as of a year ago; another visit of the same home takes today's."""
    record = story.record_of(visit)
    agreement = factories.AgreementFactory(
        home=visit.owed_visit.home, starts_on=dt.date(2026, 1, 1)
    )
    earlier = factories.VisitFactory(season=visit.season, owed_visit__agreement=agreement)
    Record.objects.filter(pk=record.pk).update(
        visit=earlier, day=story.DAY - dt.timedelta(days=365)
    )


def weaker(replaces=None):
    """39.6 of 40 µF a year ago, 38.2 today; a year ago `replaces` went in after the reading."""
    visit = story.stop()
    story.read(visit, {"capacitor_compressor_uf": "39.6"})
    if replaces is not None:
        assert use(visit, replaces).state == "applied"
    last_year(visit)
    story.read(visit, {"capacitor_compressor_uf": "38.2"})
    return visit


def warnings(visit) -> list[str]:
    story.send(story.stamp(visit, "done", story.NOON + MINUTE), now=story.NOON + MINUTE)
    (row,) = story.record_of(visit).judgement.values()
    return [trend["key"] for trend in row["trends"]]


def test_a_capacitor_that_weakens_is_warned_of():
    assert warnings(weaker()) == ["capacitor_compressor"]


@pytest.mark.parametrize("replaces", ["capacitor", "capacitor_compressor"])
def test_a_new_capacitor_begins_a_new_line(replaces):
    assert warnings(weaker(replaces)) == []


@pytest.mark.parametrize("replaces", ["", "capacitor_fan", "flame_sensor"])
def test_another_part_leaves_the_line_as_it_was(replaces):
    assert warnings(weaker(replaces)) == ["capacitor_compressor"]


def test_a_part_that_was_taken_back_was_not_replaced():
    visit = story.stop()
    story.read(visit, {"capacitor_compressor_uf": "39.6"})
    use(visit)
    key = str(PartUsed.objects.get().event.client_key)
    story.send(story.event("removal", visit, of=key, words=""))
    last_year(visit)
    story.read(visit, {"capacitor_compressor_uf": "38.2"})
    assert warnings(visit) == ["capacitor_compressor"]


def test_a_capacitor_that_was_replaced_today_is_not_brought_next_time():
    visit = weaker()
    use(visit)
    assert warnings(visit) == []


def test_a_visit_on_which_a_part_was_replaced_without_a_reading_counts_too():
    visit = story.stop()
    use(visit)
    last_year(visit)
    story.read(visit, {"capacitor_compressor_uf": "38.2"})
    system, record = story.system_of(visit), story.record_of(visit)
    (before,) = earlier_visits(system, record, replaced_until(system, record))
    assert (dict(before.readings), before.replaced) == ({}, BOTH_SIDES)


def test_what_was_replaced_names_its_system():
    answer = use(story.stop(), system=None)
    assert answer.words == "Choose the system in which the part was replaced."


def test_nothing_else_than_the_list_can_be_replaced():
    assert use(story.stop(), "the whole house").state == "refused"


def test_the_visits_page_asks_what_the_part_replaces():
    visit = story.stop()
    page = cast.signed_in(cast.ingrid().user).get(f"/my-day/{story.DAY}/visit/{visit.pk}/").text
    assert '<option value="capacitor">Capacitor, both sides</option>' in page
