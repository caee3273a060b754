"""`manage.py backtest` plays the springs of a file, or says why not."""

import gzip
import json

import pytest
from django.core.management import CommandError, call_command

from shop.models import Branch
from tests.weather.backtest.test_slot_climate import readings
from tests.weather.made_up import climate, weather_of
from weather.actions import set_climate
from weather.demonstration import demonstration_climate

OFFSET = "--utc-offset=-6"
QUICK = ["--seeds=1", "--checks=40", "--no-frontier"]


@pytest.fixture
def hours_file(tmp_path):
    kept = readings("2025-01-01", "2026-12-31")
    times = (str(day) for day in kept.days())
    rows = [
        f"{day} {hour:02d}:00,{value:.1f}"
        for day, values in zip(times, kept.values_f.reshape(-1, 24), strict=True)
        for hour, value in enumerate(values)
    ]
    path = tmp_path / "somewhere.csv.gz"
    path.write_bytes(gzip.compress("\n".join(["time,temp_f", *rows]).encode()))
    return path


def run(capsys, *arguments):
    call_command("backtest", *map(str, arguments))
    return capsys.readouterr().out


def test_it_prints_a_table_of_the_five_policies(hours_file, capsys):
    said = run(capsys, "--hours", hours_file, OFFSET, *QUICK)
    assert "somewhere 2025: first 85 °F" in said
    assert "climate from the other years of the file" in said
    assert "short_notice" in said


def test_the_json_is_one_object(hours_file, capsys):
    found = json.loads(run(capsys, "--hours", hours_file, OFFSET, *QUICK, "--json"))
    assert found["policies"]["foresight"]["warm_percent"] == 100.0
    assert [one["year"] for one in found["springs"]] == [2025, 2026]
    assert found["places"] == ["somewhere"]
    assert found["seeds"] == 1


def test_several_files_are_several_places(hours_file, tmp_path, capsys):
    other = tmp_path / "elsewhere.csv.gz"
    other.write_bytes(hours_file.read_bytes())
    found = json.loads(run(capsys, "--hours", hours_file, other, OFFSET, *QUICK, "--json"))
    assert found["places"] == ["elsewhere", "somewhere"]
    assert len(found["springs"]) == 4


@pytest.mark.django_db
def test_a_branchs_own_climate_may_judge_the_spring(hours_file, capsys):
    branch = Branch.objects.create(
        name="West Allis", slug="west-allis", place="West Allis, WI",
        time_zone="America/Chicago", latitude=43.0, longitude=-88.0,
    )  # fmt: skip
    now = "2027-02-01T09:00:00Z"
    set_climate(branch=branch, climate=demonstration_climate(), now=now)
    said = run(capsys, "--hours", hours_file, OFFSET, "--branch=west-allis", *QUICK)
    assert "climate from Milwaukee, Wisconsin, 1991-2020" in said


def test_a_daily_file_of_a_station_may_say_what_is_usual(hours_file, tmp_path, capsys):
    days = (f"{r.day},{r.tmax_f:.1f},{r.tmin_f:.1f}" for r in weather_of(climate()))
    daily = tmp_path / "XX000.csv"
    daily.write_text("\n".join(["DATE,TMAX,TMIN", *days]))
    place = ["--latitude=43", "--longitude=-88"]
    said = run(capsys, "--hours", hours_file, OFFSET, f"--climate-csv={daily}", *place, *QUICK)
    assert "climate from XX000, 2001-2012" in said


def test_settings_change_the_outcome(hours_file, capsys):
    def lost(*settings):
        found = run(capsys, "--hours", hours_file, OFFSET, *QUICK, "--json", *settings)
        return json.loads(found)["policies"]["repair"]["trips_lost"]

    bold = ["--first-booking-limit=0.1", "--hold-limit=0", "--pull-forward-limit=0.1"]
    assert lost(*bold) > lost()


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        ([], "Name at least one file"),
        (["--hours", "nowhere.csv"], "No such file"),
        (["--hours", "FILE"], "somewhere.csv.gz: The times do not say the place's own clock"),
        (["--hours", "FILE", OFFSET, "--first=March"], "--first is 'March'; write it as 03-02"),
        (["--hours", "FILE", OFFSET, "--techs=0"], "technicians is 0; it must lie in 1 to 100"),
        (["--hours", "FILE", OFFSET, "--hold-limit=7"], "hold_limit is 7; it must lie in 0 to 1"),
        (["--hours", "FILE", OFFSET, "--climate-csv=x.csv"], "needs --latitude and --longitude"),
        (["--hours", "FILE", OFFSET, "--temperature-column=t"], "There is no column t"),
        (["--hours", "FILE", "--zone=Chicago"], "'Chicago' is no time zone"),
    ],
)
def test_what_cannot_be_played_is_refused_in_a_sentence(hours_file, arguments, words):
    given = [str(hours_file) if argument == "FILE" else argument for argument in arguments]
    with pytest.raises(CommandError) as refusal:
        call_command("backtest", *given)
    assert words in str(refusal.value)
