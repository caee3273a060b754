"""Any CSV of time and °F, read or refused in words."""

from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from weather.backtest import ReadingsRefused, read_readings
from weather.backtest.moments import Clock

CHICAGO = Clock(utc_offset_h=-6.0)
at = datetime.fromisoformat


def read(*rows, header="time,temp_f", clock=CHICAGO, **more):
    return read_readings("\n".join([header, *rows]), clock=clock, **more)


def test_times_with_an_offset_are_brought_to_standard_time():
    readings = read("2016-04-01T13:00-05:00,61.5", "2016-04-01T19:00Z,63", clock=None)
    assert readings.first == at("2016-04-01 13:00")
    chicago = read("2016-04-01T13:00-05:00,61.5", "2016-04-01T19:00Z,63")
    assert chicago.first == at("2016-04-01 12:00")
    assert chicago.values_f.tolist() == [61.5, 63.0]


def test_the_files_own_winter_offset_is_its_standard_time():
    readings = read("2016-03-12T13:00-06:00,50", "2016-03-14T13:00-05:00,60", clock=None)
    assert readings.utc_offset_h == -6.0
    assert readings.first == at("2016-03-12 13:00")


def test_a_zones_wall_clock_is_set_back_in_summer():
    zone = Clock(zone="America/Chicago")
    assert read("7/1/2016 1:00 PM,80", "7/1/2016 2:00 PM,81", clock=zone).first.hour == 12


def test_naive_times_may_be_utc():
    clock = Clock(utc_offset_h=-5.0, naive_is_utc=True)
    assert read("2013-04-01 17:00,60", "2013-04-01 18:00,61", clock=clock).first.hour == 12


def test_naive_times_without_a_stated_clock_are_refused():
    with pytest.raises(ReadingsRefused, match=r"--utc-offset -6 .* or --zone"):
        read("2016-04-01 13:00,61", clock=None)


def test_three_missing_hours_are_filled_and_four_are_named():
    row = "2016-04-01 {:02d}:00,{}".format
    readings = read(row(0, 50), row(4, 58), row(9, 60))
    assert readings.values_f[:5].tolist() == [50, 52, 54, 56, 58]
    assert np.isnan(readings.values_f[5:9]).all()
    [gap] = readings.gaps
    assert (gap.begins, gap.hours) == (at("2016-04-01 05:00"), 4)


def test_of_several_readings_in_an_hour_the_nearest_to_it_counts():
    readings = read("2016-04-01 12:53,70", "2016-04-01 13:05,75", "2016-04-01 13:53,72")
    assert readings.values_f.tolist() == [75, 72]


@pytest.mark.parametrize(
    ("header", "row", "value_f"),
    [
        ("dt,tempF", "2016-04-01 13:00,61", 61.0),
        ("station,valid,tmpf,dwpf", "ZZZ,2016-04-01 13:00,61,40", 61.0),
        ("DATE;HLY-TEMP", "2016-04-01 13:00;61", 61.0),
        ("origin,year,time_hour,temp", "X,2016,2016-04-01 13:00,61", 61.0),
        ("when,reading", "4/1/2016 13:00,61", 61.0),
    ],
)
def test_columns_are_guessed_by_name_or_by_what_they_hold(header, row, value_f):
    assert read(row, header=header).values_f.tolist() == [value_f]


def test_celsius_is_refused_unless_it_is_said():
    with pytest.raises(ReadingsRefused, match=r"looks like °C\. Say so"):
        read("2016-04-01 13:00,16", header="time,temp_c")
    assert read("2016-04-01 13:00,20", header="time,temp_c", celsius=True).values_f[0] == 68.0


def days_of(month: int, temperature: float) -> list[str]:
    """Twenty-nine afternoons of one temperature, and a last one a degree warmer."""
    rows = [f"2016-{month:02d}-{day:02d} 13:00,{temperature}" for day in range(1, 30)]
    return [*rows, f"2016-{month:02d}-30 13:00,{temperature + 1}"]


def test_a_summer_without_a_warm_hour_is_taken_for_celsius_and_its_row_named():
    words = r"row 31, column temp, 2016-07-30 13:00: 31\.0\. .* Are these °C"
    with pytest.raises(ReadingsRefused, match=words):
        read(*days_of(7, 30.0), header="time,temp")
    assert read(*days_of(7, 30.0), header="time,temp", celsius=True).values_f[0] == 86.0


def test_a_winter_is_read_with_a_word_about_its_units():
    readings = read(*days_of(12, 20.0), header="time,temp")
    assert readings.values_f[0] == 20.0
    assert "row 31, column temp, 2016-12-30 13:00: 21.0, taken as °F" in readings.notes[-1]


def test_a_cold_week_of_spring_is_read():
    assert read("2016-04-20 13:00,38", header="time,temp").values_f[0] == 38.0


def test_a_whole_year_on_the_wall_clock_has_every_hour_once():
    """Winter hours, the hour that spring leaves out, and the one that autumn shows twice."""
    zone, hour = ZoneInfo("America/Chicago"), timedelta(hours=1)
    moments = [datetime(2016, 1, 1, 6, tzinfo=UTC) + n * hour for n in range(366 * 24)]
    rows = [f"{one.astimezone(zone):%Y-%m-%d %H:%M},{one.month * 6 + one.hour}" for one in moments]
    readings = read(*rows, clock=Clock(zone="America/Chicago"))
    assert (readings.first, len(readings.values_f)) == (at("2016-01-01 00:00"), 366 * 24)
    assert readings.values_f.tolist() == [one.month * 6 + one.hour for one in moments]
    assert readings.gaps == ()


def test_a_file_of_several_places_asks_for_one_of_them():
    rows = ["EWR,2016-04-01 13:00,61", "JFK,2016-04-01 13:00,55"]
    with pytest.raises(ReadingsRefused, match=r"--only origin=EWR \(it holds EWR, JFK"):
        read(*rows, header="origin,time,temp")
    assert read(*rows, header="origin,time,temp", only="origin=JFK").values_f[0] == 55.0


@pytest.mark.parametrize(
    ("rows", "words"),
    [
        (["2016-04-01 13:00,61", "yesterday,62"], "No column holds times of the hour"),
        (["2016-04-01 13:00,warm", "2016-04-01 14:00,60"], "Row 2, column temp_f: 'warm' is not"),
        (["2016-04-01 13:00,611"], "611 is 611 °F, and no air is that"),
        (["2016-04-01,61"], "No column holds times of the hour"),
        (["2016-04-01 13:00,NA"], "temperature"),
        ([], "needs a header and rows"),
    ],
)
def test_what_cannot_be_read_is_refused_by_row_and_column(rows, words):
    with pytest.raises(ReadingsRefused, match=words):
        read(*rows)


def test_a_table_of_days_has_their_24_hours_and_nothing_outside():
    readings = read("2016-04-01 22:00,50", "2016-04-01 23:00,51", "2016-04-02 00:00,52")
    table = readings.table([date(2016, 3, 31), date(2016, 4, 1), date(2016, 4, 2)])
    assert table.shape == (3, 24)
    assert np.isnan(table[0]).all()
    assert (table[1, 22], table[1, 23], table[2, 0]) == (50, 51, 52)


@given(st.text(max_size=120))
def test_any_text_is_read_or_refused_in_a_sentence(text):
    try:
        said = str(read_readings("time,temp\n" + text, clock=CHICAGO).values_f.size)
    except ReadingsRefused as refused:
        said = str(refused)
    assert said.isdigit() or said.endswith(".")


@given(st.lists(st.integers(40, 90), min_size=1, max_size=40))
def test_whole_hours_come_back_as_they_were_written(values):
    first = at("2016-04-01 00:00")
    rows = [f"{first + timedelta(hours=n)},{value}" for n, value in enumerate(values)]
    if max(values) < 50:
        values, rows = [*values, 70], [*rows, f"{first + timedelta(hours=len(values))},70"]
    assert read(*rows).values_f.tolist() == values
