"""The half-hourly watch: what is fetched is kept once, what fails is said, what came is learnt."""

from datetime import timedelta

import pytest

from tests.factories import BranchFactory
from tests.weather.forecast_server import NOW, hourly, observation, problem
from tests.weather.made_up_forecasts import NOON, forecast
from weather.actions import (
    claim_asking,
    keep_forecast,
    learn_skill,
    note_trouble,
    observe_hours,
    prune_forecasts,
)
from weather.models import BranchForecast, ForecastPlace, ObservedHour
from weather.skill import START_SKILL
from weather.tasks import watch
from weather.watching import watch_all

pytestmark = pytest.mark.django_db
HOUR, DAY = timedelta(hours=1), timedelta(days=1)


@pytest.fixture
def branch():
    return BranchFactory(slug="cedarburg")


def keep(branch, at, **more):
    said = forecast(**more)
    said = type(said)(said.source, at, at, said.hours)
    return keep_forecast(branch=branch, forecast=said, notes=(), now=at)


def test_it_fetches_keeps_and_learns(branch, weather_server):
    watch_all(NOW)
    kept = BranchForecast.objects.get(branch=branch)
    assert (kept.source, kept.fetched_at, len(kept.hours)) == ("nws", NOW, 156)
    place = branch.forecast_place
    assert (place.trouble, place.station, place.learnt_at) == ("", "KMKE", NOW)
    assert place.good_until == NOW + HOUR
    assert ObservedHour.objects.get(branch=branch).temperature_f == 59.0


def test_without_a_source_it_does_nothing(branch, settings):
    settings.FORECAST_SOURCE = ""
    watch()
    assert not ForecastPlace.objects.exists()


def test_a_forecast_that_is_still_good_is_not_asked_for(branch, weather_server):
    watch_all(NOW)
    asked = len(weather_server.asked)
    watch_all(NOW + HOUR / 2)
    assert len(weather_server.asked) == asked


def test_the_same_forecast_is_kept_once(branch, weather_server):
    watch_all(NOW)
    watch_all(NOW + 2 * HOUR)
    assert BranchForecast.objects.count() == 1


def test_trouble_is_kept_in_words_and_the_last_forecast_stays(branch, weather_server):
    watch_all(NOW)
    weather_server.stumbles = [problem(503, "ForecastGridExpired")] * 4
    watch_all(NOW + 2 * HOUR)
    place = ForecastPlace.objects.get(branch=branch)
    assert place.trouble == "National Weather Service answers 503: ForecastGridExpired."
    assert place.trouble_since == NOW + 2 * HOUR
    assert BranchForecast.objects.count() == 1


def test_trouble_says_since_when_until_it_is_over(branch, weather_server):
    weather_server.stumbles = [problem(503, "Down")] * 8
    watch_all(NOW)
    watch_all(NOW + HOUR / 2)
    assert ForecastPlace.objects.get().trouble_since == NOW
    watch_all(NOW + HOUR)
    assert (ForecastPlace.objects.get().trouble, ForecastPlace.objects.get().trouble_since) == (
        "",
        None,
    )


def test_one_branch_in_trouble_does_not_stop_the_next(weather_server):
    for name in ("Ashford", "Birchwood"):
        BranchFactory(name=name)
    weather_server.stumbles = [problem(404, "Data Unavailable For Requested Point")]
    watch_all(NOW)
    assert [place.trouble != "" for place in ForecastPlace.objects.order_by("branch__name")] == [
        True,
        False,
    ]


def test_trouble_with_the_thermometer_leaves_the_forecast_in_use(branch, weather_server):
    weather_server.observations = [observation(NOW, 15.0, "wmoUnit:K")]
    watch_all(NOW)
    assert BranchForecast.objects.count() == 1
    assert ForecastPlace.objects.get().trouble == ""
    assert not ObservedHour.objects.exists()


def test_two_workers_do_not_ask_at_once(branch):
    assert claim_asking(branch=branch, source="nws", now=NOW)
    assert claim_asking(branch=branch, source="nws", now=NOW) is None
    assert claim_asking(branch=branch, source="nws", now=NOW + HOUR / 2)  # the first was killed


def test_another_service_begins_anew(branch, weather_server):
    watch_all(NOW)
    place = claim_asking(branch=branch, source="open_meteo", now=NOW)
    assert (place.source, place.address, place.skill) == ("open_meteo", "", {})


def test_long_trouble_fits_into_its_row(branch):
    place = claim_asking(branch=branch, source="nws", now=NOW)
    note_trouble(place=place, trouble="x" * 500, now=NOW)
    assert len(ForecastPlace.objects.get().trouble) == 300


def test_a_later_word_on_an_hour_replaces_the_earlier(branch):
    observe_hours(branch=branch, hours={NOW: 50.0}, source="nws")
    observe_hours(branch=branch, hours={NOW: 52.0, NOW + HOUR: 53.0}, source="a file")
    assert list(ObservedHour.objects.values_list("temperature_f", "source")) == [
        (52.0, "a file"),
        (53.0, "a file"),
    ]


def test_it_learns_from_the_first_forecast_of_each_day(branch):
    begun = NOW.replace(hour=12, minute=0)  # seven in the morning
    for n in range(3):
        keep(branch, begun + n * DAY, temperatures_f=[50.0] * 156)
    keep(branch, begun + 3 * HOUR, temperatures_f=[90.0] * 156)
    came = {begun + k * HOUR: 56.0 for k in range(96)}
    observe_hours(branch=branch, hours=came, source="nws")
    skill = learn_skill(branch=branch, now=begun + 4 * DAY)
    assert skill.days[:3] == (3, 3, 2)
    assert skill.bias_f[0] == pytest.approx(-6.0 * 3 / 33)
    assert ForecastPlace.objects.get(branch=branch).known_skill() == skill


def test_it_learns_of_a_season_from_the_same_season_alone(branch):
    """Last winter's forecasts were 20 °F too cold, those of this time last year were right."""
    begun = NOW.replace(hour=12, minute=0)
    for days_ago, said_f in ((364, 56.0), (363, 56.0), (120, 36.0), (119, 36.0)):
        at = begun - days_ago * DAY
        keep(branch, at, temperatures_f=[said_f] * 156, first_h=round((at - NOON) / HOUR))
        observe_hours(branch=branch, hours={at + k * HOUR: 56.0 for k in range(12)}, source="nws")
    skill = learn_skill(branch=branch, now=begun)
    assert (skill.days[0], skill.bias_f[0]) == (2, 0.0)


def test_without_observed_hours_the_published_figures_stay(branch):
    keep(branch, NOW)
    assert learn_skill(branch=branch, now=NOW + DAY) == START_SKILL


def test_of_old_forecasts_the_first_of_each_day_stays_for_a_year(branch):
    for at in (NOW - 401 * DAY, NOW - 5 * DAY, NOW - 5 * DAY + HOUR, NOW - DAY, NOW - DAY + HOUR):
        keep(branch, at)
    assert prune_forecasts(now=NOW) == 2
    assert set(BranchForecast.objects.values_list("updated_at", flat=True)) == {
        NOW - 5 * DAY,
        NOW - DAY,
        NOW - DAY + HOUR,
    }


def test_a_forecast_that_has_stopped_being_renewed_is_told(branch, weather_server):
    watch_all(NOW)
    weather_server.forecast = hourly()
    watch_all(NOW + 14 * HOUR)
    assert "it is not taken" in ForecastPlace.objects.get().trouble
