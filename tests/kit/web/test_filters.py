"""The filters that templates word numbers with."""

import datetime as dt
from zoneinfo import ZoneInfo

import pytest
from django.template import Context, Template
from django.utils import timezone

from kit import words


def rendered(source, **context):
    text = Template("{% load redbud %}" + source).render(Context(context))
    return text.replace(words.NARROW, " ")


@pytest.mark.parametrize("state", words.STATES)
def test_a_state_is_a_shape_and_a_word(state):
    text = rendered("{{ state|state_mark }}", state=state)
    assert f'href="#mark-{state}"' in text
    assert text.endswith(f"</svg>{state}</span>")


@pytest.mark.parametrize("state", words.STATES)
def test_every_state_has_its_shape(state):
    assert f'id="mark-{state}"' in rendered('{% include "kit/_shapes.svg" %}')


def test_an_unknown_state_is_refused_in_words():
    with pytest.raises(ValueError, match="is one of owed, pencilled"):
        rendered("{{ 'booked'|state_mark }}")


def test_a_moment_is_shown_on_the_clock_of_the_branch():
    moment = dt.datetime(2027, 4, 12, 18, 30, tzinfo=dt.UTC)
    with timezone.override(ZoneInfo("America/Chicago")):
        assert rendered("{{ moment|clock }}", moment=moment) == "1:30 PM"


def test_numbers_get_their_unit_and_nothing_stays_empty():
    assert rendered("{{ 54.4|temperature }}, {{ 85|duration }}") == "54 °F, 1 h 25 min"
    assert rendered("{{ none|temperature }}{{ none|duration }}{{ none|clock }}", none=None) == ""
