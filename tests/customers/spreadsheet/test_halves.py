import pytest
from hypothesis import given
from hypothesis import strategies as st

from customers.spreadsheet.halves import both_of, read_days, read_half
from customers.spreadsheet.outcomes import CellRefused
from kit.when import WEEKDAY_NAMES, WEEKDAY_SHORT, WeekHalves

EACH_DAY = "Mon Tue Wed Thu Fri Sat Sun"


def halves(words):
    """ "Mon, Tue-" are Monday and Tuesday morning (-); "+" is the afternoon."""
    pairs = set()
    for word in words.split():
        day = EACH_DAY.split().index(word.rstrip("-+"))
        pairs |= {(day, half) for half in (0, 1) if word[-1] != "+-"[half]}
    return WeekHalves.of(pairs)


@pytest.mark.parametrize(
    ("text", "meant"),
    [
        ("Mon, Wed, Fri", "Mon Wed Fri"),
        ("MWF", "Mon Wed Fri"),
        ("M W F", "Mon Wed Fri"),
        ("Tu/Th", "Tue Thu"),
        ("TTh", "Tue Thu"),
        ("Tues & Thurs", "Tue Thu"),
        ("Mondays or Fridays", "Mon Fri"),
        ("Mon-Thu", "Mon Tue Wed Thu"),
        ("mon thru wed", "Mon Tue Wed"),
        ("weekdays", "Mon Tue Wed Thu Fri"),
        ("Weekends only", "Sat Sun"),
        ("anytime", EACH_DAY),
        ("not Friday", "Mon Tue Wed Thu Sat Sun"),
        ("weekdays but not Mon", "Tue Wed Thu Fri"),
        ("Mon AM, Thu PM", "Mon- Thu+"),
        ("Mon, Tue mornings; Thu", "Mon- Tue- Thu"),
        ("Mon-Wed AM", "Mon- Tue- Wed-"),
        ("mornings", "Mon- Tue- Wed- Thu- Fri- Sat- Sun-"),
        ("AM Mon", "Mon-"),
    ],
)
def test_it_reads_what_offices_write(text, meant):
    assert read_days(text) == halves(meant)


@pytest.mark.parametrize("text", ["after school", "Mon, Blursday", "not mornings", "Mon-Foo"])
def test_what_it_cannot_read_it_refuses_by_the_word(text):
    with pytest.raises(CellRefused) as refused:
        read_days(text)

    assert refused.value.code == "days_unreadable"


@pytest.mark.parametrize("text", ["AM", "a.m.", "morning", "Mornings only"])
def test_a_half_of_every_day(text):
    assert read_half(text) == read_days("mornings")


def test_either_half_is_any_time():
    assert read_half("either") == WeekHalves.always()
    with pytest.raises(CellRefused, match="write AM, PM or either"):
        read_half("noonish")


def test_days_and_half_meet():
    assert both_of(read_days("Mon, Tue"), read_half("PM"), "") == halves("Mon+ Tue+")


def test_days_and_half_that_never_meet_are_refused():
    with pytest.raises(CellRefused, match="leaves no half day"):
        both_of(read_days("Mon AM"), read_half("PM"), "Mon AM, PM")


@given(st.sets(st.integers(0, 6), min_size=1), st.sampled_from([WEEKDAY_NAMES, WEEKDAY_SHORT]))
def test_any_set_of_days_survives_being_written_and_read(days, names):
    text = ", ".join(names[day] for day in days)

    assert read_days(text) == WeekHalves.of((day, half) for day in days for half in (0, 1))
