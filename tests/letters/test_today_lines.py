"""What the Today screen says of letters."""

import datetime as dt

import pytest

from front.today import gather
from letters.actions.stops import mark_address
from letters.models import LetterState
from tests import cast
from tests.letters.outbox import MORNING, reminder

pytestmark = pytest.mark.django_db


def lines() -> dict[str, int]:
    found = gather(cast.cedarburg(), dt.date(2027, 4, 1)).decisions
    return {decision.words: decision.count for decision in found}


def test_it_counts_letters_that_a_person_has_to_settle():
    reminder(state=LetterState.UNSURE)
    for _ in range(2):
        reminder(state=LetterState.FAILED)
    reminder()

    assert lines() == {"letter may have arrived or not": 1, "letters were given up": 2}


def test_it_counts_bad_addresses_until_they_are_seen():
    reminder()
    address = mark_address(email="nora@example.com", why="bounced", words="550", now=MORNING)
    assert lines() == {"e-mail address does not work": 1}

    address.seen = True
    address.save()
    assert lines() == {}
