"""Free warm slots of the coming days go to customers who can come at short notice."""

import datetime as dt

import pytest
import time_machine
from django.urls import reverse

from scheduling.models import State
from scheduling.short_notice import best_fill, fills_of
from tests import cast
from tests.scheduling import spring

pytestmark = pytest.mark.django_db
NOW = spring.at(dt.date(2027, 6, 4), 10)


@pytest.fixture(autouse=True)
def _in_june():
    with time_machine.travel(NOW, tick=False):
        yield


def test_a_free_warm_slot_finds_its_customer():
    season, _ = spring.season(), spring.technician()
    visit = spring.owed(season, short_notice=True)
    (fill,) = fills_of(season, NOW)
    assert fill.visit == visit
    assert fill.slot.warmth >= 0.9
    assert NOW + dt.timedelta(days=2) <= fill.slot.starts_at <= NOW + dt.timedelta(days=8)


def test_a_customer_who_needs_more_notice_is_left_alone():
    season, _ = spring.season(), spring.technician()
    spring.owed(season, short_notice=False)
    assert fills_of(season, NOW) == []


def test_in_a_cold_week_nothing_is_filled():
    season, _ = spring.season(), spring.technician()
    season.branch.test_temperature_f = 75
    season.branch.save()
    assert best_fill(spring.owed(season, short_notice=True), NOW) is None


def test_two_customers_are_not_shown_the_same_slot():
    season, _ = spring.season(), spring.technician()
    for _ in range(3):
        spring.owed(season, short_notice=True)
    starts = [fill.slot.starts_at for fill in fills_of(season, NOW)]
    assert len(set(starts)) == len(starts)


def test_the_office_offers_it_with_one_press():
    visit = spring.owed(spring.season(), short_notice=True)
    spring.technician()
    office = cast.signed_in(cast.odile())
    assert "Driving added" in office.get(reverse("scheduling:short-notice")).content.decode()
    office.post(reverse("scheduling:fill", args=[visit.pk]))
    visit.refresh_from_db()
    assert visit.state == State.OFFERED
    assert visit.warmth >= 0.9


def test_only_the_office_fills():
    visit = spring.owed(spring.season(), short_notice=True)
    page = reverse("scheduling:fill", args=[visit.pk])
    assert cast.signed_in(cast.priya()).post(page).status_code == 404
    assert cast.signed_in(cast.ingrid().user).post(page).status_code == 404
    assert cast.signed_in(cast.odile()).get(page).status_code == 405
