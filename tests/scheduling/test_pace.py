"""How many checks are still owed, and when they end at the present pace."""

import datetime as dt

import pytest

from scheduling.actions.visits import complete_visit, pencil_visit
from scheduling.pace import pace_of
from tests.scheduling import spring

pytestmark = pytest.mark.django_db
MONDAY = spring.MONDAY
NEXT_MONDAY = MONDAY + dt.timedelta(days=7)


def pencilled(season, day=MONDAY, hour=9):
    return pencil_visit(
        visit=spring.owed(season),
        technician=spring.technician(),
        starts_at=spring.at(day, hour),
        minutes=60,
        now=spring.at(MONDAY, 7),
    )


def test_it_goes_by_what_was_done_in_the_last_ten_working_days():
    season = spring.season()
    for hour in range(8, 13):
        complete_visit(visit=pencilled(season, hour=hour), now=spring.at(MONDAY, 17))
    spring.owed(season)
    pace = pace_of(season, NEXT_MONDAY)
    assert (pace.owed, pace.a_day, pace.done_by) == (1, 0.5, NEXT_MONDAY + dt.timedelta(days=2))


def test_before_the_first_is_done_it_goes_by_what_is_planned():
    season = spring.season()
    for hour in (9, 11):
        pencilled(season, NEXT_MONDAY, hour)
    assert pace_of(season, MONDAY).a_day == 0.2


def test_without_anything_planned_there_is_no_pace():
    season = spring.season()
    spring.owed(season)
    pace = pace_of(season, MONDAY)
    assert (pace.owed, pace.done_by) == (1, None)
