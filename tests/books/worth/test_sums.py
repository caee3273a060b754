"""What is left: the parts add up to the whole, to the cent, however they are cut."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from books.worth.sums import NOBODY, Rates, WorkLine, table, trips_cost

MONEY = st.decimals(0, 500, places=2)
LINES = st.lists(
    st.builds(
        WorkLine,
        agreements=st.frozensets(st.integers(1, 30), min_size=1),
        trips=st.integers(1, 5),
        plan=st.sampled_from(["Spring", "Both"]),
        area=st.sampled_from(["53012", "53092", "53214"]),
        technician=st.sampled_from(["Ingrid", "Tomas", NOBODY]),
        there_min=st.integers(0, 360),
        drive_min=st.integers(0, 180),
        earned=MONEY,
        materials=MONEY,
        done=st.integers(0, 5),
    ),
    max_size=40,
)
RATES = st.builds(Rates, hour_usd=MONEY, drive_min_usd=st.decimals(0, 5, places=2))
COLUMNS = (
    "trips", "done", "there_min", "drive_min", "earned", "time_usd", "truck_usd", "materials",
)  # fmt: skip


def line(**more):
    plain = {
        "agreements": frozenset({1}), "trips": 1,
        "plan": "Spring", "area": "53012", "technician": "Ingrid",
        "there_min": 60, "drive_min": 10, "earned": Decimal("149.00"), "materials": Decimal("0.00"),
        "done": 1,
    }  # fmt: skip
    return WorkLine(**plain | more)


@given(LINES, RATES, st.sampled_from(["plan", "area", "technician"]))
def test_the_rows_sum_to_the_whole_in_every_column(lines, rates, by):
    found = table(lines, rates, lambda one: getattr(one, by))
    for column in COLUMNS:
        assert sum(getattr(row, column) for row in found.rows) == (
            getattr(found.whole, column) or 0
        )


@given(LINES, RATES)
def test_the_whole_is_the_same_by_whatever_it_is_cut(lines, rates):
    wholes = {
        by: table(lines, rates, lambda one, by=by: getattr(one, by)).whole
        for by in ("plan", "area", "technician")
    }
    assert len({(w.earned, w.time_usd, w.truck_usd, w.materials) for w in wholes.values()}) == 1


@given(LINES, RATES, st.integers(1, 4))
def test_what_is_too_much_for_the_screen_stands_in_one_row_of_others(lines, rates, most):
    found = table(lines, rates, lambda one: f"{min(one.agreements)}", most)
    assert len(found.rows) <= most
    assert sum(row.earned for row in found.rows) == found.whole.earned
    assert sum(row.time_usd for row in found.rows) == (found.whole.time_usd or 0)


def test_an_hour_and_the_drive_are_taken_from_the_price():
    rates = Rates(Decimal("48.00"), Decimal("0.30"))
    (row,) = table([line()], rates, lambda one: one.plan).rows
    assert (row.time_usd, row.truck_usd) == (Decimal("56.00"), Decimal("3.00"))
    assert row.left == row.left_a_visit == Decimal("90.00")


def test_without_rates_nothing_is_left_to_say_but_hours_stay():
    (row,) = table([line()], Rates(None, Decimal(1)), lambda one: one.plan).rows
    assert (row.time_usd, row.left, row.there_min) == (None, None, 60)


def test_a_trip_lost_to_cold_costs_time_twice_over():
    rates = Rates(Decimal("60.00"), Decimal("0.50"))
    assert trips_cost(2 * 20, 2 * 15, rates) == Decimal("85.00")
    with pytest.raises(ValueError, match="what an hour costs"):
        trips_cost(20, 15, Rates(None, None))
