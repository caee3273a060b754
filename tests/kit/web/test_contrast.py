"""The tokens' colours against each other, by WCAG 2.2's own formula (relative luminance)."""

import re
from pathlib import Path

import pytest

TOKENS = (Path(__file__).parents[3] / "static/css/tokens.css").read_text()
COLOURS = dict(re.findall(r"--([\w-]+): (#[0-9a-f]{6});", TOKENS))


def luminance(name):
    channels = [int(COLOURS[name][i : i + 2], 16) / 255 for i in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one, other):
    dark, light = sorted([luminance(one), luminance(other)])
    return (light + 0.05) / (dark + 0.05)


@pytest.mark.parametrize("ground", ["paper", "sheet", "paper-shade", "pink-soft"])
@pytest.mark.parametrize("ink", ["bark", "bark-soft", "pink-deep", "cold-ink"])
def test_an_ink_can_be_read_on_every_ground(ink, ground):
    assert contrast(ink, ground) >= 4.5


def test_the_main_buttons_word_can_be_read():
    assert contrast("sheet", "pink") >= 4.5


@pytest.mark.parametrize("ground", ["paper", "sheet"])
@pytest.mark.parametrize("line", ["line-strong", "pink"])
def test_a_line_that_carries_meaning_can_be_seen(line, ground):
    assert contrast(line, ground) >= 3


@pytest.mark.parametrize("stop", [30, 40, 50, 60, 70, 80, 90])
def test_the_middle_line_can_be_seen_on_every_colour_of_the_scale(stop):
    assert contrast("bark", f"temperature-{stop}") >= 2.6
