"""The gate of a cooling test: is it warm enough, has it run long enough, is the house warm?"""

from __future__ import annotations

from collections.abc import Iterator

from fieldwork.readings.case import Case
from fieldwork.readings.subject import HAIR, Subject
from fieldwork.readings.verdicts import Gate, Outcome, Verdict
from fieldwork.readings.words import amount

NEEDED = ("outdoor_db_f", "minutes_running", "return_db_f")
CONDITIONS = Subject("conditions", "A", "Conditions of the test")
_PLAIN_COOL = "It was warm enough to test, though cooler than we like."
_PLAIN_SHUT = "The weather or the house did not allow a full cooling test on this visit."


def gate_of(case: Case) -> Gate:
    """Shut when a reading is lacking or out of bounds; provisional below the preferred test."""
    if case.lacking(*NEEDED):
        return Gate(False, False, ("The outdoor air, the return air and the minutes come first.",))
    if reasons := tuple(_shut(case)):
        return Gate(False, False, reasons)
    outdoor_f, preferred_f = case.number("outdoor_db_f") or 0.0, preferred_test_f(case)
    if outdoor_f < preferred_f - HAIR:
        cold = (
            f"{amount(outdoor_f, '°F', 1)} outdoors: warm enough to judge the charge; capacity and "
            f"pressures are provisional below {amount(preferred_f, '°F')}."
        )
        return Gate(True, True, (cold,))
    return Gate(True, False)


def least_test_f(case: Case) -> float:
    own = case.equipment.least_test_f
    return case.rules.least_test_f.value if own is None else own


def preferred_test_f(case: Case) -> float:
    own = case.equipment.preferred_test_f
    return case.rules.preferred_test_f.value if own is None else own


def conditions(case: Case, gate: Gate) -> Verdict:
    """Group A: one verdict on the conditions together."""
    rules, lacking = case.rules, case.lacking(*NEEDED)
    source = f"{rules.least_test_f.source}; indoors {rules.least_indoor_f.source}"
    if not gate.is_open:
        return CONDITIONS.cannot(
            " ".join(gate.reasons), missing=lacking, source=source, used=NEEDED, plain=_PLAIN_SHUT
        )
    plain = _PLAIN_COOL if gate.provisional else "It was warm enough for a full test."
    return Verdict(
        "conditions", "A", CONDITIONS.title, Outcome.WITHIN,
        " ".join(gate.reasons) or "Warm enough, run long enough, and the house in its range.",
        plain, case.number("outdoor_db_f"), "°F", low=least_test_f(case), limit_source=source,
        provisional=gate.provisional, used=NEEDED,
    )  # fmt: skip


def _shut(case: Case) -> Iterator[str]:
    """Why the charge may not be judged today; nothing when it may."""
    rules = case.rules
    outdoor_f, minutes = case.number("outdoor_db_f") or 0.0, case.number("minutes_running") or 0.0
    indoor_f, least_f = case.number("return_db_f") or 0.0, least_test_f(case)
    if outdoor_f < least_f - HAIR:
        yield (
            f"{amount(outdoor_f, '°F', 1)} outdoors is below the test temperature of "
            f"{amount(least_f, '°F')}: look and measure the electrical side only; the cooling "
            "test stays owed."
        )
    if minutes < rules.least_running_min.value - HAIR:
        yield (
            f"Running for {amount(minutes, 'min')}: let it run "
            f"{amount(rules.least_running_min.value, 'min')} before the gauges are read."
        )
    low, high = rules.least_indoor_f.value, rules.most_indoor_f.value
    if not low - HAIR <= indoor_f <= high + HAIR:
        yield (
            f"Return air of {amount(indoor_f, '°F', 1)}: a test needs {low:g} to "
            f"{amount(high, '°F')}. Warm or cool the house first."
        )
