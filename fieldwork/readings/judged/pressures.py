"""Both pressures against the maker's own chart, where one is on file."""

from __future__ import annotations

from collections.abc import Iterator

from fieldwork.readings.case import Case
from fieldwork.readings.maker_chart import normal_pressures
from fieldwork.readings.measured import Measured
from fieldwork.readings.subject import Subject
from fieldwork.readings.verdicts import Gate, Outcome, Verdict

PLAIN_WITHIN = "The amount of refrigerant is right."
PLAIN_OUT = "The amount of refrigerant does not look right; the cause has to be found first."
SUCTION = Subject(
    "suction_pressure", "C", "Suction pressure", "psig", 0,
    below="Below the maker's chart: air, charge, restriction.",
    above="Above the maker's chart: load, charge, valves.",
    plain_within=PLAIN_WITHIN, plain_below=PLAIN_OUT, plain_above=PLAIN_OUT,
)  # fmt: skip
LIQUID = Subject(
    "liquid_pressure", "C", "Liquid pressure", "psig", 0,
    below="Below the maker's chart: charge, valves, a cold outdoor unit.",
    above="Above the maker's chart: dirty outdoor coil, its fan, charge, air in it.",
    plain_within=PLAIN_WITHIN, plain_below=PLAIN_OUT, plain_above=PLAIN_OUT,
)  # fmt: skip


def maker_pressures(case: Case, measured: Measured, gate: Gate) -> Iterator[Verdict]:
    normal = normal_pressures(
        case.equipment.maker_pressures, case.number("outdoor_db_f"), measured.return_wb_f
    )
    rules = case.rules
    for subject, name, tolerance in (
        (SUCTION, "suction_psig", rules.suction_tolerance_psi),
        (LIQUID, "liquid_psig", rules.liquid_tolerance_psi),
    ):
        value = case.number(name)
        if value is None:
            yield subject.cannot("The gauge was not read.", missing=(name,))
        elif normal is None:
            yield subject.cannot("Outside the maker's chart of normal pressures.", used=(name,))
        else:
            target = normal.suction_psig if subject is SUCTION else normal.liquid_psig
            yield subject.compared(
                value, target - tolerance.value, target + tolerance.value,
                f"the maker's chart; tolerance {tolerance.source}", used=(name, "outdoor_db_f"),
                target=target, below=Outcome.WATCH, above=Outcome.WATCH,
                provisional=gate.provisional,
            )  # fmt: skip
