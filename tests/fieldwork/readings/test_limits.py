"""Limits: each with a source, and a branch's own ones told apart."""

from dataclasses import fields

import pytest

from fieldwork.readings import DEFAULT_LIMITS, RULES
from fieldwork.readings.limits import BRANCH


@pytest.mark.parametrize("name", [field.name for field in fields(DEFAULT_LIMITS)])
def test_every_limit_has_a_unit_and_a_source(name):
    limit = getattr(DEFAULT_LIMITS, name)
    assert limit.unit
    assert len(limit.source) > 5


def test_a_branchs_own_limit_says_so():
    own = DEFAULT_LIMITS.with_own(least_test_f=50.0)
    assert (own.least_test_f.value, own.least_test_f.source) == (50.0, BRANCH)
    assert DEFAULT_LIMITS.least_test_f.value == 55.0


def test_the_version_follows_the_branchs_own_values():
    one, other = (DEFAULT_LIMITS.with_own(least_test_f=f).version for f in (50.0, 52.0))
    assert DEFAULT_LIMITS.version == RULES
    assert len({DEFAULT_LIMITS.version, one, other}) == 3


def test_a_limit_that_does_not_exist_is_refused():
    with pytest.raises(ValueError, match="no limit least_fun"):
        DEFAULT_LIMITS.with_own(least_fun=1.0)
