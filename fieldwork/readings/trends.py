"""Early warnings from visit to visit: the same equipment, in comparable weather only.

The amounts that warn are common practice without a source (limits.py, "Trends").
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from fieldwork.readings.case import Case, earlier_case
from fieldwork.readings.electricity import difference_percent
from fieldwork.readings.judged.electrical import capacitor_uf
from fieldwork.readings.judged.furnace import air_free
from fieldwork.readings.limits import PRACTICE
from fieldwork.readings.measured import Measured, measure
from fieldwork.readings.verdicts import EarlierVisit, Trend
from fieldwork.readings.words import amount, number

YEAR_DAYS = 365.25
NEXT_VISIT = timedelta(days=365)
"""When the next check of the same kind is taken to be: a year from today."""
_TWO_YEARS = 2.0


@dataclass(frozen=True)
class Point:
    """A value at a time, in years before (minus) today."""

    years: float
    value: float


@dataclass(frozen=True)
class _Then:
    """One visit, ready to be asked; today's is the last."""

    years: float
    case: Case
    measured: Measured
    replaced: frozenset[str]
    comparable: bool


def trends(
    case: Case,
    earlier: Sequence[EarlierVisit],
    today: date,
    replaced: frozenset[str] = frozenset(),
) -> tuple[Trend, ...]:
    """Warnings, today's readings being the last point; none of a part that was `replaced` today."""
    history = _history(case, earlier, today, replaced)
    found = (*_capacitors(history), *_slow_changes(history), *_flame_and_co(history))
    return tuple(trend for trend in found if trend is not None)


def _history(
    case: Case, earlier: Sequence[EarlierVisit], today: date, replaced: frozenset[str]
) -> list[_Then]:
    past = []
    for visit in sorted((each for each in earlier if each.day < today), key=lambda each: each.day):
        then = earlier_case(case, visit.readings)
        years = (visit.day - today).days / YEAR_DAYS
        measured = measure(case.equipment, then.readings)
        past.append(_Then(years, then, measured, visit.replaced, case.is_comparable(then)))
    return [*past, _Then(0.0, case, measure(case.equipment, case.readings), replaced, True)]


def _points(
    history: Sequence[_Then],
    of: Callable[[_Then], float | None],
    part: str = "",
    comparable: bool = False,
) -> list[Point]:
    """Values by time; none when today has no value. Begins anew after `part` was replaced."""
    begins = max((n + 1 for n, then in enumerate(history) if part in then.replaced), default=0)
    found = [
        Point(then.years, value)
        for then in history[begins:]
        if then.comparable or not comparable
        if (value := of(then)) is not None
    ]
    return found if found and found[-1].years == 0.0 else []


def slope_a_year(points: Sequence[Point]) -> float:
    """Least squares; 0 when all points are of one day."""
    mean_t = sum(point.years for point in points) / len(points)
    mean_v = sum(point.value for point in points) / len(points)
    spread = sum((point.years - mean_t) ** 2 for point in points)
    if spread == 0:
        return 0.0
    return sum((p.years - mean_t) * (p.value - mean_v) for p in points) / spread


def _capacitors(history: Sequence[_Then]) -> Iterator[Trend]:
    for side in ("compressor", "fan"):
        rated = getattr(history[-1].case.equipment, f"capacitor_{side}_uf")
        if rated and (trend := _capacitor(history, side, rated)) is not None:
            yield trend


def _capacitor(history: Sequence[_Then], side: str, rated: float) -> Trend | None:
    """Warns when the line reaches the label's limit within a year, or falls 3 points a year."""

    def share(then: _Then) -> float | None:
        measured = capacitor_uf(then.case, side)
        return None if measured is None else difference_percent(measured, rated)

    points = _points(history, share, f"capacitor_{side}_uf")
    if len(points) < 2:
        return None
    slope, rules = slope_a_year(points), history[-1].case.rules
    own = history[-1].case.equipment.capacitor_tolerance_percent
    limit = -(rules.capacitor_tolerance_percent.value if own is None else own)
    next_year = points[-1].value + slope * NEXT_VISIT.days / YEAR_DAYS
    now_within = points[-1].value >= limit
    falls_fast = slope <= -rules.capacitor_points_a_year.value
    if slope >= 0 or not now_within or not (next_year < limit or falls_fast):
        return None
    return Trend(
        f"capacitor_{side}", f"Capacitor, {side} side, is wearing out",
        f"{number(points[-1].value, 1)} % of its label now, {number(slope, 1)} points a year; "
        f"{number(next_year, 1)} % a year from now, the label allows {number(limit, 1)} %.",
        "A part that starts a motor is wearing out; we will bring one.",
        len(points), len(points) > 2, _capacitor_words(history[-1].case), PRACTICE,
    )  # fmt: skip


def _capacitor_words(case: Case) -> str:
    """A dual capacitor is one part: "capacitor 45/5 µF"."""
    ratings = (case.equipment.capacitor_compressor_uf, case.equipment.capacitor_fan_uf)
    return f"capacitor {'/'.join(f'{rating:g}' for rating in ratings if rating)} µF"


def _split_from_target(then: _Then) -> float | None:
    split_f, target_f = then.measured.split_f, then.measured.target_split_f
    return None if split_f is None or target_f is None else split_f - target_f


def _slow_changes(history: Sequence[_Then]) -> Iterator[Trend | None]:
    rules = history[-1].case.rules
    yield _change(
        "split", "Split falls", _points(history, _split_from_target, comparable=True),
        -rules.split_drop_f.value, "°F", "Charge, coils and airflow before summer.",
        "The system cools a little less than it did.", within_years=_TWO_YEARS,
    )  # fmt: skip
    yield _change(
        "condenser", "Condenser runs hotter",
        _points(history, lambda then: then.measured.condenser_over_outdoor_f, comparable=True),
        rules.condenser_rise_f.value, "°F", "Outdoor coil and fan.",
        "The outdoor unit has to work harder than it did.", bring="coil cleaner, hose",
    )  # fmt: skip
    yield _change(
        "tesp", "Static pressure rises",
        _points(history, lambda then: then.case.number("tesp_in_wc")),
        rules.tesp_rise_in_wc.value, "in WC", "Filter, indoor coil, registers.",
        "The air has a harder time getting through than it did.", decimals=2,
    )  # fmt: skip
    yield _relative(
        "compressor_amps", "Compressor draws more",
        _points(
            history, lambda then: then.case.number("compressor_a"), "compressor_a", comparable=True
        ),
        rules.amps_rise_percent.value, "Outdoor coil, voltage, charge; then the compressor.",
        "The compressor has to work harder than it did.",
    )  # fmt: skip


def _flame_and_co(history: Sequence[_Then]) -> Iterator[Trend | None]:
    yield _relative(
        "flame", "Flame current falls",
        _points(history, lambda then: then.case.number("flame_ua"), "flame_ua"),
        -history[-1].case.rules.flame_drop_percent.value, "Sensor, ground, burner.",
        "The furnace senses its flame less well than it did.", bring="flame sensor",
    )  # fmt: skip
    points = _points(history, lambda then: air_free(then.case) or None)  # none doubles never
    yield _relative(
        "flue_co", "CO in the flue has doubled", points, 100.0,
        "Burners, gas pressure, combustion air, exchanger.",
        "The flame burns less cleanly than it did.",
    )  # fmt: skip


def _change(
    key: str,
    title: str,
    points: Sequence[Point],
    warns_at: float,
    unit: str,
    advice: str,
    plain: str,
    *,
    decimals: int = 1,
    bring: str = "",
    within_years: float | None = None,
) -> Trend | None:
    """Warns when today differs from the first comparable visit by `warns_at` or more."""
    if within_years is not None:
        points = [point for point in points if point.years >= -within_years - 0.1]
    if len(points) < 2:
        return None
    change = points[-1].value - points[0].value
    if change * (1.0 if warns_at > 0 else -1.0) < abs(warns_at) - 1e-9:
        return None
    words = (
        f"{amount(points[0].value, unit, decimals)} then, "
        f"{amount(points[-1].value, unit, decimals)} now. {advice}"
    )
    return Trend(key, title, words, plain, len(points), len(points) > 2, bring, PRACTICE)


def _relative(
    key: str,
    title: str,
    points: Sequence[Point],
    warns_at_percent: float,
    advice: str,
    plain: str,
    *,
    bring: str = "",
) -> Trend | None:
    """The same of a change in per cent of the first comparable visit."""
    if len(points) < 2 or points[0].value <= 0:
        return None
    first = points[0].value
    shares = [Point(p.years, difference_percent(p.value, first)) for p in points]
    return _change(key, title, shares, warns_at_percent, "%", advice, plain, bring=bring)
