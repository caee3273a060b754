"""A visit's life has only the steps that it should have."""

import itertools

import pytest

from scheduling import states
from scheduling.models import State
from scheduling.states import StepRefused, check_step


def test_every_state_has_its_next_steps():
    assert set(states.NEXT) == set(State.values)


def test_a_visit_goes_from_owed_to_done():
    life = [states.OWED, states.PENCILLED, states.OFFERED, states.PROMISED, states.DONE]
    for old, new in itertools.pairwise(life):
        check_step(old, new)


def test_a_done_visit_stays_done():
    with pytest.raises(StepRefused, match="cannot become owed; it can become nothing"):
        check_step(states.DONE, states.OWED)


def test_the_refusal_names_what_is_allowed():
    with pytest.raises(StepRefused, match="it can become pencilled, held, promised, waived"):
        check_step(states.OWED, states.DONE)
