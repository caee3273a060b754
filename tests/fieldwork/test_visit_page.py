"""A visit on the phone: its check list, what is typed, and the verdicts on it."""

import datetime as dt

import pytest
import time_machine
from django.urls import reverse

from customers.models import System
from fieldwork.models import Entry
from tests import cast, factories
from tests.fieldwork import day_of_checks as story

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def _monday():
    with time_machine.travel(story.NOON, tick=False):
        yield


def address(visit, name: str = "visit", day=story.DAY) -> str:
    return reverse(f"fieldwork:{name}", args=[day, visit.pk])


def page_of(visit, name: str = "visit") -> str:
    answer = cast.signed_in(cast.ingrid().user).get(address(visit, name))
    assert answer.status_code == 200
    return answer.text


def test_every_part_of_a_cooling_check_is_asked_for():
    page = page_of(story.stop())
    for words in ("Conditions of the test", "Refrigerant", "Electrical", "What you see"):
        assert words in page
    assert "Gas and flame" not in page


def test_readings_bring_up_the_keyboard_for_numbers_and_carry_their_bounds():
    page = page_of(story.stop())
    assert 'inputmode="decimal"' in page
    assert 'data-field="outdoor_db_f"' in page
    assert 'data-hard="-20,130"' in page


def test_a_caution_stands_before_the_step_that_can_hurt():
    page = page_of(story.stop())
    assert page.index("Capacitor discharged") < page.index('data-field="capacitor_compressor_uf"')


def test_a_mildly_flammable_refrigerant_has_its_own_caution():
    visit = story.stop()
    assert "Mildly flammable refrigerant:" not in page_of(visit)
    System.objects.update(refrigerant="R-454B")
    assert "Mildly flammable refrigerant:" in page_of(visit)


def test_a_furnace_is_asked_for_its_own_readings_and_gas_comes_first():
    visit = story.stop()
    System.objects.update(kind="furnace", refrigerant="")
    visit.owed_visit.kind = "heating"
    visit.owed_visit.save()
    page = page_of(visit)
    assert page.index("Gas smell or a CO alarm") < page.index('data-field="outdoor_db_f"')
    assert 'data-procedure="leave" data-from="36"' in page
    assert "suction_psig" not in page


def test_what_was_typed_stands_there_again():
    visit = story.stop()
    story.send(story.entry(visit, "outdoor_db_f", "74.0"))
    assert 'value="74.0"' in page_of(visit)


def test_the_reading_of_the_visit_before_stands_beside_the_field():
    visit = story.stop()
    story.send(story.entry(visit, "outdoor_db_f", "71"))
    later = story.DAY + dt.timedelta(days=1)
    visit.starts_at += dt.timedelta(days=1)
    visit.ends_at += dt.timedelta(days=1)
    visit.save()
    page = cast.signed_in(cast.ingrid().user).get(address(visit, day=later)).text
    assert "Last time 71 °F" in page


def test_verdicts_say_that_a_warm_test_is_satisfied():
    visit = story.stop()
    story.read(visit)
    assert "Cooling test satisfied." in page_of(visit, "verdicts")


def test_verdicts_say_why_a_cold_test_is_still_owed():
    visit = story.stop()
    story.read(visit, story.COLD)
    part = page_of(visit, "verdicts")
    assert "Cooling test still owed." in part
    assert "48" in part


def test_danger_stands_before_everything_else():
    visit = story.stop()
    System.objects.update(refrigerant="R-454B")
    story.send(story.entry(visit, "leak_sensor_alarm", "yes"))
    part = page_of(visit, "verdicts")
    assert part.index('data-emergency="') < part.index("verdict-list")


def test_a_home_without_systems_can_still_be_recorded():
    visit = story.stop()
    visit.owed_visit.agreement.systems.clear()
    story.system_of(visit).nameplate.delete()
    story.system_of(visit).delete()
    assert "Nothing to read here" in page_of(visit)


def test_it_works_without_a_script():
    visit = story.stop()
    system = story.system_of(visit)
    browser = cast.signed_in(cast.ingrid().user)
    sent = {f"typed-{system.pk}-outdoor_db_f": "74", f"typed-{system.pk}-outdoor_coil": "fail",
            f"note-typed-{system.pk}-outdoor_coil": "Cottonwood"}  # fmt: skip
    assert browser.post(address(visit), sent).status_code == 302
    assert list(Entry.objects.order_by("field").values_list("value", "note")) == [
        ("fail", "Cottonwood"), (74.0, ""),
    ]  # fmt: skip
    browser.post(address(visit), sent)
    assert Entry.objects.count() == 2


def test_a_refused_reading_without_a_script_is_told():
    visit = story.stop()
    name = f"typed-{story.system_of(visit).pk}-outdoor_db_f"
    answer = cast.signed_in(cast.ingrid().user).post(address(visit), {name: "740"}, follow=True)
    assert "cannot be" in answer.text


@pytest.mark.parametrize("name", ["visit", "verdicts"])
@pytest.mark.parametrize("person", [cast.odile, cast.walter, cast.priya])
def test_nobody_else_sees_it(name, person):
    visit = story.stop()
    assert cast.signed_in(person()).get(address(visit, name)).status_code == 404


@pytest.mark.parametrize("name", ["visit", "verdicts"])
def test_another_technicians_visit_is_not_found(name):
    bo = factories.TechnicianFactory(branch=cast.cedarburg(), name="Bo Larsen")
    visit = story.stop(technician=bo)
    assert cast.signed_in(cast.ingrid().user).get(address(visit, name)).status_code == 404


def test_her_own_visit_of_another_day_is_not_found_on_this_one():
    visit = story.stop()
    url = address(visit, day=story.DAY + dt.timedelta(days=1))
    assert cast.signed_in(cast.ingrid().user).get(url).status_code == 404


def test_the_verdicts_ask_for_no_more_than_they_say(django_assert_num_queries):
    visit = story.stop()
    browser = cast.signed_in(cast.ingrid().user)
    story.read(visit)
    # Session, person, branch, technician; the day's visits, this one, its systems twice; record,
    # readings; trips and readings of earlier visits.
    with django_assert_num_queries(12):
        browser.get(address(visit, "verdicts"))


def test_its_queries_do_not_grow_with_its_readings(django_assert_num_queries):
    visit = story.stop()
    browser = cast.signed_in(cast.ingrid().user)
    story.send(story.entry(visit, "outdoor_db_f", "74"))
    with django_assert_num_queries(18):
        browser.get(address(visit))
    story.read(visit)
    with django_assert_num_queries(18):
        browser.get(address(visit))
