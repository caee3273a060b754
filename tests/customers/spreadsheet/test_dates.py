import datetime as dt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from customers.spreadsheet.dates import read_date, read_year
from customers.spreadsheet.outcomes import CellRefused

EXCEL_START = dt.date(1899, 12, 30)
days = st.dates(dt.date(1969, 1, 1), dt.date(2068, 12, 31))


@pytest.mark.parametrize(
    "text",
    [
        "2024-04-03", "2024/4/3", "20240403", "4/3/2024", "04/03/2024", "4-3-2024", "4/3/24",
        "Apr 3 2024", "Apr. 3, 2024", "April 3rd, 2024", "3 April 2024", "3-Apr-24", "03-APR-2024",
        "Wed, Apr 3, 2024", "Wednesday 4/3/2024", "2024-04-03 00:00:00", "2024-04-03T08:30:00Z",
        "4/3/2024 12:00 AM", "45385", "45385.5",
    ],
)  # fmt: skip
def test_one_day_in_every_form_that_offices_use(text):
    assert read_date(text) == dt.date(2024, 4, 3)


def test_a_day_first_date_is_refused_only_where_the_month_cannot_be():
    assert read_date("03/04/2024") == dt.date(2024, 3, 4)
    with pytest.raises(CellRefused, match="no month 13"):
        read_date("13/04/2024")


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("2/30/2024", "date_impossible"),
        ("2/29/2023", "date_impossible"),
        ("2023-02-29", "date_impossible"),
        ("Apr 2024", "date_unreadable"),
        ("Apr-24", "date_unreadable"),
        ("spring", "date_unreadable"),
        ("2024", "date_unreadable"),
        ("3.4.2024", "date_unreadable"),
        ("1/1/1949", "date_out_of_range"),
        ("99999", "date_unreadable"),
    ],
)
def test_what_is_no_day_is_refused_with_its_reason(text, code):
    with pytest.raises(CellRefused) as refused:
        read_date(text)

    assert refused.value.code == code


def test_a_leap_day_is_a_day():
    assert read_date("2/29/2024") == dt.date(2024, 2, 29)


@given(days)
def test_a_day_survives_being_written_and_read(day):
    month = day.strftime("%b")
    forms = (
        day.isoformat(),
        f"{day.month}/{day.day}/{day.year}",
        f"{day.month}/{day.day}/{day.year % 100:02}",
        f"{month} {day.day} {day.year}",
        f"{day.day}-{month}-{day.year % 100:02}",
        str((day - EXCEL_START).days),
    )
    assert {read_date(form) for form in forms} == {day}


@pytest.mark.parametrize(
    ("text", "year"),
    [("2014", 2014), ("'09", 2009), ("98", 1998), ("5/2014", 2014), ("ca. 2014", 2014),
     ("6/1/14", 2014), ("2014-06-01", 2014), ("41791", 2014)],
)  # fmt: skip
def test_a_year_is_found_in_whatever_stands_there(text, year):
    assert read_year(text, latest=2027) == year


@pytest.mark.parametrize("text", ["2031", "1899", "old", "12345678901"])
def test_a_year_that_cannot_be_is_refused(text):
    with pytest.raises(CellRefused):
        read_year(text, latest=2027)
