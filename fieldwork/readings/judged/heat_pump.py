"""A heat pump's heating mode. Its charge is never judged in heating, only by the maker's chart."""

from __future__ import annotations

from collections.abc import Iterator

from fieldwork.readings.case import Case
from fieldwork.readings.electricity import heater_kw
from fieldwork.readings.subject import Subject
from fieldwork.readings.verdicts import Outcome, Verdict

HEATING_CHARGE = Subject("heating_charge", "C", "Charge in heating mode")
AUX_HEAT = Subject(
    "aux_heat", "E", "Auxiliary heat of its rating", "%", 0,
    below="Less than rated: an element, a fuse link or a sequencer is out.",
    above="More than rated: compare elements and plate.",
    plain_within="The auxiliary heat gives what it should.",
    plain_below="The auxiliary heat gives less than it should.",
    plain_above="The auxiliary heat draws more than it should.",
)  # fmt: skip
WARMING = Subject(
    "heating_rise", "B", "Supply over return, heating", "°F", 0,
    below="It does not warm the air: reversing valve, charge, compressor.",
    plain_within="The heat pump warms the air.",
    plain_below="The heat pump did not warm the air.",
)  # fmt: skip


def heat_pump(case: Case) -> Iterator[Verdict]:
    """All verdicts of the heating mode but what is tried with yes or no."""
    yield _warming(case)
    yield HEATING_CHARGE.cannot(
        "In heating mode the charge is only compared with the maker's own heating chart, or "
        "weighed in.",
        applies=False,
        source="Kelvinator JT4BE: ± 2 °F, ± 2 % by its own chart",
    )
    if case.equipment.aux_heat_kw:
        yield _aux_heat(case, case.equipment.aux_heat_kw)


def _warming(case: Case) -> Verdict:
    """Only that it warms at all: how much is a matter of the maker's table."""
    used = ("heating_return_f", "heating_supply_f")
    back, supply = case.number(used[0]), case.number(used[1])
    if back is None or supply is None:
        return WARMING.cannot("Return and supply are needed.", missing=case.lacking(*used))
    least = case.rules.least_heating_rise_f
    return WARMING.compared(
        supply - back, least.value, None, least.source, used=used,
        error=case.rules.thermometer_f.value * 2.0**0.5,
    )  # fmt: skip


def _aux_heat(case: Case, rated_kw: float) -> Verdict:
    """All stages together. Power grows with the square of the voltage; so does what is expected."""
    both = case.number("aux_heat_stage_2_a")
    current = case.number("aux_heat_stage_1_a") if both is None else both
    volts, rated_v = case.number("line_v_running"), case.rules.aux_heat_rated_v.value
    if current is None or volts is None:
        wanted = ("aux_heat_stage_1_a",) * (current is None)
        return AUX_HEAT.cannot(
            "Amps and volts are needed.", missing=(*wanted, *case.lacking("line_v_running"))
        )
    expected_kw = rated_kw * (volts / rated_v) ** 2
    tolerance = case.rules.aux_heat_tolerance_percent
    return AUX_HEAT.compared(
        100.0 * heater_kw(current, volts) / expected_kw, 100.0 - tolerance.value,
        100.0 + tolerance.value, tolerance.source, used=("aux_heat_stage_2_a", "line_v_running"),
        below=Outcome.WATCH, above=Outcome.WATCH,
    )  # fmt: skip
