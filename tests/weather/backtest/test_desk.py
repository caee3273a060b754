"""What no policy may do, in any spring and with any settings."""

from collections import Counter

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.weather.backtest.made_up_springs import DAYS, spring
from weather.backtest.desk import How, look_out
from weather.backtest.figures import outcome
from weather.backtest.policy import Policy
from weather.backtest.running import Setup, played
from weather.backtest.slots import STARTS_H
from weather.backtest.strategies import SAME_DAY_FROM_H, STRATEGIES

NAMES = sorted(STRATEGIES)


def temperatures():
    """A °F for each day, the same in every slot."""
    return st.lists(st.integers(40, 95), min_size=len(DAYS), max_size=len(DAYS))


@st.composite
def policies(draw):
    notice = draw(st.integers(0, 4))
    share = st.floats(0, 1)
    return Policy(
        first_booking_limit=draw(share),
        hold_limit=draw(share),
        pull_forward_limit=draw(share),
        notice_days=notice,
        promise_days=notice + draw(st.integers(0, 8)),
        short_notice_share=draw(share),
        short_notice_days=draw(st.integers(0, 3)),
        last_look_days=draw(st.integers(0, 3)),
    )


@st.composite
def desks(draw, name=None, **more):
    values = draw(temperatures())
    hot = [day for day, value in zip(DAYS, values, strict=True) if value >= 85]
    one = spring(lambda day: values[(day - DAYS[0]).days], heat_from=min(hot, default=None))
    policy = draw(policies())
    setup = Setup(checks=draw(st.integers(1, 300)), technicians=draw(st.integers(1, 3)), **more)
    outlook = look_out(one, policy, setup.first, seed=draw(st.integers(0, 5)))
    strategy = STRATEGIES[name or draw(st.sampled_from(NAMES))]
    return played(outlook, strategy, policy, setup)


@settings(max_examples=25, deadline=None)
@given(desks())
def test_every_check_is_visited_at_most_once_and_no_technician_twice_in_a_slot(desk):
    assert max(Counter(v.promise.check for v in desk.visits).values(), default=0) <= 1
    rooms = Counter((v.promise.day, v.promise.slot) for v in desk.visits)
    assert max(rooms.values(), default=0) <= desk.technicians


@settings(max_examples=25, deadline=None)
@given(desks())
def test_nobody_is_asked_inside_the_notice_who_did_not_agree_to_it(desk):
    for visit in desk.visits:
        promise = visit.promise
        ahead = promise.day - promise.made_on
        if promise.how is How.NOTICE:
            assert ahead >= desk.policy.notice_days
        elif promise.how is How.SHORT_NOTICE:
            assert ahead >= desk.policy.short_notice_days
        if ahead == 0 and promise.how is not How.NOTICE:
            assert STARTS_H[promise.slot] >= SAME_DAY_FROM_H


@settings(max_examples=25, deadline=None)
@given(desks())
def test_no_check_is_lost_on_the_way(desk):
    promised = [p.check for kept in desk.promised.values() for p in kept]
    everyone = [*desk.ordinary, *desk.on_list, *promised, *desk.visited]
    assert sorted(everyone) == list(range(desk.checks))


@settings(max_examples=25, deadline=None)
@given(desks())
def test_visits_are_on_working_days_from_the_first_on(desk):
    days = {desk.outlook.spring.days[v.promise.day] for v in desk.visits}
    assert all(day.weekday() < 5 and (day.month, day.day) >= (3, 2) for day in days)


@pytest.mark.parametrize("name", [name for name in NAMES if name != "foresight"])
@settings(max_examples=10, deadline=None)
@given(st.data())
def test_foresight_is_never_beaten_on_valid_tests(name, data):
    desk = data.draw(desks(name))
    limit = played(
        desk.outlook,
        STRATEGIES["foresight"],
        desk.policy,
        Setup(checks=desk.checks, technicians=desk.technicians),
    )
    assert outcome(desk).valid <= outcome(limit).valid


@settings(max_examples=25, deadline=None)
@given(desks(return_trips=True))
def test_driving_again_tests_no_check_twice(desk):
    warm = [v.promise.check for v in desk.visits if v.warm]
    assert len(warm) == len(set(warm))
    assert outcome(desk).not_done == desk.checks - len(warm)
