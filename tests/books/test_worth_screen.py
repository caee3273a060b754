"""What an agreement earns: prices divided among visits, minutes, parts, and the costs behind it."""

from decimal import Decimal

import pytest
import time_machine
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from books.actions.costs import set_costs
from books.earned_reading import earned_shares, part_key
from books.models import CostRates, PartPrice
from books.stops_reading import stops_of
from books.work_reading import cold_cost, work_of
from books.worth.sums import NOBODY
from customers.places import Place, travel_minutes
from tests import cast, factories
from tests.books import books
from tests.books.test_season_page import MAY, a_spring
from tests.scheduling import spring

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def _in_june():
    cast.letterhead()
    with time_machine.travel(books.NOW, tick=False):
        yield


def costs(**more):
    plain = {"hour_usd": Decimal("48.00"), "drive_min_usd": Decimal("0.30"), "parts": {}}
    return set_costs(branch=cast.cedarburg(), **plain | more)


def page(season, who=cast.walter):
    browser = cast.signed_in(who())
    return browser.get(reverse("books:worth", args=[season.pk]))


def test_a_done_check_earns_its_share_of_the_price_and_a_waived_one_too():
    work = work_of(a_spring())
    assert sum(line.earned for line in work.lines) == 4 * Decimal("149.00")
    assert [line.technician for line in work.lines].count(NOBODY) == 1
    assert work.trips == 4


def test_the_price_is_divided_by_what_the_checks_cost_alone():
    season = books.season()
    plan = factories.PlanFactory(
        branch=season.branch, code="both", cooling_alone=Decimal(120), heating_alone=Decimal(80)
    )
    visit = books.owed(season, plan=plan, price=Decimal("199.99"))
    heating = factories.OwedVisitFactory(agreement=visit.owed_visit.agreement, kind="heating")
    shares = earned_shares(season)
    assert shares == {visit.owed_visit_id: 119_99, heating.pk: 80_00}


def test_minutes_come_from_the_phone_and_from_the_slot_without_one():
    season = books.season()
    timed = books.owed(season)
    books.done(timed, MAY, "")
    books.record(
        timed, MAY, on_the_way_at=spring.at(MAY, 12, 40), arrived_at=spring.at(MAY, 13, 0),
        left_at=spring.at(MAY, 13, 45),
    )  # fmt: skip
    books.done(books.owed(season), MAY, "", hour=15)
    assert stops_of(season).there_min.tolist() == [45, 60]
    assert "1 trip of 2 are timed by the phones" in work_of(season).known_words


def a_day(season):
    """From the shop to Ash Street, to Birch Street, and back; the phone tells of the first leg."""
    shop = cast.cedarburg()
    visits = [books.owed(season) for _ in range(2)]
    for number, visit in enumerate(visits):
        home = visit.owed_visit.home
        north = shop.latitude + 0.05 * (number + 1)
        type(home).objects.filter(pk=home.pk).update(latitude=north, longitude=shop.longitude)
    books.done(visits[0], MAY, "", hour=9)
    books.record(visits[0], MAY, on_the_way_at=spring.at(MAY, 8, 38), arrived_at=spring.at(MAY, 9))
    books.done(visits[1], MAY, "", hour=11)
    places = [Place(shop.latitude + 0.05 * n, shop.longitude) for n in range(3)]
    return visits, travel_minutes(places[1], places[2]), travel_minutes(places[2], places[0])


def test_a_day_costs_its_whole_drive_out_between_and_back():
    season = books.season()
    _, between, back = a_day(season)
    stops = stops_of(season)
    assert stops.drive_min.sum() == round(22 + between + back)
    assert abs(stops.drive_min[0] - stops.drive_min[1]) <= 1


def test_a_trip_lost_to_cold_costs_its_part_of_that_days_drive_and_no_other_day():
    season = books.season()
    books.lost_to_cold(books.owed(season), MAY)
    alone = cold_cost(season).drive_min
    books.done(books.owed(season), MAY + books.A_DAY, "", hour=9)
    assert cold_cost(season).drive_min == alone
    books.done(books.owed(season), MAY, "", hour=13)
    stops = stops_of(season)
    (number,) = (n for n, outcome in enumerate(stops.outcome) if outcome == "cold")
    assert cold_cost(season).drive_min == stops.drive_min[number]


def test_parts_count_at_their_price_and_the_others_are_named():
    season = books.season()
    visit = books.owed(season)
    books.done(visit, MAY)
    record = visit.records.get()
    books.part(record, "Capacitor  45/5", "2")
    books.part(record, "Odd bracket")
    costs(parts={part_key("capacitor 45/5"): Decimal("11.20")})
    work = work_of(season)
    assert sum(line.materials for line in work.lines) == Decimal("22.40")
    assert work.unpriced == {"Odd bracket": 1}
    assert "Odd bracket (1)" in page(season).content.decode()


def test_without_costs_it_says_what_to_set():
    words = page(a_spring()).content.decode()
    assert "What work costs is not known" in words
    assert "$596.00" in words


def test_with_costs_it_says_what_is_left():
    costs()
    season = a_spring()
    whole = page(season).context["whole"]
    assert whole.earned - whole.time_usd - whole.truck_usd == whole.left
    assert "Trips lost" not in page(season).content.decode()


def test_each_table_goes_out_as_a_file_with_its_sum():
    costs()
    season = a_spring()
    where = reverse("books:worth-file", args=[season.pk, "technician", "csv"])
    answer = cast.signed_in(cast.walter()).get(where)
    lines = b"".join(answer.streaming_content).decode("utf-8-sig").splitlines()
    assert lines[0].startswith("Technician,Agreements")
    assert lines[-1].startswith("Together,5")


def test_a_season_without_trips_says_so():
    assert "No trip yet" in page(books.season()).content.decode()


def test_the_office_does_not_see_what_is_earned():
    assert page(a_spring(), cast.odile).status_code == 404
    assert cast.signed_in(cast.odile()).get(reverse("books:costs")).status_code == 404


def test_the_cost_of_cold_trips_stands_in_the_seasons_books():
    costs()
    season = a_spring()
    cost = cold_cost(season)
    assert cost.usd == round(48 + cost.drive_min * (48 / Decimal(60) + Decimal("0.30")), 2)
    words = cast.signed_in(cast.odile()).get(reverse("books:season", args=[season.pk]))
    assert f"together ${cost.usd} at this branch" in words.content.decode()


def sent(**changes):
    plain = {"hour_usd": "48", "drive_min_usd": "0.30", "parts": ""}
    return cast.signed_in(cast.walter()).post(reverse("books:costs"), plain | changes)


def test_costs_are_kept_and_a_part_that_is_not_named_has_no_price_any_more():
    assert sent(parts="Fuse 30 A = $4.50\nContactor = 19").status_code == 302
    sent(parts="fuse 30 a = 5")
    assert PartPrice.objects.get().usd == Decimal("5.00")
    assert CostRates.objects.get().hour_usd == Decimal("48.00")


def test_who_sets_costs_second_is_shown_the_difference_and_loses_nothing():
    costs(parts={"fuse": Decimal("4.50")})
    (form,) = cast.signed_in(cast.walter()).get(reverse("books:costs")).context["forms"]
    seen = form[form.seen_name].value()
    costs(hour_usd=Decimal("55.00"), parts={"fuse": Decimal("4.50"), "coil": Decimal("90")})
    answer = sent(parts="Fuse = 5", **{form.seen_name: seen})
    (form,) = answer.context["forms"]
    assert answer.status_code == 409
    assert [(one.label, one.yours_stays) for one in form.differences] == [
        ("An hour of a technician, USD", False), ("What parts cost, USD each", True),
    ]  # fmt: skip
    assert PartPrice.objects.get(key="coil").usd == 90
    again = {name: form[name].value() for name in form.fields}
    assert sent(**again).status_code == 302
    assert CostRates.objects.get().hour_usd == Decimal("55.00")
    assert [(price.key, price.usd) for price in PartPrice.objects.all()] == [("fuse", 5)]


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        ({"hour_usd": "-1"}, "0 to 500 dollars"),
        ({"drive_min_usd": "a lot"}, "0 to 20 dollars"),
        ({"parts": "Fuse"}, "Line 1: write the part"),
        ({"parts": "Fuse = 1\nCoil = many"}, "Line 2: “many” is no price"),
        ({"parts": "Fuse = 1\nfuse = 2"}, "stands here twice"),
        ({"parts": "Fuse = NaN"}, "is no price"),
    ],
)
def test_what_is_no_cost_is_refused_and_stays_typed(wrong, words):
    answer = sent(**wrong)
    assert answer.status_code == 422
    assert words in answer.content.decode()
    assert not CostRates.objects.exists()


def test_as_many_queries_for_many_trips_as_for_few(django_assert_num_queries):
    season, browser = a_spring(), cast.signed_in(cast.walter())
    where = reverse("books:worth", args=[season.pk])
    browser.get(where)
    with CaptureQueriesContext(connection) as few:
        browser.get(where)
    for number in range(8):
        books.done(books.owed(season), MAY + number * books.A_DAY, "warm", hour=8)
    with django_assert_num_queries(len(few)):
        browser.get(where)
