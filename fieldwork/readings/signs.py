"""Signs for the diagnosis: which measurements are high, low or normal, and how firmly.

A fixed difference between return air and evaporator would call 41 of 72 healthy points of a maker's
chart abnormal. So suction is high or low firmly only by the maker's chart or by the same unit's
own earlier visits; without either it has no sign.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from statistics import fmean
from typing import Literal

from fieldwork.readings.case import Case, earlier_case
from fieldwork.readings.judged.charge import valve_superheat_range
from fieldwork.readings.maker_chart import normal_pressures
from fieldwork.readings.measured import Measured, measure
from fieldwork.readings.subject import side_of
from fieldwork.readings.verdicts import EarlierVisit
from fieldwork.readings.words import allowed, amount

Direction = Literal["-", "0", "+"]
_WORDS = {"-": "low", "0": "normal", "+": "high"}


@dataclass(frozen=True)
class Sign:
    """`firm` False: by a rule of the trade only, so that it lowers the confidence."""

    direction: Direction
    words: str
    used: tuple[str, ...]
    firm: bool = True


def signs_of(case: Case, measured: Measured, earlier: Sequence[EarlierVisit]) -> dict[str, Sign]:
    """Signs by name; one that nothing tells is left out."""
    found = {
        "superheat": _superheat(case, measured),
        "subcooling": _subcooling(case, measured),
        "split": _split(case, measured),
        "suction": _suction(case, measured, earlier),
        "condenser": _condenser(case, measured),
        "amps": _amps(case),
    }
    return {name: sign for name, sign in found.items() if sign is not None}


def _sign(
    title: str,
    value: float,
    low: float,
    high: float,
    unit: str,
    used: tuple[str, ...],
    firm: bool = True,
) -> Sign:
    directions: dict[str, Direction] = {"below": "-", "within": "0", "above": "+"}
    direction = directions[side_of(value, low, high)]
    words = (
        f"{title} {_WORDS[direction]} ({amount(value, unit, 1)}; normal is "
        f"{allowed(low, high, unit, 1)})"
    )
    return Sign(direction, words, used, firm)


def _superheat(case: Case, measured: Measured) -> Sign | None:
    used = ("suction_psig", "suction_line_f")
    if measured.superheat_f is None or case.equipment.metering is None:
        return None
    if case.equipment.metering != "fixed":
        low, high, _ = valve_superheat_range(case)
        return _sign("superheat", measured.superheat_f, low, high, "°F", used)
    target = measured.target_superheat_f
    if not isinstance(target, float) or target < case.rules.least_target_superheat_f.value:
        return None
    reach = case.equipment.superheat_tolerance_f or case.rules.superheat_tolerance_f.value
    return _sign("superheat", measured.superheat_f, target - reach, target + reach, "°F", used)


def _subcooling(case: Case, measured: Measured) -> Sign | None:
    used, target = ("liquid_psig", "liquid_line_f"), case.equipment.target_subcooling_f
    if measured.subcooling_f is None:
        return None
    if target is None:
        usual, reach = case.rules.usual_subcooling_f, case.rules.usual_subcooling_tolerance_f
        low, high = usual.value - reach.value, usual.value + reach.value
        return _sign("subcooling", measured.subcooling_f, low, high, "°F", used, firm=False)
    own = case.equipment.subcooling_tolerance_f or case.rules.subcooling_tolerance_f.value
    return _sign("subcooling", measured.subcooling_f, target - own, target + own, "°F", used)


def _split(case: Case, measured: Measured) -> Sign | None:
    if measured.split_f is None or measured.target_split_f is None:
        return None
    reach, target = case.rules.split_tolerance_f.value, measured.target_split_f
    used = ("return_db_f", "supply_db_f")
    return _sign("split", measured.split_f, target - reach, target + reach, "°F", used)


def _suction(case: Case, measured: Measured, earlier: Sequence[EarlierVisit]) -> Sign | None:
    psig = case.number("suction_psig")
    if psig is None:
        return None
    normal = normal_pressures(
        case.equipment.maker_pressures, case.number("outdoor_db_f"), measured.return_wb_f
    )
    if normal is not None:
        reach = case.rules.suction_tolerance_psi.value
        target = normal.suction_psig
        return _sign("suction", psig, target - reach, target + reach, "psig", ("suction_psig",))
    return _suction_by_own_past(case, measured, earlier)


def _suction_by_own_past(
    case: Case, measured: Measured, earlier: Sequence[EarlierVisit]
) -> Sign | None:
    """Return air less evaporator, against the same unit's mean in comparable weather."""
    now_f = measured.evaporator_under_return_f
    if now_f is None:
        return None
    past = [earlier_case(case, visit.readings) for visit in earlier]
    usual = [
        before_f
        for then in past
        if case.is_comparable(then)
        if (before_f := measure(then.equipment, then.readings).evaporator_under_return_f)
        is not None
    ]
    if not usual:
        return None
    mean_f, reach_f = fmean(usual), case.rules.evaporator_tolerance_f.value
    low = side_of(now_f, mean_f - reach_f, mean_f + reach_f)
    directions: dict[str, Direction] = {"below": "+", "within": "0", "above": "-"}
    words = (
        f"suction {_WORDS[directions[low]]} (evaporator {amount(now_f, '°F', 1)} under the return "
        f"air; on earlier visits {amount(mean_f, '°F', 1)})"
    )
    return Sign(directions[low], words, ("suction_psig", "return_db_f"))


def _condenser(case: Case, measured: Measured) -> Sign | None:
    """By the maker's chart in psi, else by condenser over outdoor air."""
    if (by_chart := _liquid_by_chart(case, measured)) is not None:
        return by_chart
    if measured.condenser_over_outdoor_f is None:
        return None
    usual, reach = case.rules.condenser_over_outdoor_f, case.rules.condenser_tolerance_f
    low, high = usual.value - reach.value, usual.value + reach.value
    used = ("liquid_psig", "outdoor_db_f")
    return _sign("condenser over outdoor", measured.condenser_over_outdoor_f, low, high, "°F", used)


def _liquid_by_chart(case: Case, measured: Measured) -> Sign | None:
    psig = case.number("liquid_psig")
    normal = normal_pressures(
        case.equipment.maker_pressures, case.number("outdoor_db_f"), measured.return_wb_f
    )
    if psig is None or normal is None:
        return None
    reach, target = case.rules.liquid_tolerance_psi.value, normal.liquid_psig
    return _sign("liquid pressure", psig, target - reach, target + reach, "psig", ("liquid_psig",))


def _amps(case: Case) -> Sign | None:
    value, rated = case.number("compressor_a"), case.equipment.compressor_rla_a
    if value is None or not rated:
        return None
    low = case.rules.low_amps_percent.value
    return _sign("compressor", 100.0 * value / rated, low, 100.0, "% RLA", ("compressor_a",))
