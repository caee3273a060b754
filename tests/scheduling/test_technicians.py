"""Technicians: hours of the week, skills, days off."""

import pytest
from django.urls import reverse

from scheduling.models import Technician
from tests import cast
from tests.scheduling import spring

pytestmark = pytest.mark.django_db
NEW = reverse("scheduling:technician-new")
TUESDAY = {"starts_1": "08:00", "ends_1": "16:30", "lunch_1": "30"}


def test_a_new_technician_works_on_the_days_that_have_hours():
    sent = {"name": "Bo Larsen", "skills": ["cooling"], "active": "on"} | TUESDAY
    cast.signed_in(cast.odile()).post(NEW, sent)
    bo = Technician.objects.get(name="Bo Larsen")
    assert (bo.branch, bo.skills) == (cast.cedarburg(), ["cooling"])
    assert [(shift.weekday, shift.lunch_min) for shift in bo.shifts.all()] == [(1, 30)]


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"ends_1": "07:00"}, "Tuesday ends before it starts"),
        ({"ends_1": ""}, "Tuesday needs a start and an end"),
        ({"latitude": "43.0"}, "Give latitude and longitude, or neither"),
        ({"name": "Ingrid Solberg"}, "There is a technician Ingrid Solberg already"),
    ],
)
def test_hours_that_cannot_be_are_refused_by_name(change, words):
    spring.technician()
    sent = {"name": "Bo Larsen", "skills": ["cooling"]} | TUESDAY | change
    answer = cast.signed_in(cast.odile()).post(NEW, sent)
    assert answer.status_code == 422
    assert words in answer.content.decode()


def test_a_day_off_is_added_and_taken_back():
    ingrid, office = spring.technician(), cast.signed_in(cast.odile())
    off = {"first": "2027-05-24", "last": "2027-05-25", "why": "Training"}
    office.post(reverse("scheduling:days-off", args=[ingrid.pk]), off)
    absence = ingrid.days_off.get()
    office.post(reverse("scheduling:days-on", args=[ingrid.pk, absence.pk]))
    assert not ingrid.days_off.exists()


def test_a_day_off_that_ends_before_it_begins_is_refused():
    ingrid = spring.technician()
    off = {"first": "2027-05-25", "last": "2027-05-24"}
    answer = cast.signed_in(cast.odile()).post(
        reverse("scheduling:days-off", args=[ingrid.pk]), off
    )
    assert "before the first" in answer.content.decode()


def test_only_the_office_sees_them():
    page = reverse("scheduling:technicians")
    assert cast.signed_in(cast.odile()).get(page).status_code == 200
    assert cast.signed_in(cast.ingrid().user).get(page).status_code == 404


def test_a_stranger_cannot_edit_our_technician():
    page = reverse("scheduling:technician", args=[spring.technician().pk])
    assert cast.signed_in(cast.priya()).get(page).status_code == 404
