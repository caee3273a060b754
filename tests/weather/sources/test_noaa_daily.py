"""A NOAA daily-summaries file is read, or refused by row and column."""

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from weather.climate import DailyRecord
from weather.sources.noaa_daily import RowRefused, Units, read_noaa_daily

SERVED = """"STATION","DATE","TMAX","TMIN"
"USW00014839","1991-03-01","   45","   28"
"USW00014839","1991-03-02","   41",""
"""
ARCHIVE = """year,month,day,date,day_of_year,PRCP,SNOW,SNWD,TMAX,TMIN
1991,03,01,1991-03-01,60,NA,NA,NA,44.96,28.04
1991,03,02,1991-03-02,61,0,0,0,-9999,NA
"""


def read(*rows, units=Units.FAHRENHEIT, header="DATE,TMAX,TMIN"):
    return read_noaa_daily("\n".join([header, *rows]), units=units)


def test_it_reads_what_the_access_service_sends():
    assert read_noaa_daily(SERVED, units=Units.FAHRENHEIT) == [
        DailyRecord(date(1991, 3, 1), 45.0, 28.0),
        DailyRecord(date(1991, 3, 2), 41.0, None),
    ]


def test_it_reads_an_extract_with_lower_case_names_and_marks_for_missing():
    assert read_noaa_daily("\ufeff" + ARCHIVE.replace("\n", "\r\n"), units=Units.FAHRENHEIT) == [
        DailyRecord(date(1991, 3, 1), 44.96, 28.04),
        DailyRecord(date(1991, 3, 2), None, None),
    ]


@pytest.mark.parametrize(
    ("units", "row"),
    [
        (Units.FAHRENHEIT, "1991-07-01,68,50"),
        (Units.CELSIUS, "1991-07-01,20.0,10.0"),
        (Units.CELSIUS_TENTHS, "19910701,200,100"),
    ],
)
def test_units_are_what_the_caller_says(units, row):
    (record,) = read(row, units=units)
    assert (record.tmax_f, record.tmin_f) == pytest.approx((68.0, 50.0))


@pytest.mark.parametrize(
    ("row", "column", "words"),
    [
        ("1991-02-30,45,28", "DATE", "'1991-02-30' is not a date; write it as 1991-03-31"),
        ("03/01/1991,45,28", "DATE", "'03/01/1991' is not a date"),
        ("1991-03-05,warm,28", "TMAX", "'warm' is not a number; leave it empty or NA"),
        ("1991-03-05,45,nan", "TMIN", "no air is that"),
        ("1991-03-05,256,139", "TMAX", "256 in fahrenheit is 256 °F"),
        ("1991-03-05,28,45", "TMAX", "28 is below TMIN 45 on 1991-03-05; correct it"),
        ("1991-03-05,45", "TMIN", "the row ends after 2 values"),
        ("1991-03-04,45,28", "DATE", "1991-03-04 stands already in row 2"),
    ],
)
def test_a_wrong_value_is_refused_by_row_and_column(row, column, words):
    with pytest.raises(RowRefused) as refusal:
        read("1991-03-04,45,28", "", row)
    assert (refusal.value.row, refusal.value.column) == (4, column)
    assert str(refusal.value).startswith(f"Row 4, column {column}: ")
    assert words in str(refusal.value)


def test_a_second_station_in_the_file_is_refused():
    with pytest.raises(RowRefused, match="Row 3, column STATION: a second station begins"):
        read("A,1991-03-01,45,28", "B,1991-03-01,45,28", header="STATION,DATE,TMAX,TMIN")


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "The file is empty; it needs a header with DATE, TMAX, TMIN"),
        ("\n\n", "The file is empty"),
        ("DATE,TMAX,TMIN\n", "a header and no day"),
        ("DATE,TAVG\n1991-03-01,40\n", "no column TMAX or TMIN; the columns are DATE, TAVG"),
        ("1991-03-01,45,28\n", "no column DATE or TMAX or TMIN"),
    ],
)
def test_a_file_of_another_kind_is_refused_as_a_whole(text, words):
    with pytest.raises(ValueError, match=words):
        read_noaa_daily(text, units=Units.FAHRENHEIT)


def test_a_quotation_mark_that_is_never_closed_is_refused():
    with pytest.raises(ValueError, match="cannot be read as CSV after a quotation mark"):
        read('"1991-03-01,45,28', *["1991-03-02,45,28"] * 10_000)


@given(st.text(max_size=200))
def test_any_text_is_read_or_refused_in_words(text):
    try:
        records = read_noaa_daily("DATE,TMAX,TMIN\n" + text, units=Units.CELSIUS)
    except ValueError as caught:
        refusal = str(caught)
        records = []
    assert records or refusal.endswith((".", "?"))
