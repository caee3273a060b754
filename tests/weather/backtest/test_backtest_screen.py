"""The backtest's pages: ask, watch, read what was found, stop."""

import datetime as dt

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse

from kit.web.asked import AskedState, claim, report, rescue, stop
from tests import cast
from tests.weather.backtest.test_slot_climate import readings
from weather.backtest import Policy, Setup
from weather.backtest_actions import (
    BacktestRefused,
    ask_for_backtest,
)
from weather.backtest_run import BacktestRun
from weather.backtesting import play_backtest
from weather.models import BranchClimate

pytestmark = pytest.mark.django_db
NOW = dt.datetime(2027, 2, 1, 15, tzinfo=dt.UTC)
ASK = "weather:backtest"
GIVEN = {
    "clock": "utc", "climate": "file", "checks": 40, "technicians": 1, "test_temperature_f": 55,
    "first_booking_limit": 78, "hold_limit": 78, "pull_forward_limit": 97, "notice_days": 2,
    "promise_days": 10, "short_notice_share": 35,
}  # fmt: skip


def asked(**more):
    given = {
        "branch": cast.cedarburg(),
        "by": cast.odile(),
        "file_name": "somewhere.csv",
        "readings": readings("2025-01-01", "2026-12-31"),
        "policy": Policy(),
        "setup": Setup(checks=40, technicians=1, seeds=1),
        "branch_climate": False,
        "now": NOW,
    }
    return ask_for_backtest(**given | more)


def played():
    run = asked()
    play_backtest(run.pk)
    run.refresh_from_db()
    return run


def hours_file(text=None):
    kept = readings("2025-01-01", "2026-12-31")
    rows = [
        f"{day} {hour:02d}:00,{value:.1f}"
        for day, values in zip(kept.days(), kept.values_f.reshape(-1, 24), strict=True)
        for hour, value in enumerate(values)
    ]
    text = "\n".join(["time,temp_f", *rows]) if text is None else text
    return SimpleUploadedFile("somewhere.csv", text.encode())


def address(run, act="backtest-run"):
    return reverse(f"weather:{act}", args=[run.pk])


def test_the_form_starts_with_the_branchs_own_settings():
    page = cast.signed_in(cast.odile()).get(reverse(ASK)).content.decode()
    assert "Hourly temperatures" in page
    assert f'value="{round(100 * cast.cedarburg().least_warmth)}"' in page


def test_a_file_becomes_a_run_with_its_hours():
    office = cast.signed_in(cast.odile())
    answer = office.post(reverse(ASK), {**GIVEN, "file": hours_file()})
    run = BacktestRun.objects.get()
    assert answer["Location"] == address(run)
    assert (run.state, run.setup["checks"], len(run.hours["values_f"])) == ("waiting", 40, 17520)


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        (
            {"file": hours_file("time,temp_f\n2026-04-01 12:00,60\n2026-04-01 13:00,warm")},
            "is not a number",
        ),
        ({"file": hours_file("a,b\n1,2")}, "No column holds times of the hour"),
        ({"file": hours_file("time,temp_c\n2026-04-01 13:00,20")}, "The temperatures are °C"),
        ({"file": hours_file("time,temp_f\n2026-04-01 13:00,60")}, "No spring of this file"),
        ({"promise_days": 1}, "At least the notice, 2 days."),
        ({"hold_limit": 120}, "0 to 99 per cent"),
        ({"file": ""}, "Choose the file first."),
    ],
)
def test_what_cannot_be_played_is_refused_and_what_was_typed_stays(wrong, words):
    given = {**GIVEN, "file": hours_file(), "checks": 77, **wrong}
    page = cast.signed_in(cast.odile()).post(reverse(ASK), given)
    assert page.status_code == 422
    assert words in page.content.decode()
    assert 'value="77"' in page.content.decode()
    assert not BacktestRun.objects.exists()


def test_a_second_backtest_of_the_branch_waits_for_the_first():
    asked()
    with pytest.raises(BacktestRefused, match="Another backtest of this branch is running"):
        asked()


def test_it_shows_how_far_it_is_and_asks_again():
    run = claim(BacktestRun, run_id=asked().pk, now=NOW)
    report(run=run, done=12, total=60, now=NOW)
    page = cast.signed_in(cast.odile()).get(address(run)).content.decode()
    assert "12 of 60 settings" in page
    assert 'hx-trigger="every 1s"' in page


def test_its_part_alone_answers_the_pages_own_question():
    page = cast.signed_in(cast.odile()).get(address(asked()), headers={"HX-Request": "true"})
    assert page.content.decode().strip().startswith('<div id="run"')


def test_a_ready_run_shows_both_pictures_and_every_setting():
    run = played()
    assert (run.state, run.hours) == (AskedState.READY, {})
    page = cast.signed_in(cast.odile()).get(address(run)).content.decode()
    assert page.count("<svg width=") == 2
    for words in ("With a short-notice list", "Perfect foresight", "Promise ahead", "Last look"):
        assert words in page


def test_settings_of_its_own_stand_beside_the_recommended_ones():
    run = asked(policy=Policy(hold_limit=0.3))
    play_backtest(run.pk)
    office = cast.signed_in(cast.odile())
    assert "at recommended settings" in office.get(address(run)).content.decode()
    assert "at recommended settings" not in office.get(address(played())).content.decode()


def test_the_branchs_climate_may_say_what_is_usual():
    from weather.actions import set_climate
    from weather.demonstration import demonstration_climate

    set_climate(branch=cast.cedarburg(), climate=demonstration_climate(), now=NOW)
    assert BranchClimate.objects.exists()
    run = asked(branch_climate=True)
    play_backtest(run.pk)
    run.refresh_from_db()
    assert "Milwaukee" in run.found["springs"][0]["climate"]


def test_a_run_that_cannot_be_played_says_why():
    run = asked(readings=readings("2026-03-01", "2026-07-31"))
    play_backtest(run.pk)
    page = cast.signed_in(cast.odile()).get(address(run)).content.decode()
    assert "There is no spring to play in." in page


def test_a_stopped_run_is_over_and_its_worker_gives_up():
    run = claim(BacktestRun, run_id=asked().pk, now=NOW)
    stop(run=run, now=NOW)
    assert not report(run=run, done=1, total=60, now=NOW)
    page = cast.signed_in(cast.odile()).get(address(run)).content.decode()
    assert "This backtest was stopped." in page


def test_a_worker_told_to_stop_leaves_nothing():
    run = asked()

    def clock(seen=[]):  # noqa: B006 - counts the looks at the clock
        seen.append(1)
        if len(seen) == 3:
            stop(run=run, now=NOW)
        return float(len(seen))

    play_backtest(run.pk, clock)
    run.refresh_from_db()
    assert (run.state, run.found) == (AskedState.CANCELLED, {})


def test_a_silent_worker_hands_its_run_on_three_times():
    run = asked()
    late = NOW + dt.timedelta(minutes=5)
    for attempt in (1, 2):
        claim(BacktestRun, run_id=run.pk, now=NOW)
        assert rescue(BacktestRun, now=late) in ([run.pk], [])
        run.refresh_from_db()
        assert (run.state, run.attempt) == (AskedState.WAITING, attempt)
    claim(BacktestRun, run_id=run.pk, now=NOW)
    rescue(BacktestRun, now=late)
    run.refresh_from_db()
    assert run.state == AskedState.FAILED


@pytest.mark.parametrize("act", ["backtest-run", "backtest-stop"])
def test_strangers_and_technicians_find_nothing(act):
    run = asked()
    ask = "post" if act == "backtest-stop" else "get"
    for person in (cast.priya(), cast.ingrid().user):
        assert getattr(cast.signed_in(person), ask)(address(run, act)).status_code == 404
    assert cast.signed_in(cast.ingrid().user).get(reverse(ASK)).status_code == 404


def test_each_page_refuses_the_wrong_method():
    run, office = asked(), cast.signed_in(cast.odile())
    assert office.get(address(run, "backtest-stop")).status_code == 405
    assert office.post(address(run)).status_code == 405
    assert office.delete(reverse(ASK)).status_code == 405


def test_a_ready_page_and_a_long_list_take_few_queries(django_assert_max_num_queries):
    run, office = played(), cast.signed_in(cast.odile())
    for n in range(30):
        asked(file_name=f"{n}.csv")
        BacktestRun.objects.under_way().update(state=AskedState.CANCELLED)
    with django_assert_max_num_queries(6):
        office.get(address(run))
    with django_assert_max_num_queries(7):
        office.get(reverse(ASK))
