"""Every list of the office costs as many queries for thirty rows as for three."""

import datetime as dt
from decimal import Decimal

import pytest
import time_machine
from django.db import connection
from django.test.utils import CaptureQueriesContext

from agreements.actions.paying import record_payment, refund
from fieldwork.models import Entry, Recommendation
from front.lists import LISTS
from reminders.models import HomeEvent, NoStart
from tests import cast, factories
from tests.access.world import NOW
from tests.books import books
from tests.front.test_files import address, rows_of, sold
from tests.scheduling import spring

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("_in_april")]
# A month of revenue is one row for all agreements; of a day's reminders few homes have one, though
# all of them are looked at.
ROWS_OF_THEIR_OWN = {"revenue", "reminders"}


@pytest.fixture
def _in_april():
    with time_machine.travel(NOW, tick=False):
        yield


def one_more_of_everything(number: int, season) -> None:
    day, who = season.starts_on + number * books.A_DAY, cast.odile()
    agreement = sold(f"Customer {number:02d}")
    home, system = agreement.home, agreement.systems.get()
    record_payment(agreement=agreement, amount=Decimal(9), on=NOW.date(), how="cash", by=who)
    refund(agreement=agreement, amount=Decimal(1), on=NOW.date(), how="cash", why="kind", by=who)
    visit = factories.VisitFactory(owed_visit=agreement.owed_visits.first(), season=season)
    books.done(visit, day, "")
    record = books.record(visit, day)
    Entry.objects.create(
        record=record, system=system, field="outdoor_db_f", typed="70", value=70, made_at=NOW,
        by=who, event=books.event(record),
    )  # fmt: skip
    Recommendation.objects.create(
        record=record, words="New contactor", urgency="watch", made_at=NOW, changed_at=NOW,
        event=books.event(record),
    )  # fmt: skip
    changed = dt.date(2026, 12, 1)
    filter_ = factories.FilterFactory(system=system, last_changed_on=changed)
    HomeEvent.objects.create(
        home=home, kind="filter_changed", filter=filter_, on=changed, told_at=NOW
    )
    NoStart.objects.create(home=home, asked_at=NOW, outcome="call", seen_at=NOW, seen_by=who)
    factories.LetterFactory(customer=home.customer)
    factories.TechnicianFactory(branch=home.customer.branch)


def queries_by_list(browser) -> dict[str, int]:
    found = {}
    for name in LISTS:
        with CaptureQueriesContext(connection) as asked:
            list(browser.get(address(name)).streaming_content)
        found[name] = len(asked)
    return found


def test_each_list_costs_as_many_queries_for_thirty_rows_as_for_three():
    cast.letterhead()
    spring.season()  # the branch has a climate
    season, browser = books.season(), cast.signed_in(cast.odile())
    for number in range(3):
        one_more_of_everything(number, season)
    queries_by_list(browser)  # what is written once is written now
    few = queries_by_list(browser)
    rows = {name: len(rows_of(name)) for name in LISTS}
    for number in range(3, 30):
        one_more_of_everything(number, season)
    assert queries_by_list(browser) == few
    for name in LISTS.keys() - ROWS_OF_THEIR_OWN:
        assert len(rows_of(name)) >= rows[name] + 27 >= 30, name
