"""Likely causes to check, by eight rules over the signs; never "the cause".

The signs of five faults are those of Rossi & Braun (1997) as printed in the Purdue study "FDD for
Rooftop Air Conditioners", Table 1-1; a second, trade table agrees but for the subcooling of low
indoor airflow and of weak valves, which therefore never votes there. A TXV hides faults by
adjusting (NIST SP 1087): with one, the charge is not read from the superheat alone.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from fieldwork.readings.case import Case
from fieldwork.readings.signs import Sign
from fieldwork.readings.verdicts import Cause

Confidence = Literal["high", "medium", "low"]
_LOWER: dict[Confidence, Confidence] = {"high": "medium", "medium": "low", "low": "low"}
_ORDER = ("high", "medium", "low")


@dataclass(frozen=True)
class Rule:
    """One row of the rule table.

    `needs`: each sign with the directions that fit. `may_lack` names those that may be unknown,
    which lowers the confidence; `supports` are only told. `device`: None is any metering device.
    """

    number: int
    title: str
    needs: Mapping[str, str]
    to_check: tuple[str, ...]
    confidence: Confidence
    may_lack: tuple[str, ...] = ()
    supports: Mapping[str, str] | None = None
    device: Literal["fixed", "valve"] | None = None


RULES: tuple[Rule, ...] = (
    Rule(
        1, "Low indoor airflow", {"split": "+", "superheat": "-", "suction": "-"},
        ("filter", "indoor coil", "blower and its speed", "closed registers",
         "static pressure of the ducts"),
        "high", may_lack=("suction",),
    ),
    Rule(
        2, "Too little refrigerant", {"superheat": "+", "subcooling": "-"},
        ("leaks first: fittings, coils, service valves", "only then weigh in what lacks"),
        "high", supports={"split": "-", "suction": "-"}, device="fixed",
    ),
    Rule(
        2, "Too little refrigerant", {"subcooling": "-", "superheat": "0+"},
        ("leaks first: fittings, coils, service valves", "only then weigh in what lacks"),
        "medium", supports={"split": "-", "suction": "-"}, device="valve",
    ),
    Rule(
        3, "Restriction in the liquid line or the device",
        {"superheat": "+", "subcooling": "0+", "suction": "-"},
        ("filter drier: measure the temperature drop across it", "metering device and its screen",
         "kinked line"),
        "medium", may_lack=("suction",),
    ),
    Rule(
        4, "Dirty condenser or too little outdoor air", {"condenser": "+", "subcooling": "-0"},
        ("outdoor coil, both sides", "outdoor fan, its blade and capacitor",
         "warm air drawn in again, plants too near"),
        "medium",
    ),
    Rule(
        5, "Too much refrigerant, or air in it", {"subcooling": "+", "condenser": "+",
                                                  "superheat": "-"},
        ("charge by weight: recover, never vent", "air or another gas in the system",),
        "medium", device="fixed",
    ),
    Rule(
        5, "Too much refrigerant, or air in it", {"subcooling": "+", "condenser": "+",
                                                  "superheat": "0"},
        ("charge by weight: recover, never vent", "air or another gas in the system",),
        "medium", device="valve",
    ),
    Rule(
        6, "Weak compressor valves, or a leaking reversing valve",
        {"suction": "+", "condenser": "-", "amps": "-", "split": "-"},
        ("refer: compare both sides of the reversing valve", "pump-down test of the compressor"),
        "low",
    ),
    Rule(
        7, "Valve lets too much through", {"superheat": "-", "subcooling": "0", "suction": "+"},
        ("sensing bulb: tight, insulated, in its place", "valve stuck open"),
        "medium", may_lack=("suction",), device="valve",
    ),
    Rule(
        8, "High airflow, low capacity or leaking ducts",
        {"split": "-", "superheat": "0", "subcooling": "0"},
        ("measure return and supply once more", "blower speed", "leaks of the return duct"),
        "low",
    ),
)  # fmt: skip


def causes(case: Case, signs: Mapping[str, Sign]) -> tuple[Cause, ...]:
    """Every rule whose signs are all there, surest first. Ties are all shown.

    Only to be asked when the gate is open and the unit is no inverter (rule 0).
    """
    found = [_cause(rule, case, signs) for rule in RULES if _holds(rule, case, signs)]
    return tuple(sorted(found, key=lambda cause: _ORDER.index(cause.confidence)))


def _holds(rule: Rule, case: Case, signs: Mapping[str, Sign]) -> bool:
    device = "fixed" if case.equipment.metering == "fixed" else "valve"
    if rule.device is not None and (case.equipment.metering is None or rule.device != device):
        return False
    return all(
        signs[name].direction in directions if name in signs else name in rule.may_lack
        for name, directions in rule.needs.items()
    )


def _cause(rule: Rule, case: Case, signs: Mapping[str, Sign]) -> Cause:
    supports = rule.supports or {}
    voted = [
        sign
        for name, directions in (*rule.needs.items(), *supports.items())
        if (sign := signs.get(name)) is not None and sign.direction in directions
    ]
    unsure = any(name not in signs or not signs[name].firm for name in rule.needs)
    confidence = _LOWER[rule.confidence] if unsure else rule.confidence
    if rule.number == 4 and case.word("outdoor_coil") in ("attention", "fail"):
        confidence = "high"  # seen as well as measured
    return Cause(
        rule.number,
        rule.title,
        rule.to_check,
        confidence,
        tuple(sign.words for sign in voted),
        tuple(dict.fromkeys(name for sign in voted for name in sign.used)),
    )
