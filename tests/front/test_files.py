"""Each list of the office as a file: what is in it, for whom, and what it costs."""

import csv
import datetime as dt
import io
from decimal import Decimal

import pytest
import time_machine
from django.urls import reverse
from python_calamine import CalamineWorkbook

from agreements.actions.agreeing import sell_agreement
from agreements.actions.paying import record_payment, refund
from customers.models import Home
from front.lists import LISTS
from tests import cast, factories
from tests.access.world import NOW, World

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("_in_april")]


@pytest.fixture
def _in_april():
    with time_machine.travel(NOW, tick=False):
        yield


def address(name: str, ending: str = "csv", **asked: str) -> str:
    query = "&".join(f"{key}={value}" for key, value in asked.items())
    return reverse("front:list-file", args=[name, ending]) + (f"?{query}" if query else "")


def bytes_of(name: str, ending: str = "csv", user=None, **asked: str) -> bytes:
    answer = cast.signed_in(user or cast.odile()).get(address(name, ending, **asked))
    assert answer.status_code == 200
    return b"".join(answer.streaming_content)


def rows_of(name: str, user=None, **asked: str) -> list[dict[str, str]]:
    text = bytes_of(name, "csv", user, **asked).decode("utf-8-sig")
    return list(csv.DictReader(io.StringIO(text, newline="")))


def sold(name: str = "Nora Whitfield"):
    home = factories.HomeFactory(customer__branch=cast.cedarburg(), customer__name=name)
    return sell_agreement(
        home=home,
        plan=cast.spring_check(),
        systems=[factories.SystemFactory(home=home)],
        starts_on=dt.date(2027, 1, 1),
        rhythm="yearly",
        by=cast.odile(),
    )


def one_of_everything() -> None:
    world = World()
    _ = world.recommendation, world.letter, world.no_start, world.payment
    sold("Ben Castellan")


def test_every_list_comes_as_csv_and_xlsx_with_the_same_rows():
    one_of_everything()

    for name, found in LISTS.items():
        book = CalamineWorkbook.from_filelike(io.BytesIO(bytes_of(name, "xlsx")))
        headings, *rows = book.get_sheet_by_index(0).to_python()
        assert headings == [column.heading for column in found.columns]
        assert len(rows) == len(rows_of(name)), name


def test_an_agreement_stands_there_with_its_price_and_term():
    sold()

    (row,) = rows_of("agreements")

    assert (row["Customer"], row["Price, USD"]) == ("Nora Whitfield", "149.00")
    assert (row["First day"], row["Last day"]) == ("2027-01-01", "2027-12-31")


def test_a_list_comes_narrowed_as_its_screen():
    sold()
    sold("Ben Castellan")

    assert [row["Customer"] for row in rows_of("agreements", q="nora")] == ["Nora Whitfield"]
    assert [row["Customer"] for row in rows_of("homes", q="castellan")] == ["Ben Castellan"]


def test_gate_codes_and_notes_about_the_way_in_stay_in_redbud():
    Home.objects.filter(pk=cast.noras_home().pk).update(gate_code="4711", access_notes="key at 12")

    for name in ("homes", "systems"):
        assert b"4711" not in bytes_of(name)
        assert b"key at 12" not in bytes_of(name)


def test_payments_and_refunds_come_with_who_recorded_them():
    agreement = sold()
    day = dt.date(2027, 2, 1)
    record_payment(
        agreement=agreement, amount=Decimal(149), on=day, how="check", reference="77",
        by=cast.odile(),
    )  # fmt: skip
    refund(agreement=agreement, amount=Decimal(9), on=day, how="cash", why="kind", by=cast.odile())

    assert rows_of("payments")[0] | {"Number": "77", "By": "Odile Marsh"} == rows_of("payments")[0]
    assert rows_of("refunds")[0]["Amount, USD"] == "9.00"


def test_money_comes_for_the_days_that_are_asked_for():
    sold()

    assert rows_of("charges", first="2027-01-01", last="2027-01-31")
    assert not rows_of("charges", first="2027-01-02")


def test_another_branch_gets_nothing_of_it():
    one_of_everything()

    for name in LISTS:
        assert rows_of(name, cast.priya()) == []


def test_a_file_that_nobody_offers_is_not_found():
    browser = cast.signed_in(cast.odile())

    assert browser.get(address("secrets")).status_code == 404
    assert browser.get(address("homes", "exe")).status_code == 404
    assert browser.post(address("homes")).status_code == 405


def test_the_screen_names_each_file():
    page = cast.signed_in(cast.odile()).get(reverse("front:files")).text

    for name in LISTS:
        assert address(name, "csv") in page
        assert address(name, "xlsx") in page


@pytest.mark.parametrize(
    ("name", "queries"),
    [("agreements", 4), ("homes", 5), ("systems", 5), ("owed-visits", 4), ("charges", 4),
     ("payments", 4), ("letters", 4), ("visits", 5), ("postings", 9)],
)  # fmt: skip
def test_a_long_list_costs_no_more_queries_than_a_short_one(
    name, queries, django_assert_max_num_queries
):
    for number in range(12):
        agreement = sold(f"Customer {number:02d}")
        record_payment(
            agreement=agreement, amount=Decimal(9), on=NOW.date(), how="cash", by=cast.odile()
        )
        factories.VisitFactory(owed_visit=agreement.owed_visits.first())
        factories.LetterFactory(customer=agreement.home.customer)
    browser = cast.signed_in(cast.odile())

    with django_assert_max_num_queries(queries):  # session and person among them
        list(browser.get(address(name)).streaming_content)
