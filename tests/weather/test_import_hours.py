"""`manage.py import_hours` keeps what a thermometer said, or says why not."""

from datetime import UTC, datetime

import pytest
from django.core.management import CommandError, call_command

from tests.cast import cedarburg
from weather.models import ObservedHour

pytestmark = pytest.mark.django_db


@pytest.fixture
def load(tmp_path, capsys):
    def load(text, *flags, slug="cedarburg"):
        cedarburg()
        path = tmp_path / "airport.csv"
        path.write_text(text)
        call_command("import_hours", str(path), f"--branch={slug}", *flags)
        return capsys.readouterr().out

    return load


def hours():
    return list(ObservedHour.objects.values_list("at", "temperature_f", "source"))


def test_times_without_an_offset_are_on_the_branch_s_clock(load):
    said = load("time,temp_f\n2027-04-20 13:00,61.5\n2027-04-20 14:00,62.0\n")
    assert hours()[0] == (datetime(2027, 4, 20, 18, tzinfo=UTC), 61.5, "airport.csv")
    assert said.endswith("2 hours → Larkspur, Cedarburg\n")


def test_winter_s_clock_is_another(load):
    load("time,temp_f\n2027-03-12 13:00,61.5\n2027-03-12 14:00,62.0\n")
    assert hours()[0][0] == datetime(2027, 3, 12, 19, tzinfo=UTC)


def test_times_with_an_offset_and_degrees_celsius_are_brought_over(load):
    load("when,celsius\n2027-04-20T13:00-05:00,16.0\n", "--celsius", "--source=KMKE")
    ((at, value_f, source),) = hours()
    assert (at, source) == (datetime(2027, 4, 20, 18, tzinfo=UTC), "KMKE")
    assert value_f == pytest.approx(60.8)


def test_a_long_gap_stays_a_gap(load):
    said = load("time,temp_f\n2027-04-20 13:00,61\n2027-04-20 20:00,55\n")
    assert len(hours()) == 2
    assert "6 hours missing from 2027-04-20 13:00" in said


def test_hours_of_winter_are_kept_with_a_word_about_their_units(load):
    said = load("time,temp\n2027-01-12 13:00,-4.5\n2027-01-12 14:00,-2\n")
    assert [value_f for _, value_f, _ in hours()] == [-4.5, -2.0]
    assert "taken as °F; say so if the file is in °C" in said


def test_loading_twice_keeps_each_hour_once(load):
    for _ in range(2):
        load("time,temp_f\n2027-04-20 13:00,61.5\n")
    assert len(hours()) == 1


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (
            "time,temp_f\n2027-04-20 13:00,6\n2027-04-20 14:00,warm\n",
            "Row 3, column temp_f: 'warm'",
        ),
        ("time,temp_f\n2027-04-20 13:00,610\n", "no air is that"),
        ("time,temp_f\n", "needs a header and rows"),
    ],
)
def test_a_file_that_cannot_be_read_is_refused_with_its_row(load, text, words):
    with pytest.raises(CommandError, match=words):
        load(text)
    assert not ObservedHour.objects.exists()


def test_an_unknown_branch_is_refused(load):
    with pytest.raises(CommandError, match="No branch is called 'nowhere'"):
        load("time,temp_f\n2027-04-20 13:00,61\n", slug="nowhere")
