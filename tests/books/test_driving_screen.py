"""How long drives took, told by the phones, and the pace that plans go by."""

import numpy as np
import pytest
import time_machine
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from books.driving_reading import timed_drives
from books.worth.paces import LEAST_TO_ADVISE
from customers.places import PARKING_MIN, Place, travel_minutes
from scheduling.roads import drives_between
from scheduling.snapshot import take_snapshot
from shop.actions import plan_drives_at
from shop.models import Branch
from tests import cast
from tests.books import books
from tests.books.test_season_page import MAY, a_spring
from tests.scheduling import spring

pytestmark = pytest.mark.django_db
BEFORE = spring.at(spring.MONDAY, 9)
NORTH = 0.05  # degrees from stop to stop


@pytest.fixture(autouse=True)
def _in_june():
    cast.letterhead()
    with time_machine.travel(books.NOW, tick=False):
        yield


def drive(season, day, hour=9, stop=1, slower=1.5):
    """A stop straight north of the shop, its drive from the shop told by the phone."""
    shop, visit = cast.cedarburg(), books.owed(season)
    home = visit.owed_visit.home
    type(home).objects.filter(pk=home.pk).update(
        latitude=shop.latitude + NORTH * stop, longitude=shop.longitude
    )
    books.done(visit, day, "", hour=hour)
    took = round(PARKING_MIN + slower * expected_min(stop))
    starts_at = spring.at(day, hour)
    left_at = starts_at - books.dt.timedelta(minutes=took)
    books.record(visit, day, on_the_way_at=left_at, arrived_at=starts_at)
    return visit


def expected_min(stop=1):
    shop = cast.cedarburg()
    here = Place(shop.latitude, shop.longitude)
    return travel_minutes(here, Place(shop.latitude + NORTH * stop, shop.longitude)) - PARKING_MIN


def many(season, slower=1.5):
    """As many as it takes to be advised; returns the per cent that they took, in whole minutes."""
    for number in range(LEAST_TO_ADVISE):
        drive(season, MAY + number * books.A_DAY, slower=slower)
    return round(100 * round(slower * expected_min()) / expected_min())


def page(season, who=cast.odile):
    return cast.signed_in(who()).get(reverse("books:driving", args=[season.pk]))


def plan_at(season, percent, seen=100):
    where = reverse("books:driving-plan-at", args=[season.pk])
    answer = cast.signed_in(cast.odile()).post(
        where, {"percent": percent, "seen": seen}, follow=True
    )
    return answer.text


def test_a_drive_is_held_against_what_the_map_makes_one_expect():
    season = books.season()
    drive(season, MAY)
    drives = timed_drives(season)
    assert drives.expected_min == pytest.approx([expected_min()], rel=1e-4)
    assert drives.shares == pytest.approx([1.5], abs=0.05)
    assert drives.straight_km == pytest.approx([5.56], abs=0.01)


def test_the_next_stops_drive_begins_at_the_one_before():
    season = books.season()
    drive(season, MAY)
    drive(season, MAY, hour=11, stop=2)
    assert timed_drives(season).expected_min == pytest.approx([expected_min()] * 2, rel=1e-4)


def test_homes_known_by_their_zip_alone_and_untimed_drives_are_left_out():
    season = books.season()
    home = drive(season, MAY).owed_visit.home
    type(home).objects.filter(pk=home.pk).update(precision="zip")
    books.done(books.owed(season), MAY + books.A_DAY, "")
    assert len(timed_drives(season)) == 0


def test_it_is_told_in_short_by_distance_and_area_and_drawn():
    season = books.season()
    percent = many(season)
    shown = page(season).text
    assert f"Drives took {percent}&nbsp;% of what the map makes one expect" in shown
    assert f"Plan with {percent} %" in shown
    assert "2 to 4 miles" in shown
    assert "20 drives by the minutes" in shown


def test_few_drives_advise_nothing():
    season = books.season()
    drive(season, MAY)
    shown = page(season).text
    assert f"{LEAST_TO_ADVISE} drives at least" in shown
    assert "Plan with" not in shown


def test_before_the_first_timed_drive_it_says_where_they_come_from():
    assert "No drive timed yet" in page(books.season()).text


def test_the_pace_is_taken_over_and_no_longer_advised():
    season = books.season()
    percent = many(season)
    assert f"Drives count {percent} per cent" in plan_at(season, percent)
    assert Branch.objects.get().driving_percent == percent
    shown = page(season).text
    assert f"this branch plans with {percent}&nbsp;%" in shown
    assert "Plan with" not in shown


@pytest.mark.parametrize("percent", ["10", "999", "fast", ""])
def test_what_is_no_pace_is_refused(percent):
    assert "50 to 300 per cent" in plan_at(books.season(), percent)
    assert Branch.objects.get().driving_percent == 100


def test_who_comes_second_changes_nothing():
    season = books.season()
    assert plan_drives_at(branch=season.branch, percent=130, seen=100)
    assert "Somebody else has changed the pace" in plan_at(season, 150)
    assert Branch.objects.get().driving_percent == 130


def test_plans_offered_times_and_books_reckon_at_the_branchs_pace():
    season = spring.season()
    shop = season.branch
    spring.owed(season, latitude=shop.latitude + NORTH, longitude=shop.longitude)
    spring.technician()
    before = take_snapshot(season, BEFORE).problem.travel_min.table()
    ways = [Place(shop.latitude, shop.longitude), Place(shop.latitude + NORTH, shop.longitude)]
    offered = drives_between(ways, shop)(0, 1)
    plan_drives_at(branch=shop, percent=200, seen=100)
    shop.refresh_from_db()
    after = take_snapshot(season, BEFORE).problem.travel_min.table()
    assert after.max() > before.max()
    assert np.all(after >= before)
    assert drives_between(ways, shop)(0, 1) > offered


def test_as_many_queries_for_many_drives_as_for_few(django_assert_num_queries):
    season, browser = a_spring(), cast.signed_in(cast.odile())
    where = reverse("books:driving", args=[season.pk])
    drive(season, MAY)
    browser.get(where)
    with CaptureQueriesContext(connection) as few:
        browser.get(where)
    for number in range(6):
        drive(season, MAY + number * books.A_DAY, hour=7)
    with django_assert_num_queries(len(few)):
        browser.get(where)
