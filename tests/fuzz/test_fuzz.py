"""Some hundred made-up requests at every form and address; bin/fuzz sends ten thousand.

Found by it and mended: see the tests beside each form.
"""

import logging
import os
import sys

import pytest
import time_machine

from tests.access.world import NOW
from tests.fuzz.tries import try_all

pytestmark = [pytest.mark.slow, pytest.mark.django_db]


@pytest.fixture(autouse=True)
def _quiet():
    """Thousands of refusals are nobody's news."""
    logging.disable(logging.CRITICAL)
    yield
    logging.disable(logging.NOTSET)


def test_nothing_that_is_sent_makes_an_error_page_or_tells_a_stranger(capsys):
    with time_machine.travel(NOW, tick=False):
        found = try_all(int(os.environ.get("FUZZ_INPUTS", "300")))
    with capsys.disabled():
        sys.stderr.write(f"\n{found.tried} requests: {dict(found.statuses)}\n")
    assert not found.faults, "\n".join(found.faults.values())
    assert found.statuses[200] > found.tried / 20
