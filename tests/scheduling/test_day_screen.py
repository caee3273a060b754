"""The day screen: hours beside the temperature curve; a technician sees only her own day."""

import datetime as dt

import pytest
from django.urls import reverse

from customers.models import Customer
from scheduling.actions.visits import pencil_visit
from scheduling.day import A_PAGE
from scheduling.models import Visit
from tests import cast, factories
from tests.scheduling import spring

pytestmark = pytest.mark.django_db
PAGE = reverse("scheduling:day", args=[spring.MONDAY])


def day_with(visits: int = 1):
    """Monday with visits of Ingrid and one of Bo."""
    season, ingrid = spring.season(), spring.technician()
    bo = factories.TechnicianFactory(branch=season.branch, name="Bo Larsen")
    placed = [spring.owed(season) for _ in range(visits + 1)]
    for hour, visit in enumerate(placed, start=8):
        pencil_visit(
            visit=visit,
            technician=bo if visit is placed[-1] else ingrid,
            starts_at=spring.at(spring.MONDAY, hour),
            minutes=50,
            now=spring.at(spring.MONDAY, 7),
        )
    return placed


def name_of(visit) -> str:
    return visit.owed_visit.home.customer.name


def test_the_office_sees_every_technicians_day():
    hers, his = day_with()
    page = cast.signed_in(cast.odile()).get(PAGE).content.decode()
    assert name_of(hers) in page
    assert name_of(his) in page


def test_a_technician_sees_only_her_own_day():
    hers, his = day_with()
    page = cast.signed_in(cast.ingrid().user).get(PAGE).content.decode()
    assert name_of(hers) in page
    assert name_of(his) not in page


def test_each_visit_says_when_with_whom_and_why_there():
    hers, _ = day_with()
    Customer.objects.filter(pk=hers.owed_visit.home.customer_id).update(name="Ann <b>O'Dea</b>")
    Visit.objects.filter(pk=hers.pk).update(warmth=0.85, travel_added_min=65)

    page = cast.signed_in(cast.odile()).get(PAGE).text

    link = reverse("scheduling:visit", args=[hers.pk])
    assert f'<a href="{link}">Ann &lt;b&gt;O&#x27;Dea&lt;/b&gt;</a>, ' in page
    assert "Cooling check until 8:50\xa0AM; likely warm enough (85\xa0%); adds" in page
    assert "adds 1\xa0h 5\xa0min of driving; due by Jun" in page


def test_a_technicians_visits_do_not_lead_to_the_offices_page():
    hers, _ = day_with()
    page = cast.signed_in(cast.ingrid().user).get(PAGE).text
    assert f"<strong>{name_of(hers)}</strong>, " in page
    assert reverse("scheduling:visit", args=[hers.pk]) not in page


def test_it_says_from_what_hour_it_is_warm_enough():
    day_with()
    page = cast.signed_in(cast.odile()).get(PAGE).content.decode()
    assert "Testable from" in page or "Testable all day" in page


def test_a_day_off_is_said():
    spring.season()
    ingrid = spring.technician()
    ingrid.days_off.create(first=spring.MONDAY, last=spring.MONDAY, why="Training")
    page = cast.signed_in(cast.odile()).get(PAGE).content.decode()
    assert "Off: Training" in page


def test_another_branch_sees_none_of_it():
    hers, _ = day_with()
    page = cast.signed_in(cast.priya()).get(PAGE).content.decode()
    assert name_of(hers) not in page


def test_a_day_that_is_none_is_not_found():
    cast.odile()
    assert cast.signed_in(cast.odile()).get("/season/day/2027-13-45/").status_code == 404


def test_the_form_leads_to_the_day_picked():
    answer = cast.signed_in(cast.odile()).get(reverse("scheduling:today"), {"day": "2027-05-24"})
    assert answer.url == PAGE


def test_it_is_read_only():
    assert cast.signed_in(cast.odile()).post(PAGE).status_code == 405


def test_its_queries_do_not_grow_with_its_visits(django_assert_num_queries):
    day_with(8)
    office = cast.signed_in(cast.odile())
    with django_assert_num_queries(10):
        office.get(PAGE)


def test_a_long_day_takes_pages_and_everybody_is_found_from_the_first(django_assert_num_queries):
    (hers, _), office = day_with(), cast.signed_in(cast.odile())
    ingrid = hers.technician
    for number in range(A_PAGE):
        factories.TechnicianFactory(branch=ingrid.branch, name=f"Aart {number:02}")
    with django_assert_num_queries(11):
        first = office.get(PAGE).text
    assert name_of(hers) not in first
    assert f'<a href="?page=2#technician-{ingrid.pk}">{ingrid.name}</a>' in first
    assert f'id="technician-{ingrid.pk}"' in office.get(PAGE, {"page": "2"}).text


def test_a_long_day_is_also_one_page_to_print():
    hers, his = day_with()
    for number in range(A_PAGE):
        factories.TechnicianFactory(branch=hers.technician.branch, name=f"Aart {number:02}")
    page = cast.signed_in(cast.odile()).get(PAGE, {"show": "all"}).text
    assert name_of(hers) in page
    assert name_of(his) in page
    assert 'class="pager"' not in page


def test_a_technician_without_a_row_of_her_own_sees_nothing():
    user = factories.UserFactory(role="technician", branch=cast.cedarburg())
    assert cast.signed_in(user).get(PAGE).status_code == 404


def test_a_visit_before_dawn_stands_on_its_own_day():
    season, ingrid = spring.season(), spring.technician()
    visit = spring.owed(season)
    pencil_visit(
        visit=visit,
        technician=ingrid,
        starts_at=spring.at(spring.MONDAY, 0, 10),
        minutes=30,
        now=spring.at(spring.MONDAY, 7),
    )
    day_before = reverse("scheduling:day", args=[spring.MONDAY - dt.timedelta(days=1)])
    page = cast.signed_in(cast.odile()).get(day_before).content.decode()
    assert name_of(visit) not in page
