"""A played spring: real hours, forecasts that miss as real ones do, days that are whole."""

import datetime as dt
import statistics
from zoneinfo import ZoneInfo

import pytest
import time_machine

from agreements.models import Charge, Payment
from front.management.commands.play import SPRING
from front.play import Play, PlayedWeather
from front.played_homes import NEVER_PAYS, PlayedHomes
from reminders.models import HomeEvent, NoStart
from scheduling.actions.visits import promise_visit
from scheduling.models import SeasonWatch, State, Visit
from tests import cast, factories
from tests.outside.series import springfield_hours
from tests.scheduling import spring
from weather.blending import LEAD_SD_F
from weather.models import BranchForecast, ObservedHour

FIRST = dt.date(2027, 5, 17)
CHICAGO = ZoneInfo("America/Chicago")


def weather(days: int = 10, seed: int = 1) -> PlayedWeather:
    return PlayedWeather.read(SPRING, 2027, FIRST, days, seed)


def test_the_hours_are_those_that_the_package_carries():
    real, played = springfield_hours(), weather().hours
    six_hours = dt.timedelta(hours=6)
    for at, value in played.items():
        standard = (at - six_hours).replace(tzinfo=None, year=2017)
        assert value == pytest.approx(real[standard], abs=0.051)
    assert len(played) == 3288


def test_forecasts_miss_more_the_further_they_look():
    missed: dict[int, list[float]] = {0: [], 5: []}
    for seed in range(60):
        played = weather(seed=seed)
        now = dt.datetime(2027, 5, 18, 11, tzinfo=dt.UTC)
        told, _ = played.forecast_at(now, now.date())
        for ahead, errors in missed.items():
            hour = told.hours[24 * ahead + 3]
            errors.append(hour.temperature_f - played.hours[hour.at])
    for ahead, errors in missed.items():
        assert statistics.pstdev(errors) == pytest.approx(LEAD_SD_F[ahead], rel=0.35)


@pytest.mark.django_db
def test_a_day_is_played_with_the_verbs_of_the_screens():
    cast.letterhead()
    season = spring.season()
    now = dt.datetime.combine(FIRST, dt.time(7), CHICAGO)
    visit = promise_visit(
        visit=spring.owed(season),
        technician=spring.technician(),
        starts_at=now.replace(hour=13),
        minutes=60,
        now=now,
    )
    moments: list[dt.datetime] = []
    with time_machine.travel(now, tick=False):
        play = Play(season, weather(), moments.append, seed=1, plan_seconds=1)
        played = play.day(FIRST)

    assert Visit.objects.get(pk=visit.pk).state in (State.DONE, State.HELD, State.OWED)
    assert BranchForecast.objects.count() == 1
    assert ObservedHour.objects.count() == 24
    assert moments == sorted(moments)
    assert "May 17" in str(played)


@pytest.mark.django_db
def test_what_is_left_to_the_office_stands_on_the_evening_s_forecast():
    cast.letterhead()
    season, now = spring.season(), dt.datetime.combine(FIRST, dt.time(7), CHICAGO)
    with time_machine.travel(now, tick=False):
        Play(season, weather(), lambda _: None, seed=1, plan_seconds=1).day(FIRST, decide=False)
    newest = BranchForecast.objects.first()
    assert newest.updated_at == dt.datetime.combine(FIRST, dt.time(18), CHICAGO)
    assert SeasonWatch.objects.get().forecast_at == newest.updated_at


NOON = dt.datetime.combine(FIRST, dt.time(12), CHICAGO)


def noted(act):
    counts: dict[str, int] = {}
    act(lambda what, many: counts.update({what: counts.get(what, 0) + many}))
    return counts


@pytest.mark.django_db
def test_who_owes_pays_within_days_and_a_few_stay_overdue():
    season, office = spring.season(), cast.odile()
    made = [spring.owed(season).owed_visit.agreement for _ in range(3)]
    for agreement in made:
        Charge.objects.create(agreement=agreement, due_on=FIRST, amount=149)
    homes = PlayedHomes(season.branch, seed=1)
    for number in range(40):
        noted(lambda note, n=number: homes.afternoon(NOON + n * dt.timedelta(days=1), 60.0, note))
    never = {agreement.pk for agreement in made if agreement.pk % NEVER_PAYS == 0}
    paid = set(Payment.objects.values_list("agreement", "amount", "recorded_by"))
    assert paid == {(one.pk, 149, office.pk) for one in made if one.pk not in never}


@pytest.mark.django_db
def test_on_warm_days_some_systems_do_not_start_and_the_guide_helps_some():
    season = spring.season()
    spring.owed(season)
    cast.letterhead()
    homes = PlayedHomes(season.branch, seed=1)
    for number in range(12):
        noted(lambda note, n=number: homes.afternoon(NOON + n * dt.timedelta(days=1), 80.0, note))
    outcomes = set(NoStart.objects.values_list("outcome", flat=True))
    assert outcomes == {"solved", "call"}
    before = NoStart.objects.count()
    noted(lambda note: homes.afternoon(NOON, 60.0, note))
    assert NoStart.objects.count() == before


@pytest.mark.django_db
def test_a_letter_about_a_filter_is_answered_by_some_the_day_after():
    cast.letterhead()
    season = spring.season()
    for _ in range(20):
        home = spring.owed(season).owed_visit.home
        filter_ = factories.FilterFactory(system=home.systems.first())
        factories.LetterFactory(
            customer=home.customer, kind="filter", about=f"home:{home.pk}", state="sent",
            occasion=f"filter:{filter_.pk}:2027-05-16", sent_at=NOON - dt.timedelta(hours=6),
        )  # fmt: skip
    homes = PlayedHomes(season.branch, seed=1)
    told = noted(lambda note: homes.morning(NOON, note))["told of a filter or cover"]
    assert 0 < told < 20
    assert HomeEvent.objects.filter(kind="filter_changed").count() == told
