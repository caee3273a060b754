"""The judgement of a visit: gate, airflow, charge, metering device, electrical, condition.

In this order, because each means something only after the one before (CEC RA3.2.2). Takes about a
millisecond.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date

from fieldwork.readings.case import Case, case_of
from fieldwork.readings.diagnosis import causes
from fieldwork.readings.equipment import Equipment
from fieldwork.readings.fields import FIELDS, check_lists
from fieldwork.readings.fields.field import CheckList
from fieldwork.readings.judged.air import airflow, is_enough, pressures
from fieldwork.readings.judged.charge import charge
from fieldwork.readings.judged.condition import condition
from fieldwork.readings.judged.conditions import conditions, gate_of
from fieldwork.readings.judged.electrical import electrical, indoors
from fieldwork.readings.judged.emergencies import emergencies
from fieldwork.readings.judged.furnace import furnace
from fieldwork.readings.judged.heat_pump import heat_pump
from fieldwork.readings.judged.safety import safety
from fieldwork.readings.limits import DEFAULT_LIMITS, Limits
from fieldwork.readings.measured import Measured, measure
from fieldwork.readings.signs import signs_of
from fieldwork.readings.trends import trends
from fieldwork.readings.verdicts import (
    Cause,
    EarlierVisit,
    Gate,
    Group,
    Judgement,
    Readings,
    Test,
    Verdict,
)

NO_COOLING = Gate(False, False, ("No cooling check on this visit.",))
TESTED: tuple[Group, ...] = ("B", "C", "D")


def judge(
    equipment: Equipment,
    readings: Readings,
    earlier: Sequence[EarlierVisit] = (),
    rules: Limits = DEFAULT_LIMITS,
    *,
    lists: tuple[CheckList, ...] | None = None,
    today: date | None = None,
    replaced: frozenset[str] = frozenset(),
) -> Judgement:
    """Judge the readings of one visit to one equipment.

    `readings` hold what was given, by the names of `FIELDS`: numbers as float in the field's unit,
    choices and looks as the stored word, yes and no as bool. `earlier` are visits to the same
    equipment, in any order. `lists` are the check lists gone through; None takes those of which
    something was read. `today` dates this visit for the trends; None leaves them out. `replaced`
    names the readings whose part was exchanged on this visit: of them no trend warns.

    Raises ValueError for a name that is no field. Never raises for a reading, however impossible:
    what contradicts another or lies beyond its hard range is left out and reported.
    """
    case = case_of(equipment, readings, rules, _lists(equipment, readings, lists))
    measured = measure(equipment, case.readings)
    gate = gate_of(case) if "cooling" in case.lists else NO_COOLING
    verdicts = tuple(_verdicts(case, measured, gate))
    return Judgement(
        verdicts,
        gate,
        _test(gate, verdicts),
        rules.version,
        emergencies=tuple(emergencies(case)),
        causes=_causes(case, measured, gate, earlier),
        contradictions=case.contradictions,
        trends=() if today is None else trends(case, earlier, today, replaced),
        missing=_missing(case, verdicts),
        not_on_file=_once(name for verdict in verdicts for name in verdict.not_on_file),
    )


def _lists(
    equipment: Equipment, readings: Readings, lists: tuple[CheckList, ...] | None
) -> tuple[CheckList, ...]:
    if lists is not None:
        return lists
    possible = check_lists(equipment, "both")
    told = [set(FIELDS[name].checks) & set(possible) for name in readings if name in FIELDS]
    return tuple(name for name in possible if {name} in told) or possible


def _verdicts(case: Case, measured: Measured, gate: Gate) -> Iterator[Verdict]:
    yield from safety(case)
    if "cooling" in case.lists:
        yield conditions(case, gate)
        air = list(airflow(case, measured, gate))
        yield from air
        yield from charge(case, measured, gate, is_enough(air))
        yield from electrical(case)
    elif case.lists:
        yield from pressures(case)
        yield from indoors(case)
    if "furnace" in case.lists:
        yield from furnace(case)
    if "heat_pump" in case.lists:
        yield from heat_pump(case)
    yield from condition(case)


def _test(gate: Gate, verdicts: Sequence[Verdict]) -> Test:
    """Satisfied when the gate is open and airflow, charge and device each have a verdict.

    A group of which nothing applies to this equipment, such as an inverter's charge, is no debt.
    """
    if not gate.is_open:
        return "owed"
    for group in TESTED:
        applying = [verdict for verdict in verdicts if verdict.group == group and verdict.applies]
        if applying and not any(verdict.judged for verdict in applying):
            return "owed"
    return "provisional" if gate.provisional else "warm"


def _causes(
    case: Case, measured: Measured, gate: Gate, earlier: Sequence[EarlierVisit]
) -> tuple[Cause, ...]:
    """Rule 0: none without valid conditions, and none from an inverter's gauges."""
    if not gate.is_open or case.equipment.inverter:
        return ()
    return causes(case, signs_of(case, measured, earlier))


def _missing(case: Case, verdicts: Sequence[Verdict]) -> tuple[str, ...]:
    """What no verdict can do without; a reading that was given but cannot be true is not named."""
    quarrelling = {name for found in case.contradictions for name in found.fields}
    wanted = _once(name for verdict in verdicts for name in verdict.missing)
    return tuple(name for name in wanted if name not in quarrelling)


def _once(names: Iterator[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(names))
