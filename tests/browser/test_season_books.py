"""The owner looks at the season's books, opens a number's list, and asks what fits."""

import re

import pytest
from playwright.sync_api import expect

from tests.browser.conftest import DESKTOP, PHONE, YEAR, faults, picture, served, sign_in
from tests.real.services import manage

pytestmark = [pytest.mark.slow, pytest.mark.xdist_group("browser")]

# Two homes of last spring: one check done, one let go; and one owed in the coming spring.
ROWS = f"""
import datetime as dt
from decimal import Decimal
from agreements.actions.plans import version_on
from agreements.models import Agreement, OwedVisit, Plan
from books.actions.costs import set_costs
from customers.models import Customer, Home
from django.utils import timezone
from fieldwork.actions.check_lists import current_version
from fieldwork.models import Record
from kit.when import moment_at
from scheduling.actions.visits import complete_visit, promise_visit, waive_visit
from scheduling.models import Season, Visit
from shop.models import Branch
branch = Branch.objects.get()
plan = Plan.objects.filter(branch=branch).first()
def owed(season, year, number):
    customer = Customer.objects.create(branch=branch, name=f"Books {{year}} {{number}}")
    home = Home.objects.create(customer=customer, street=f"{{number}} Elm", city="West Allis",
        state="WI", zip="53214", latitude=43.01, longitude=-88.0, precision="exact")
    start = dt.date(year, 1, 1)
    made = Agreement.objects.create(home=home, plan=plan, version=version_on(plan=plan, day=start),
        anchor_on=start, starts_on=start, ends_on=dt.date(year, 12, 31), price=Decimal("149.00"))
    row = OwedVisit.objects.create(agreement=made, kind="cooling", due_from=dt.date(year, 3, 1),
        due_until=dt.date(year, 6, 15))
    return Visit.objects.create(owed_visit=row, season=season)
for year in ({YEAR - 1}, {YEAR}):
    season, _ = Season.objects.get_or_create(branch=branch, name=f"Spring {{year}}",
        defaults={{"starts_on": dt.date(year, 4, 5), "ends_on": dt.date(year, 6, 26)}})
    visits = [owed(season, year, number) for number in range(3)]
    if year == {YEAR}:
        continue
    at = moment_at(dt.date(year, 5, 20), 13 * 60, branch.zone)
    promise_visit(visit=visits[0], technician=branch.technicians.first(), starts_at=at, minutes=60,
        now=at - dt.timedelta(days=7))
    complete_visit(visit=visits[0], now=at + dt.timedelta(hours=1))
    waive_visit(visit=visits[1], why="moves out", now=at)
# A season before them, of which only the drives are told.
old = Season.objects.create(branch=branch, name="Spring {YEAR - 2}",
    starts_on=dt.date({YEAR - 2}, 4, 5), ends_on=dt.date({YEAR - 2}, 6, 26))
version = current_version(branch=branch, kind="cooling", now=timezone.now())
for number in range(20):
    visit = owed(old, {YEAR - 2}, number)
    at = moment_at(dt.date({YEAR - 2}, 5, 1) + number * dt.timedelta(days=1), 13 * 60, branch.zone)
    visit = promise_visit(visit=visit, technician=branch.technicians.first(), starts_at=at,
        minutes=60, now=at)
    Record.objects.create(visit=visit, day=at.date(), technician=visit.technician, version=version,
        outcome="done", completed_at=at, arrived_at=at, on_the_way_at=at - dt.timedelta(minutes=25))
    complete_visit(visit=visit, now=at + dt.timedelta(hours=1))
set_costs(branch=branch, hour_usd=Decimal(52), drive_min_usd=Decimal("0.35"), parts={{}})
print(*(Season.objects.get(name=f"Spring {{{YEAR} + n}}").pk for n in (-1, 0, -2)))
"""


@pytest.fixture(scope="module")
def told(tmp_path_factory):
    """A shop of its own with three springs: the shop, and their addresses, the oldest last."""
    with served(tmp_path_factory.mktemp("books"), "--without-homes") as shop:
        seasons = manage("shell", "-v", "0", "-c", ROWS, **shop.env).stdout.split()
        yield shop, *(f"{shop.url}/books/{season}/" for season in seasons)


@pytest.mark.parametrize(("name", "size"), [("desktop", DESKTOP), ("phone", PHONE)])
def test_the_owner_reads_the_books_and_opens_a_number(browser, told, name, size):
    shop, last, *_ = told
    page = sign_in(browser, shop, "owner", size)
    page.goto(last)
    picture(page, f"books-{name}")
    assert faults(page) == []
    assert page.evaluate("document.documentElement.scrollWidth") == size["width"]

    page.get_by_role("link", name=re.compile("Waived: the list")).click()
    expect(page.get_by_role("link", name=f"Books {YEAR - 1} 1")).to_be_visible()
    assert faults(page) == []

    page.get_by_role("link", name="What an agreement earns").click()
    expect(page.get_by_text("$298.00").first).to_be_visible()
    picture(page, f"worth-{name}")
    assert faults(page) == []
    page.context.close()


def test_the_quick_answer_stands_there_before_the_planner_is_asked(browser, told):
    shop, _, coming, _ = told
    page = sign_in(browser, shop, "owner", PHONE)
    page.goto(f"{coming}capacity/")
    expect(page.get_by_role("heading", name="Can we sell more?")).to_be_visible()
    expect(page.get_by_text(re.compile("The 3 checks owed fit"))).to_be_visible()
    picture(page, "capacity-phone")
    assert faults(page) == []
    assert page.evaluate("document.documentElement.scrollWidth") == PHONE["width"]


def test_the_office_plans_at_the_pace_that_the_phones_timed(browser, told):
    shop, *_, old = told
    page = sign_in(browser, shop, "office", PHONE)
    page.goto(f"{old}driving/")
    expect(page.get_by_text("20 drives timed by phones")).to_be_visible()
    assert faults(page) == []
    assert page.evaluate("document.documentElement.scrollWidth") == PHONE["width"]
    page.get_by_role("button", name=re.compile("Plan with")).click()
    expect(page.get_by_text(re.compile("per cent of the map's from now on"))).to_be_visible()
    expect(page.get_by_role("button", name=re.compile("Plan with"))).to_have_count(0)
