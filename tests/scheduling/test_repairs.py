"""Repairs: proposed when the forecast turns, agreed to once, overtaken, refused, withdrawn."""

import datetime as dt

import pytest

from agreements.models import VisitKind
from letters.models import Letter
from scheduling.actions import repairs
from scheduling.actions.offers import offer_visit
from scheduling.actions.repairs import RepairRefused, agree_all, agree_step, refuse_step
from scheduling.actions.visits import hold_visit, pencil_visit, promise_visit, unplace_visit
from scheduling.actions.watch import propose_repairs, watch_seasons
from scheduling.models import (
    Offer,
    Repair,
    RepairStep,
    SeasonWatch,
    State,
    StepState,
    Visit,
    What,
)
from tests import cast
from tests.scheduling import spring
from tests.scheduling.weather import COLD_F, WARM_F, foretold

pytestmark = pytest.mark.django_db
FRIDAY = dt.date(2027, 5, 21)
TUESDAY, WEDNESDAY = dt.date(2027, 5, 25), dt.date(2027, 5, 26)
NOW = spring.at(FRIDAY, 10)


def promised(season, day=TUESDAY, hour=9, **home) -> Visit:
    return promise_visit(
        visit=spring.owed(season, **home),
        technician=spring.technician(),
        starts_at=spring.at(day, hour),
        minutes=60,
        now=NOW,
    )


def cold_tuesday(season, at=NOW, **more) -> None:
    foretold(season.branch, at - dt.timedelta(hours=1), {TUESDAY: COLD_F}, **more)


def cold_spell(season, at=NOW) -> None:
    """Cold for as long as a forecast reaches; no time that is promised ahead is warm."""
    season.branch.promise_days = 4
    season.branch.save()
    foretold(season.branch, at - dt.timedelta(hours=1), else_f=COLD_F)


def proposed() -> RepairStep:
    return RepairStep.objects.proposed().leading().get()


def test_a_promise_that_turned_too_cold_gets_a_proposal_with_its_reason():
    season = spring.season()
    visit = promised(season)
    cold_tuesday(season)
    propose_repairs(season=season, now=NOW)
    step = proposed()
    assert (step.visit, step.what) == (visit, What.ANOTHER_DAY)
    assert step.warmth_before < season.branch.hold_limit <= step.warmth_after
    words = step.why.replace("\xa0", " ")
    assert "Tue, May 25, 9:00 AM, is very likely too cold" in words
    assert "by the forecast of Fri, May 21, 9:00 AM" in words


def test_nothing_is_proposed_while_every_promise_stands_warm():
    season = spring.season()
    promised(season)
    foretold(season.branch, NOW)
    assert propose_repairs(season=season, now=NOW) is None


def test_a_far_day_waits_for_a_later_forecast():
    season = spring.season()
    promised(season, day=dt.date(2027, 5, 28))
    foretold(season.branch, NOW, {dt.date(2027, 5, 28): COLD_F})
    assert propose_repairs(season=season, now=NOW) is None
    assert len(SeasonWatch.objects.get().seen["too_cold"]) == 1


def test_pencilled_visits_are_left_to_the_plan():
    season = spring.season()
    pencil_visit(
        visit=spring.owed(season), technician=spring.technician(),
        starts_at=spring.at(TUESDAY, 9), minutes=60, now=NOW,
    )  # fmt: skip
    cold_tuesday(season)
    assert propose_repairs(season=season, now=NOW) is None


def test_agreeing_moves_the_promise_and_tells_the_customer_why():
    season = spring.season()
    visit = promised(season)
    cold_tuesday(season)
    propose_repairs(season=season, now=NOW)
    step = agree_step(step=proposed(), by=cast.odile(), now=NOW)
    visit.refresh_from_db()
    letter = Letter.objects.get(kind="promise_moved")
    assert (visit.state, visit.starts_at) == (State.PROMISED, step.to_starts_at)
    assert "too cold outdoors for a real test" in letter.facts["why"]
    assert letter.invitation["sequence"] == 1
    assert visit.warmth == pytest.approx(step.warmth_after)


def test_the_customer_reads_why_in_her_own_language():
    season = spring.season()
    visit = promised(season)
    visit.owed_visit.home.customer.language = "es"
    visit.owed_visit.home.customer.save()
    cold_tuesday(season)
    propose_repairs(season=season, now=NOW)
    agree_step(step=proposed(), by=cast.odile(), now=NOW)
    assert "frío" in Letter.objects.get(kind="promise_moved").facts["why"]


def test_an_offer_that_turned_cold_is_made_again_for_another_time():
    season = spring.season()
    visit = pencil_visit(
        visit=spring.owed(season), technician=spring.technician(),
        starts_at=spring.at(TUESDAY, 9), minutes=60, now=NOW,
    )  # fmt: skip
    offer_visit(visit=visit, now=NOW)
    cold_tuesday(season)
    propose_repairs(season=season, now=NOW)
    step = agree_step(step=proposed(), by=cast.odile(), now=NOW)
    visit.refresh_from_db()
    assert (visit.state, visit.starts_at) == (State.OFFERED, step.to_starts_at)
    assert Offer.objects.open().count() == 1
    assert "too cold" in Letter.objects.filter(kind="offer").latest("pk").facts["why"]


def test_without_a_warm_time_it_is_held_and_the_hold_says_why():
    season = spring.season()
    visit = promised(season)
    cold_spell(season)
    propose_repairs(season=season, now=NOW)
    agree_step(step=proposed(), by=cast.odile(), now=NOW)
    visit.refresh_from_db()
    assert (visit.state, visit.held_since) == (State.HELD, NOW)
    assert "No warm time that suits is free until" in visit.why
    assert "too cold outdoors" in Letter.objects.get(kind="promise_cancelled").facts["why"]


def test_a_held_check_is_released_when_a_warm_time_is_free():
    season, _ = spring.season(), spring.technician()
    visit = hold_visit(visit=spring.owed(season), why="Cold", release="Warmth", now=NOW)
    foretold(season.branch, NOW)
    propose_repairs(season=season, now=NOW)
    step = proposed()
    assert step.what == What.RELEASE
    agree_step(step=step, by=cast.odile(), now=NOW)
    visit.refresh_from_db()
    assert (visit.state, visit.starts_at) == (State.OFFERED, step.to_starts_at)


def test_a_test_that_is_still_owed_is_released_into_a_short_slot():
    season, _ = spring.season(), spring.technician()
    hold_visit(visit=spring.owed(season), why="Cold", release="Warmth", now=NOW)
    Visit.objects.update(test_only=True)
    foretold(season.branch, NOW)
    propose_repairs(season=season, now=NOW)
    step = proposed()
    assert step.to_ends_at - step.to_starts_at == dt.timedelta(minutes=30)


def test_a_customer_on_the_short_notice_list_is_asked_to_come_sooner():
    season, _ = spring.season(), spring.technician()
    spring.owed(season, short_notice=True)
    foretold(season.branch, NOW)
    propose_repairs(season=season, now=NOW)
    assert proposed().what == What.FILL
    assert proposed().warmth_after >= season.branch.pull_forward_limit


def test_looking_twice_proposes_once():
    season = spring.season()
    promised(season)
    cold_tuesday(season)
    first = propose_repairs(season=season, now=NOW)
    assert propose_repairs(season=season, now=NOW + dt.timedelta(minutes=15)) is None
    assert list(Repair.objects.all()) == [first]


def test_a_forecast_that_flips_back_withdraws_the_proposal():
    season = spring.season()
    promised(season)
    cold_tuesday(season)
    propose_repairs(season=season, now=NOW)
    later = NOW + dt.timedelta(hours=2)
    foretold(season.branch, later)
    propose_repairs(season=season, now=later)
    step = RepairStep.objects.get()
    assert step.state == StepState.WITHDRAWN
    assert "forecast of Fri, May 21, 12:00 PM" in step.ended_why.replace("\xa0", " ")


def test_the_second_of_two_people_is_told_that_it_was_decided():
    season = spring.season()
    promised(season)
    cold_tuesday(season)
    propose_repairs(season=season, now=NOW)
    hers, his = proposed(), proposed()
    agree_step(step=hers, by=cast.odile(), now=NOW)
    with pytest.raises(RepairRefused, match="decided this already"):
        agree_step(step=his, by=cast.walter(), now=NOW)
    with pytest.raises(RepairRefused):
        refuse_step(step=his, by=cast.walter(), now=NOW)
    assert Letter.objects.filter(kind="promise_moved").count() == 1


def test_a_visit_that_changed_meanwhile_is_overtaken_and_left_alone():
    season = spring.season()
    visit = promised(season)
    cold_tuesday(season)
    propose_repairs(season=season, now=NOW)
    unplace_visit(visit=visit, now=NOW)
    step = agree_step(step=proposed(), by=cast.odile(), now=NOW)
    visit.refresh_from_db()
    assert (step.state, visit.state) == (StepState.OVERTAKEN, State.OWED)
    assert "has changed since" in step.ended_why


def test_a_slot_that_went_to_someone_else_is_overtaken():
    season = spring.season()
    visit = promised(season)
    cold_tuesday(season)
    propose_repairs(season=season, now=NOW)
    slot = proposed().to_starts_at.astimezone(spring.CHICAGO)
    promise_visit(
        visit=spring.owed(season), technician=spring.technician(),
        starts_at=slot, minutes=60, now=NOW,
    )  # fmt: skip
    step = agree_step(step=proposed(), by=cast.odile(), now=NOW)
    visit.refresh_from_db()
    assert (step.state, visit.starts_at) == (StepState.OVERTAKEN, spring.at(TUESDAY, 9))


def test_killed_in_the_middle_nothing_is_changed_and_it_can_be_agreed_to_again(monkeypatch):
    season = spring.season()
    visit = promised(season)
    cold_tuesday(season)
    propose_repairs(season=season, now=NOW)

    def killed(*_args, **_more):
        raise KeyboardInterrupt

    with monkeypatch.context() as broken:
        broken.setattr(repairs, "_move", killed)
        with pytest.raises(KeyboardInterrupt):
            agree_step(step=proposed(), by=cast.odile(), now=NOW)
    visit.refresh_from_db()
    assert visit.starts_at == spring.at(TUESDAY, 9)
    assert agree_step(step=proposed(), by=cast.odile(), now=NOW).state == StepState.AGREED


def test_what_was_refused_is_asked_again_only_when_it_turns_colder():
    season = spring.season()
    promised(season)
    foretold(season.branch, NOW, {TUESDAY: 51.0})
    propose_repairs(season=season, now=NOW)
    refuse_step(step=proposed(), by=cast.odile(), now=NOW)
    assert propose_repairs(season=season, now=NOW + dt.timedelta(minutes=15)) is None
    later = NOW + dt.timedelta(hours=1)
    foretold(season.branch, later, {TUESDAY: COLD_F})
    propose_repairs(season=season, now=later)
    assert proposed().warmth_before < 0.2


def test_agreeing_to_all_carries_out_each_and_names_the_overtaken():
    season = spring.season()
    first, second = promised(season, hour=9), promised(season, hour=11)
    cold_tuesday(season)
    propose_repairs(season=season, now=NOW)
    unplace_visit(visit=second, now=NOW)
    done, overtaken = agree_all(season=season, by=cast.odile(), now=NOW)
    assert [step.visit for step in done] == [first]
    assert [step.visit for step in overtaken] == [second]


def test_pencilled_furnace_work_trades_places_with_a_cold_check():
    season = spring.season(starts_on=TUESDAY, ends_on=TUESDAY)
    ingrid = spring.technician()
    ingrid.shifts.update(ends_at=dt.time(13), lunch_min=0)
    visit = promised(season, hour=8)
    furnace = spring.owed(season)
    furnace.owed_visit.kind = VisitKind.HEATING
    furnace.owed_visit.save()
    pencil_visit(
        visit=furnace, technician=ingrid, starts_at=spring.at(TUESDAY, 11, 30), minutes=60, now=NOW
    )
    foretold_by_hour(season)
    propose_repairs(season=season, now=NOW)
    step = proposed()
    agree_step(step=step, by=cast.odile(), now=NOW)
    visit.refresh_from_db()
    assert visit.starts_at > spring.at(TUESDAY, 9)


def foretold_by_hour(season) -> None:
    """Tuesday is cold until eleven."""
    row = foretold(season.branch, NOW - dt.timedelta(hours=1))
    eleven = spring.at(TUESDAY, 11).timestamp()
    row.hours = [[at, COLD_F if at < eleven else WARM_F, *rest] for at, _, *rest in row.hours]
    row.save()


def test_the_warmth_of_what_stands_follows_the_forecast():
    season = spring.season()
    visit = promised(season)
    version = Visit.objects.get(pk=visit.pk).version
    foretold(season.branch, NOW)
    propose_repairs(season=season, now=NOW)
    visit.refresh_from_db()
    assert visit.warmth > 0.9
    assert visit.version == version


def test_the_watch_looks_once_at_each_forecast():
    season = spring.season()
    promised(season)
    cold_tuesday(season)
    assert watch_seasons(now=NOW) == 1
    assert watch_seasons(now=NOW + dt.timedelta(minutes=15)) == 0
    later = NOW + dt.timedelta(hours=1)
    foretold(season.branch, later)
    assert watch_seasons(now=later) == 1


def test_a_new_day_is_looked_at_without_a_new_forecast():
    season = spring.season()
    promised(season)
    assert watch_seasons(now=NOW) == 1
    assert watch_seasons(now=NOW + dt.timedelta(days=1)) == 1


def test_a_branch_without_climate_is_passed_over_and_its_plan_stands():
    season = spring.season()
    visit = promised(season)
    season.branch.climate.delete()
    assert watch_seasons(now=NOW) == 0
    visit.refresh_from_db()
    assert visit.state == State.PROMISED


def test_when_the_service_is_gone_climate_takes_over_and_is_named():
    season = spring.season()
    promised(season)
    cold_tuesday(season, at=NOW - dt.timedelta(days=3))
    watch_seasons(now=NOW)
    watch = SeasonWatch.objects.get()
    assert (watch.source, watch.forecast_at) == ("climate", None)


def test_a_season_that_is_over_is_not_watched():
    spring.season()
    assert watch_seasons(now=spring.at(dt.date(2027, 8, 1), 9)) == 0


def test_the_last_look_calls_off_what_is_too_cold_today():
    season = spring.season()
    visit = promised(season, hour=13)
    morning = spring.at(TUESDAY, 7)
    foretold(season.branch, morning, {TUESDAY: COLD_F})
    propose_repairs(season=season, now=morning)
    step = proposed()
    assert (step.visit, step.what, step.to_starts_at) == (visit, What.HOLD, None)
    assert "telephone before you agree" in step.why


def test_a_visit_that_has_begun_is_the_technicians_to_judge():
    season = spring.season()
    promised(season, hour=9)
    foretold(season.branch, spring.at(TUESDAY, 7), {TUESDAY: COLD_F})
    propose_repairs(season=season, now=spring.at(TUESDAY, 9, 30))
    assert not RepairStep.objects.exists()


def test_a_check_held_today_is_not_driven_to():
    season = spring.season()
    visit = promised(season, hour=13)
    morning = spring.at(TUESDAY, 7)
    foretold(season.branch, morning, {TUESDAY: COLD_F})
    propose_repairs(season=season, now=morning)
    agree_step(step=proposed(), by=cast.odile(), now=morning)
    visit.refresh_from_db()
    assert (visit.state, visit.technician) == (State.HELD, None)
