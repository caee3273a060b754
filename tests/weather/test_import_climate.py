"""`manage.py import_climate` gives a branch its climate, or says why not."""

import json
from datetime import UTC, datetime

import pytest
from django.core.management import CommandError, call_command

from shop.models import Branch
from tests.weather.made_up import climate, weather_of
from weather.actions import set_climate
from weather.demonstration import demonstration_climate
from weather.models import BranchClimate

STATION = ["--station=XX000", "--latitude=43", "--longitude=-88", "--utc-offset=-6"]
FAHRENHEIT = "--units=fahrenheit"


@pytest.fixture
def branch(db):
    return Branch.objects.create(
        name="West Allis",
        slug="west-allis",
        place="West Allis, WI",
        time_zone="America/Chicago",
        latitude=43.0,
        longitude=-88.0,
    )


@pytest.fixture
def daily_file(tmp_path):
    rows = [f"{r.day},{r.tmax_f:.1f},{r.tmin_f:.1f}" for r in weather_of(climate())]
    path = tmp_path / "daily.csv"
    path.write_text("\n".join(["DATE,TMAX,TMIN", *rows]))
    return path


def run(capsys, *arguments):
    call_command("import_climate", *map(str, arguments))
    return capsys.readouterr().out


def test_a_branch_starts_with_the_demonstration_climate(branch, capsys):
    said = run(capsys, "--default", "--branch=west-allis")
    assert "Milwaukee, Wisconsin, 1991-2020 → West Allis (a demonstration climate)" in said
    assert branch.climate.demonstration
    assert branch.climate.climate() == demonstration_climate()


def test_a_stations_file_becomes_the_branchs_climate(branch, daily_file, capsys):
    run(capsys, daily_file, "--branch=west-allis", *STATION, FAHRENHEIT, "--place=Nowhere")
    kept = BranchClimate.objects.get(branch=branch)
    assert (kept.place, kept.station, kept.period) == ("Nowhere", "XX000", "2001-2012")
    assert not kept.demonstration
    assert kept.climate().tmax_mean_f[0] == pytest.approx(60.0, abs=0.1)


def test_a_new_climate_takes_the_place_of_the_old_one(branch):
    now = datetime(2027, 2, 1, 9, tzinfo=UTC)
    set_climate(branch=branch, climate=demonstration_climate(), now=now)
    kept = set_climate(branch=branch, climate=climate(), now=now.replace(day=2))
    assert BranchClimate.objects.get() == kept
    assert kept.climate() == climate()
    assert kept.imported_at.day == 2


def test_it_can_be_written_to_a_file_of_some_of_the_years(daily_file, tmp_path, capsys):
    target = tmp_path / "climate.json"
    run(capsys, daily_file, f"--to={target}", *STATION, FAHRENHEIT, "--years=2002-2011")
    assert json.loads(target.read_text())["period"] == "2002-2011"


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        ([], "Say where the climate goes"),
        (["--default", "--branch=racine"], "No branch is called 'racine'. Branches: west-allis."),
        (["--branch=west-allis"], "Name a FILE and --station, --latitude"),
        (["nowhere.csv", "--branch=west-allis", *STATION, FAHRENHEIT], "No such file"),
        (["FILE", "--branch=west-allis", *STATION], "Name a FILE and --units, or use --default"),
        (["FILE", "--branch=west-allis", *STATION, FAHRENHEIT, "--years=9"], "--years is '9'"),
        (
            ["FILE", "--branch=west-allis", *STATION, FAHRENHEIT, "--years=2001-2004"],
            "4.0 years; a climate needs at least 10",
        ),
        (
            ["FILE", "--branch=west-allis", *STATION, "--units=celsius"],
            "Row 75, column TMAX: 60.7 in celsius is 141 °F",
        ),
    ],
)
def test_what_cannot_be_used_is_refused_in_a_sentence(branch, daily_file, arguments, words):
    given = [str(daily_file) if argument == "FILE" else argument for argument in arguments]
    with pytest.raises(CommandError) as refusal:
        call_command("import_climate", *given)
    assert words in str(refusal.value)
    assert not BranchClimate.objects.exists()
