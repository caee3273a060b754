"""Groups C and D: the charge, by the method of the metering device, and the device itself.

Fixed orifice: superheat against the chart. TXV or EXV: subcooling against the maker's target, and
the device by its superheat. Packaged units only by their maker's own figures. An inverter's gauges
tell nothing. None of it before the gate is open and the air enough (CEC RA3.2.2).
"""

from __future__ import annotations

from collections.abc import Iterator

from fieldwork.readings.case import Case
from fieldwork.readings.fields import GAUGES
from fieldwork.readings.judged.conditions import NEEDED
from fieldwork.readings.judged.pressures import PLAIN_OUT, PLAIN_WITHIN, maker_pressures
from fieldwork.readings.measured import Measured, instrument_error_f
from fieldwork.readings.subject import HAIR, Subject
from fieldwork.readings.superheat_chart import NotTestable, rule_of_thumb_f
from fieldwork.readings.verdicts import Gate, Verdict

SUPERHEAT_NEEDS = ("suction_psig", "suction_line_f")
CHARGE = Subject("charge", "C", "Refrigerant charge")
SUPERHEAT = Subject(
    "superheat", "C", "Superheat", "°F", 1,
    below="More refrigerant than the chart asks for, if the air is right: recover, never vent.",
    above="Less refrigerant than the chart asks for: find the leak before adding any.",
    plain_within=PLAIN_WITHIN, plain_below=PLAIN_OUT, plain_above=PLAIN_OUT,
)  # fmt: skip
SUBCOOLING = Subject(
    "subcooling", "C", "Subcooling", "°F", 1,
    below="Less refrigerant than the maker asks for: find the leak before adding any.",
    above="More refrigerant than the maker asks for, or air in it: recover, never vent.",
    plain_within=PLAIN_WITHIN, plain_below=PLAIN_OUT, plain_above=PLAIN_OUT,
)  # fmt: skip
DEVICE = Subject(
    "metering", "D", "Superheat behind the valve", "°F", 1,
    below="The valve lets too much through: bulb loose or not insulated, valve stuck open.",
    above="The valve lets too little through: starved, restricted, or low on charge.",
    plain_within="The valve that meters the refrigerant works.",
    plain_below="The valve that meters the refrigerant needs a closer look.",
    plain_above="The valve that meters the refrigerant needs a closer look.",
)  # fmt: skip


def charge(
    case: Case, measured: Measured, gate: Gate, enough_air: bool | None
) -> Iterator[Verdict]:
    """Groups C and D of a cooling check."""
    equipment, subject = case.equipment, _subject(case)
    if equipment.inverter:
        yield CHARGE.cannot(
            "A variable speed compressor: gauges tell nothing, charge only by weight.",
            applies=False,
        )
    elif reason := _not_now(case, gate, enough_air):
        yield subject.cannot(reason, missing=_still_to_read(case, gate, enough_air))
    elif equipment.packaged and not _maker_tells(case):
        yield subject.cannot(
            "A packaged unit is charged at the factory and judged by its maker's own table, "
            "which is not on file.",
            applies=False,
            source="CEC RA3-9: split systems only",
        )
    else:
        yield from _by_method(case, measured, gate)


def _subject(case: Case) -> Subject:
    metering = case.equipment.metering
    return CHARGE if metering is None else SUPERHEAT if metering == "fixed" else SUBCOOLING


def _not_now(case: Case, gate: Gate, enough_air: bool | None) -> str:
    """Why no charge is judged on this visit; empty when it may be."""
    if case.lacking(*NEEDED):
        return "Not judged yet: the conditions of the test come first."
    if not gate.is_open:
        return "Not judged: the conditions of the test are not met. The cooling test stays owed."
    if enough_air is None:
        return "Airflow first: without it the gauges tell nothing about the charge."
    if not enough_air:
        return "Too little air: put that right first, then judge the charge."
    return ""


def _still_to_read(case: Case, gate: Gate, enough_air: bool | None) -> tuple[str, ...]:
    """Gauges and lines, when it is only for lack of readings; not on a day that forbids them."""
    forbidden = not case.lacking(*NEEDED) and not gate.is_open
    if forbidden or enough_air is False:
        return ()
    return case.lacking(*(GAUGES if case.equipment.metering != "fixed" else SUPERHEAT_NEEDS))


def _maker_tells(case: Case) -> bool:
    equipment = case.equipment
    by_subcooling = equipment.metering in ("txv", "exv")
    return bool(equipment.maker_pressures) or (
        by_subcooling and equipment.target_subcooling_f is not None
    )


def _by_method(case: Case, measured: Measured, gate: Gate) -> Iterator[Verdict]:
    equipment = case.equipment
    if equipment.maker_pressures:
        yield from maker_pressures(case, measured, gate)
    if equipment.metering is None and not equipment.maker_pressures:
        yield CHARGE.cannot(
            "Fixed orifice or valve? Each is judged differently.", not_on_file=("metering",)
        )
    elif equipment.metering == "fixed" and not equipment.packaged:
        yield _superheat(case, measured)
    elif equipment.metering in ("txv", "exv"):
        if not equipment.packaged or equipment.target_subcooling_f is not None:
            yield _subcooling(case, measured)
        yield _device(case, measured)


def _superheat(case: Case, measured: Measured) -> Verdict:
    used = ("suction_psig", "suction_line_f", "outdoor_db_f", "return_wb_f")
    if (without := _cannot(case, SUPERHEAT, measured.superheat_f, used[:2])) is not None:
        return without
    assert measured.superheat_f is not None
    target = measured.target_superheat_f
    if target is None:
        return SUPERHEAT.cannot("The wet bulb indoors is needed.", missing=("return_wb_f",))
    least = case.rules.least_target_superheat_f
    if isinstance(target, NotTestable) or target < least.value - HAIR:
        return SUPERHEAT.cannot(_not_testable(case, measured), source=least.source, used=used)
    tolerance = case.rules.superheat_tolerance_f
    own = case.equipment.superheat_tolerance_f
    reach = tolerance.value if own is None else own
    source = "Lennox 14ACX p. 26, read between its cells; tolerance: " + (
        tolerance.source if own is None else "the maker"
    )
    return SUPERHEAT.compared(
        measured.superheat_f, target - reach, target + reach, source, used=used, target=target,
        error=_suction_error(case),
    )  # fmt: skip


def _not_testable(case: Case, measured: Measured) -> str:
    if measured.target_superheat_f is NotTestable.OFF_THE_CHART:
        return "Outdoor air or wet bulb lies outside the superheat chart: no valid test today."
    rule = rule_of_thumb_f(case.number("outdoor_db_f") or 0.0, measured.return_wb_f or 0.0)
    return (
        "Too hot outdoors or too dry indoors: the target superheat is under "
        f"{case.rules.least_target_superheat_f.value:g} °F, and no test is valid. (The rule of "
        f"thumb would say {rule:.1f} °F; the chart forbids it.)"
    )


def _subcooling(case: Case, measured: Measured) -> Verdict:
    used = ("liquid_psig", "liquid_line_f")
    target = case.equipment.target_subcooling_f
    if (without := _cannot(case, SUBCOOLING, measured.subcooling_f, used)) is not None:
        return without
    if target is None:
        return SUBCOOLING.cannot(
            "The maker's target subcooling is on the plate, not on file.",
            not_on_file=("target_subcooling_f",),
        )
    assert measured.subcooling_f is not None
    tolerance, own = case.rules.subcooling_tolerance_f, case.equipment.subcooling_tolerance_f
    reach = tolerance.value if own is None else own
    source = f"target: the maker; tolerance: {tolerance.source if own is None else 'the maker'}"
    error = instrument_error_f(
        case.equipment, "bubble", case.number("liquid_psig"), case.number("liquid_line_f"),
        case.rules.gauge_liquid_psi.value, case.rules.thermometer_f.value,
    )  # fmt: skip
    return SUBCOOLING.compared(
        measured.subcooling_f, target - reach, target + reach, source, used=used, target=target,
        error=error,
    )  # fmt: skip


def _device(case: Case, measured: Measured) -> Verdict:
    used = ("suction_psig", "suction_line_f")
    if (without := _cannot(case, DEVICE, measured.superheat_f, used)) is not None:
        return without
    assert measured.superheat_f is not None
    low, high, source = valve_superheat_range(case)
    return DEVICE.compared(
        measured.superheat_f, low, high, source, used=used, error=_suction_error(case)
    )


def valve_superheat_range(case: Case) -> tuple[float, float, str]:
    """What a valve may let through: the maker's range, else the CEC's, and where it is from."""
    low, high = case.equipment.least_superheat_f, case.equipment.most_superheat_f
    if low is not None and high is not None:
        return low, high, "the maker"
    least, most = case.rules.least_valve_superheat_f, case.rules.most_valve_superheat_f
    return least.value, most.value, least.source


def _cannot(
    case: Case, subject: Subject, value: float | None, names: tuple[str, ...]
) -> Verdict | None:
    """The verdict when the value could not be computed; None when it could."""
    if value is not None:
        return None
    if lacking := case.lacking(*names):
        return subject.cannot("Gauges and line temperatures are needed.", missing=lacking)
    if case.equipment.refrigerant is None:
        return subject.cannot("The refrigerant is not on file.", not_on_file=("refrigerant",))
    return subject.cannot("The pressure lies outside the table of the refrigerant.", used=names)


def _suction_error(case: Case) -> float:
    return instrument_error_f(
        case.equipment, "dew", case.number("suction_psig"), case.number("suction_line_f"),
        case.rules.gauge_suction_psi.value, case.rules.thermometer_f.value,
    )  # fmt: skip
