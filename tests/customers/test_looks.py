"""Gate codes and notes: who is shown them, and that every look is written down."""

import datetime as dt

import pytest
import time_machine
from django.db import IntegrityError, transaction
from django.urls import reverse

from customers.actions import note_looks
from customers.models import Customer, Home, HomeLook, Screen
from tests import cast, factories
from tests.fieldwork import day_of_checks as story

pytestmark = pytest.mark.django_db
MY_DAY, LOOKS = reverse("fieldwork:my-day"), reverse("customers:looks")
CODE, NOTE, SAID = "4471#", "Key under the blue pot", "Speak up, hard of hearing"


@pytest.fixture(autouse=True)
def _monday():
    with time_machine.travel(story.NOON, tick=False):
        yield


def noras_secrets() -> Home:
    home = cast.noras_home()
    Home.objects.filter(pk=home.pk).update(gate_code=CODE, access_notes=NOTE)
    Customer.objects.filter(pk=home.customer_id).update(notes=SAID)
    return Home.objects.get(pk=home.pk)


def looked(user, address: str) -> str:
    return cast.signed_in(user).get(address).text


def lines() -> set[tuple[str, str]]:
    return {(look.by.username, look.screen) for look in HomeLook.objects.select_related("by")}


def test_the_office_s_look_at_a_home_is_written_down_and_shown_on_its_page():
    home = noras_secrets()
    page = looked(cast.odile(), reverse("customers:home", args=[home.pk]))
    assert CODE in page
    assert "Odile Marsh, May 24, 2027" in page
    assert lines() == {("odile", Screen.HOME)}


@pytest.mark.parametrize("name", ["customers:home-edit", "customers:customer-edit"])
def test_a_form_that_shows_them_counts_as_a_look_also_when_it_is_refused(name):
    home = noras_secrets()
    answer = cast.signed_in(cast.odile()).post(reverse(name, args=[home.pk]), {})
    assert answer.status_code == 422
    assert [look.by for look in HomeLook.objects.all()] == [cast.odile()]


def test_a_home_without_codes_and_notes_leaves_no_line():
    looked(cast.odile(), reverse("customers:home", args=[cast.noras_home().pk]))
    assert lines() == set()


def test_the_phone_s_day_is_a_look_when_it_is_fetched():
    story.stop(gate_code=CODE, access_notes=NOTE)
    page = looked(cast.ingrid().user, MY_DAY)
    assert CODE in page
    assert NOTE in page
    assert lines() == {("ingrid", Screen.DAY)}


def test_a_phone_that_fetches_its_day_again_and_again_leaves_one_line_in_ten_minutes():
    story.stop(gate_code=CODE)
    for minute in (0, 3, 9, 10):
        with time_machine.travel(story.NOON + dt.timedelta(minutes=minute), tick=False):
            looked(cast.ingrid().user, MY_DAY)
    assert HomeLook.objects.count() == 2


def test_a_technician_of_another_day_sees_neither_code_nor_note():
    story.stop(gate_code=CODE, access_notes=NOTE)
    on_monday = reverse("fieldwork:other-day", args=[story.DAY])
    sheet = reverse("fieldwork:sheet", args=[story.DAY])
    with time_machine.travel(story.NOON - dt.timedelta(days=1), tick=False):
        pages = [looked(cast.ingrid().user, address) for address in (MY_DAY, on_monday, sheet)]
    assert not any(CODE in page or NOTE in page for page in pages)
    assert lines() == set()


@pytest.mark.parametrize("branch", [cast.cedarburg, cast.sheboygan])
def test_another_technician_is_refused_also_of_another_branch(branch):
    visit = story.stop(gate_code=CODE, access_notes=NOTE)
    user = factories.UserFactory(username="bo", role="technician", branch=branch())
    factories.TechnicianFactory(branch=branch(), name="Bo Larsen", user=user)
    browser, home = cast.signed_in(user), visit.owed_visit.home
    addresses = [
        MY_DAY,
        reverse("fieldwork:sheet", args=[story.DAY]),
        reverse("fieldwork:visit", args=[story.DAY, visit.pk]),
        reverse("fieldwork:home-work", args=[home.pk]),
        reverse("customers:home", args=[home.pk]),
        reverse("customers:home-edit", args=[home.pk]),
    ]
    assert not any(CODE in (page := browser.get(a).text) or NOTE in page for a in addresses)
    assert lines() == set()


def test_the_paper_has_notes_for_the_office_and_never_a_code():
    story.stop(gate_code=CODE, access_notes=NOTE)
    page = looked(cast.odile(), reverse("fieldwork:sheet", args=[story.DAY]))
    assert NOTE in page
    assert CODE not in page
    assert lines() == {("odile", Screen.SHEET)}


def test_the_owner_narrows_the_looks_by_person_screen_day_and_home():
    home = noras_secrets()
    at = dt.datetime(2027, 4, 1, 15, tzinfo=dt.UTC)
    note_looks(homes=[home], by=cast.odile(), screen=Screen.HOME, now=at)
    note_looks(homes=[home], by=cast.ingrid().user, screen=Screen.DAY, now=at)
    browser = cast.signed_in(cast.walter())
    wanted = {
        "": 2, f"?by={cast.odile().pk}": 1, "?screen=day": 1, "?first=2027-04-02": 0,
        "?last=2027-04-01": 2, "?q=whitfield+alder": 2, "?q=elsewhere": 0, f"?home={home.pk}": 2,
        "?first=nonsense": 2,
    }  # fmt: skip
    found = {a: len(browser.get(LOOKS + a).context["page"].object_list) for a in wanted}
    assert found == wanted


def test_only_the_owner_reads_the_list_and_nobody_writes_to_it():
    assert cast.signed_in(cast.odile()).get(LOOKS).status_code == 404
    assert cast.signed_in(cast.ingrid().user).get(LOOKS).status_code == 404
    assert cast.signed_in(cast.walter()).post(LOOKS).status_code == 405


def test_an_empty_list_says_what_will_stand_there():
    cast.cedarburg()
    assert "Nobody looked yet" in looked(cast.walter(), LOOKS)


def test_a_long_list_costs_no_more_queries(django_assert_num_queries):
    home, at = noras_secrets(), dt.datetime(2027, 4, 1, tzinfo=dt.UTC)
    for hour in range(60):
        later = at + dt.timedelta(hours=hour)
        note_looks(homes=[home], by=cast.odile(), screen=Screen.HOME, now=later)
    browser = cast.signed_in(cast.walter())
    with django_assert_num_queries(7):
        assert browser.get(LOOKS).status_code == 200


def test_the_database_keeps_a_look_as_it_was_written():
    note_looks(homes=[noras_secrets()], by=cast.odile(), screen=Screen.HOME, now=story.NOON)
    with pytest.raises(IntegrityError), transaction.atomic():
        HomeLook.objects.update(by=cast.walter())
    with pytest.raises(IntegrityError), transaction.atomic():
        HomeLook.objects.all().delete()


def test_an_old_look_may_be_forgotten():
    old = dt.datetime(2020, 4, 1, tzinfo=dt.UTC)
    note_looks(homes=[noras_secrets()], by=cast.odile(), screen=Screen.HOME, now=old)
    HomeLook.objects.before(story.NOON).delete()
    assert not HomeLook.objects.exists()
