"""Repair: each kind of proposal, the fewest broken promises, and nothing touched without need."""

import random
from dataclasses import replace

from hypothesis import given
from hypothesis import strategies as st

from scheduling.planner import (
    KeptSlot,
    Kind,
    Plan,
    Policy,
    Slot,
    Window,
    breaks,
    broken_rules,
    clashes,
    fill,
    release,
    repair,
    repaired,
    score,
)
from tests.scheduling.planner.small import NINE, made_up, season, visit, warm_from, workday

COLD_DAY, WARM_DAY = [0.2] * 48, [0.9] * 48
TEN, NOON, TWO = 600.0, 720.0, 840.0
POLICY = Policy(hold_limit=0.6, notice_day=1, last_day=9)


def promised(key, start_min=NINE, workday=0, **facts):
    """A cooling check that the customer was told of."""
    kept = KeptSlot(workday, start_min)
    return visit(key, kept=kept, fixed=True, **({"warmth_class": 0} | facts))


def pencilled(key, start_min, workday=0, **facts):
    return visit(key, kept=KeptSlot(workday, start_min), move_min=5.0, **facts)


def spring(visits, warmth, *, crews=("Ana",), **facts):
    """One workday a technician and day; the days as `warmth` has them."""
    days = len(warmth)
    workdays = [workday(day, name) for day in range(days) for name in crews]
    return season(visits, workdays, days=days, warmth=[warmth], **({"least_warmth": 0.7} | facts))


def only(problem, cold=(0,), policy=POLICY):
    """The one proposal that there should be."""
    (proposal,) = repair(problem, cold, policy)
    return proposal


def test_a_check_that_is_warm_after_lunch_is_proposed_later_the_same_day():
    proposal = only(spring([promised("Nora")], [warm_from(NOON), WARM_DAY]))
    assert (proposal.kind, proposal.broken) == (Kind.LATER, 1)
    assert proposal.move.after == Slot(0, 0, NOON)
    assert (proposal.warmth_before, proposal.warmth_after) == (0.2, 0.9)


def test_half_an_hour_later_breaks_no_promise_and_warm_enough_to_stay_is_enough():
    morning = [0.65 if 30 * half_hour >= NINE + 30 else 0.5 for half_hour in range(48)]
    proposal = only(spring([promised("Nora")], [morning, WARM_DAY]))
    assert (proposal.kind, proposal.broken) == (Kind.LATER, 0)
    assert proposal.move.after == Slot(0, 0, NINE + 30)


def test_a_kept_promise_comes_before_a_warmer_day():
    morning = [0.61 if 30 * half_hour >= NINE + 30 else 0.5 for half_hour in range(48)]
    assert only(spring([promised("Nora")], [morning, [1.0] * 48])).broken == 0


def test_it_trades_places_with_pencilled_work_that_needs_no_warmth():
    nora = promised("Nora", service_min=100.0)
    furnace = pencilled("furnace", NOON, service_min=110.0)
    problem = until_two(spring([nora, furnace], [warm_from(NOON)]))
    swap = only(problem)
    assert (swap.kind, swap.broken) == (Kind.SWAP, 1)
    assert [(move.visit, move.after.start_min < NOON) for move in swap.makes_room] == [(1, True)]
    assert broken_rules(loosened(problem, swap), repaired(problem, [swap])) == []


def until_two(problem):
    """The same with a short first day."""
    first, *others = problem.workdays
    return replace(problem, workdays=(replace(first, end_min=TWO), *others))


def test_another_day_keeps_the_notice_and_the_customers_own_windows():
    wednesdays = (Window(0, 0, 1440), Window(2, TWO, 1440))
    nora = promised("Nora", windows=wednesdays)
    proposal = only(spring([nora], [COLD_DAY, WARM_DAY, WARM_DAY]))
    assert (proposal.kind, proposal.move.after) == (Kind.ANOTHER_DAY, Slot(0, 2, TWO))


def test_a_customer_on_the_short_notice_list_may_come_before_the_notice():
    problem = spring([promised("Nora", workday=1)], [WARM_DAY, COLD_DAY, WARM_DAY])
    later = replace(POLICY, notice_day=2)
    assert only(problem, policy=later).move.after.workday == 2
    soon = replace(later, at_short_notice=frozenset({0}))
    assert only(spring([promised("Nora", workday=1)], [WARM_DAY, COLD_DAY]), policy=soon).kind == (
        Kind.ANOTHER_DAY
    )


def test_a_check_is_held_when_no_warm_time_suits_before_it_is_due():
    nora = promised("Nora", due_day=1)
    proposal = only(spring([nora], [COLD_DAY, COLD_DAY, WARM_DAY]))
    assert (proposal.kind, proposal.move.after, proposal.broken) == (Kind.HOLD, None, 1)


def test_times_farther_ahead_than_is_promised_are_not_proposed():
    near = replace(POLICY, last_day=1)
    problem = spring([promised("Nora")], [COLD_DAY, COLD_DAY, WARM_DAY])
    assert only(problem, policy=near).kind is Kind.HOLD


def test_no_second_promise_is_broken_to_save_the_first():
    furnace = promised("furnace", NOON, warmth_class=None, service_min=290.0)
    nora = promised("Nora", service_min=100.0)
    proposal = only(spring([nora, furnace], [warm_from(NOON)]))
    assert (proposal.kind, proposal.makes_room) == (Kind.HOLD, ())


def test_a_promise_that_moves_by_a_little_may_make_room():
    furnace = promised("furnace", TEN + 45, warmth_class=None, service_min=90.0)
    nora = promised("Nora", NINE + 15, service_min=20.0, windows=(Window(0, NINE, NOON + 30),))
    problem = spring([nora, furnace], [warm_from(NOON)], drive_min=5.0)
    day = replace(problem.workdays[0], end_min=NOON + 30)
    proposal = only(replace(problem, workdays=(day,)))
    assert proposal.kind is Kind.SWAP
    (move,) = proposal.makes_room
    assert not breaks(problem, move)
    assert 0 < abs(move.after.start_min - move.before.start_min) <= 30


def test_pencilled_visits_give_way_when_nothing_is_quite_free():
    long = pencilled("Abe", NINE, workday=1, service_min=460.0, warmth_class=0)
    proposal = only(spring([promised("Nora"), long], [COLD_DAY, WARM_DAY]))
    assert proposal.kind is Kind.ANOTHER_DAY
    assert [(move.visit, move.after) for move in proposal.makes_room] == [(1, None)]


def test_of_two_cold_checks_the_one_without_a_choice_gets_the_warm_time():
    picky = promised("Nora", windows=(Window(0, 0, 1440), Window(1, NINE + 15, NINE + 15)))
    easy = promised("Abe", NINE + 120)
    found = repair(spring([easy, picky], [COLD_DAY, WARM_DAY]), [0, 1], POLICY)
    after = {proposal.move.visit: proposal.move.after for proposal in found}
    assert after[1] == Slot(1, 1, NINE + 15)
    assert after[0].workday == 1


def test_a_technician_without_the_skill_is_no_way_out():
    problem = spring([promised("Nora", skills=frozenset({"gas"}))], [COLD_DAY, WARM_DAY])
    assert only(problem).kind is Kind.HOLD


def test_a_held_check_gets_the_best_free_warm_time():
    held = visit("Nora", warmth_class=0, due_day=2)
    found = release(spring([held], [COLD_DAY, WARM_DAY, WARM_DAY]), [0], POLICY)
    assert [(p.kind, p.move.after.workday) for p in found] == [(Kind.RELEASE, 1)]


def test_nothing_is_released_into_the_cold():
    assert release(spring([visit("Nora", warmth_class=0)], [COLD_DAY]), [0], POLICY) == []


def test_what_a_repair_takes_is_not_released_to_another():
    held = visit("Abe", warmth_class=0)
    nora = promised("Nora", service_min=430.0)
    problem = spring([nora, held], [COLD_DAY, WARM_DAY])
    repairs = repair(problem, [0], POLICY)
    assert release(problem, [1], POLICY, repairs) == []


def loosened(problem, *proposals):
    """The problem in which what moved may stand anywhere that suits."""
    moved = {move.visit for proposal in proposals for move in proposal.moves}
    return replace(
        problem,
        visits=tuple(
            replace(v, kept=None, fixed=False) if i in moved else v
            for i, v in enumerate(problem.visits)
        ),
    )


def promised_by_chance(seed, visits=7):
    """A season in which most visits stand, some of them promised, without a clash."""
    chance = random.Random(seed)
    problem = made_up(chance, visits=visits, workdays=4, days=3)
    slots = []
    for number, each in enumerate(problem.visits):
        stands = each.kept is not None and chance.random() < 0.9
        slot = Slot(number, each.kept.workday, each.kept.start_min) if stands else None
        trial = Plan((*slots, slot, *[None] * (visits - number - 1)))
        slots.append(None if broken_rules(problem, trial) else slot)
    standing = tuple(
        replace(
            v, kept=None if s is None else v.kept, fixed=s is not None and chance.random() < 0.6
        )
        for v, s in zip(problem.visits, slots, strict=True)
    )
    problem = replace(problem, visits=standing)
    promises = [i for i, v in enumerate(standing) if v.fixed]
    cold = [i for i in promises if chance.random() < 0.5]
    return problem, cold, Policy(0.2, chance.randrange(3), 2)


@given(st.integers(0, 10**6))
def test_no_rule_is_broken_whatever_is_repaired(seed):
    problem, cold, policy = promised_by_chance(seed)
    assert not clashes(problem)
    found = repair(problem, cold, policy)
    assert (
        broken_rules(with_the_limit_of_staying(loosened(problem, *found)), repaired(problem, found))
        == []
    )


def with_the_limit_of_staying(problem):
    """A little later the same day, warm enough to stay is enough."""
    return replace(problem, least_warmth=min(problem.least_warmth, 0.2))


@given(st.integers(0, 10**6))
def test_only_the_cold_break_their_promises_each_once(seed):
    problem, cold, policy = promised_by_chance(seed)
    found = repair(problem, cold, policy)
    assert sorted(proposal.move.visit for proposal in found) == cold
    moves = [move for proposal in found for move in proposal.moves]
    assert len({move.visit for move in moves}) == len(moves)
    assert {move.visit for move in moves if breaks(problem, move)} <= set(cold)


@given(st.integers(0, 10**6))
def test_nothing_moves_that_could_have_stayed(seed):
    """A visit that made room does not fit any more where it stood."""
    problem, cold, policy = promised_by_chance(seed)
    found = repair(problem, cold, policy)
    after, standing = repaired(problem, found), repaired(problem, [])
    for proposal in found:
        for move in proposal.makes_room:
            slots = list(after.slots)
            slots[move.visit] = standing.slots[move.visit]
            others = loosened(problem, *found)
            assert broken_rules(others, Plan(tuple(slots)))


@given(st.integers(0, 10**6))
def test_a_move_keeps_the_notice(seed):
    problem, cold, policy = promised_by_chance(seed)
    for proposal in repair(problem, cold, policy):
        before, after = proposal.move.before, proposal.move.after
        if after is None:
            continue
        days = [problem.workdays[slot.workday].day for slot in (before, after)]
        later_that_day = days[0] == days[1] and after.start_min > before.start_min
        assert later_that_day or days[1] >= policy.notice_day


@given(st.integers(0, 10**6))
def test_a_moved_promise_is_as_warm_as_planning_asks_for(seed):
    problem, cold, policy = promised_by_chance(seed)
    for proposal in repair(problem, cold, policy):
        if proposal.warmth_after is not None and proposal.broken:
            assert proposal.warmth_after >= problem.least_warmth


def test_the_same_problem_gives_the_same_proposals():
    problem, cold, policy = promised_by_chance(11)
    assert repair(problem, cold, policy) == repair(problem, cold, policy)


def test_agreeing_costs_less_cold_trips():
    problem = spring([promised("Nora"), promised("Abe", NINE + 120)], [COLD_DAY, WARM_DAY])
    found = repair(problem, [0, 1], POLICY)
    before, after = repaired(problem, []), repaired(problem, found)
    assert score(problem, after).cold_trips < score(problem, before).cold_trips


def test_a_free_warm_slot_goes_to_the_first_who_may_come_sooner():
    late = [pencilled(name, NINE + 15, workday=1, warmth_class=0) for name in ("Nora", "Abe")]
    late[1] = replace(late[1], kept=KeptSlot(1, TWO))
    problem = spring([*late, promised("Bo", service_min=380.0)], [WARM_DAY, WARM_DAY])
    found = fill(problem, [1, 0], replace(POLICY, notice_day=0, last_day=0), [], 0.85)
    assert [(p.kind, p.move.visit, p.move.after.workday) for p in found] == [(Kind.FILL, 1, 0)]


def test_what_is_not_nearly_sure_is_not_filled():
    problem = spring([pencilled("Nora", NINE, workday=1, warmth_class=0)], [WARM_DAY, WARM_DAY])
    sure = replace(POLICY, notice_day=0, last_day=0)
    assert fill(problem, [0], sure, [], least_warmth=0.95) == []
