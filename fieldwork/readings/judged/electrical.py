"""Group E: amps, volts, contactor and capacitors of a cooling check. Needs no warm day."""

from __future__ import annotations

from collections.abc import Iterator

from fieldwork.readings.case import Case
from fieldwork.readings.electricity import (
    capacitance_uf,
    contactor_limit_v,
    imbalance_percent,
)
from fieldwork.readings.subject import HAIR, Subject
from fieldwork.readings.verdicts import Outcome, Verdict

_SAFE = "De-energise at the disconnect and verify with the meter first."


def _amps(key: str, title: str, plain: str) -> Subject:
    return Subject(
        key, "E", title, "A", 1,
        above=f"Above the nameplate: look for what makes it work so hard. {_SAFE}",
        plain_within=f"{plain} draws the current that it should.",
        plain_above=f"{plain} draws more current than it should.",
    )  # fmt: skip


# Reading, where its rating is on file, subject.
AMPS = (
    ("compressor_a", "compressor_rla_a", _amps("compressor_amps", "Compressor", "The compressor")),
    ("outdoor_fan_a", "outdoor_fan_fla_a",
     _amps("outdoor_fan_amps", "Outdoor fan", "The outdoor fan")),
    ("blower_a", "blower_fla_a", _amps("blower_amps", "Indoor blower", "The indoor blower")),
    ("inducer_a", "inducer_fla_a", _amps("inducer_amps", "Inducer", "The draft fan")),
)  # fmt: skip
VOLTS = Subject(
    "line_volts", "E", "Line voltage", "V", 0,
    below="Low voltage: measure at the panel too; loose or burnt connections, long runs.",
    above="High voltage: the utility should know.",
    plain_within="The voltage is right.",
    plain_below="The voltage at the unit is too low.",
    plain_above="The voltage at the unit is too high.",
)  # fmt: skip
IMBALANCE = Subject(
    "imbalance", "E", "Voltage imbalance", "%", 2,
    above="Stop it until the phases are even: motors overheat. Connections first, then the "
    "utility.",
    plain_within="The three phases are even.",
    plain_above="The electrical supply is uneven, which harms motors.",
)  # fmt: skip
CONTACTOR = Subject(
    "contactor_drop", "E", "Drop across the contactor", "V", 2,
    above=f"Burnt points: replace the contactor. {_SAFE}",
    plain_within="The main switch of the outdoor unit makes good contact.",
    plain_above="The main switch of the outdoor unit is worn and should be replaced.",
)  # fmt: skip
CONTROL = Subject(
    "control_volts", "E", "Control voltage", "V", 1,
    below="Relays may chatter: transformer, shorts in the thermostat wires.",
    above="The transformer's tap may be for another line voltage.",
    plain_within="The control voltage is right.",
    plain_below="The control voltage is low.",
    plain_above="The control voltage is high.",
)  # fmt: skip
BREAKER = Subject(
    "breaker", "E", "Breaker or fuse", "A", 0,
    above="Larger than the plate allows: it does not protect the unit. Must be exchanged by "
    "whoever may under the local code.",
    plain_within="The breaker has the right size.",
    plain_above="The breaker is larger than the unit's plate allows and should be exchanged.",
)  # fmt: skip


def _capacitor(side: str, plain: str) -> Subject:
    return Subject(
        f"capacitor_{side}", "E", f"Capacitor, {side} side", "µF", 1,
        below=f"Weak: replace it. {_SAFE} Discharge it before it is touched.",
        above=f"Above its label: measure again, then replace it. {_SAFE}",
        plain_within=f"The part that starts {plain} is in order.",
        plain_below=f"The part that starts {plain} is weak and should be replaced.",
        plain_above=f"The part that starts {plain} is out of its range and should be replaced.",
    )  # fmt: skip


CAPACITORS = {
    "compressor": _capacitor("compressor", "the compressor"),
    "fan": _capacitor("fan", "the outdoor fan"),
}


def electrical(case: Case) -> Iterator[Verdict]:
    """Group E of a cooling check."""
    for name in ("compressor_a", "outdoor_fan_a", "blower_a"):
        yield amps(case, name)
    yield _line_volts(case)
    if case.equipment.phases == 3:
        yield _imbalance(case)
    yield _contactor(case)
    for side in CAPACITORS:
        yield capacitor(case, side)
    if (control := control_volts(case)) is not None:
        yield control
    if (breaker := case.number("breaker_a")) is not None:
        yield _breaker(case, breaker)


def indoors(case: Case) -> Iterator[Verdict]:
    """What a heating check shares with a cooling check, where it is the only one."""
    yield amps(case, "blower_a")
    if "heat_pump" in case.lists:
        yield _line_volts(case)
    if (control := control_volts(case)) is not None:
        yield control


def amps(case: Case, name: str) -> Verdict:
    """Within the nameplate; a little above it is watched, well above it acted on."""
    _, rating, subject = next(row for row in AMPS if row[0] == name)
    value, rated = case.number(name), getattr(case.equipment, rating)
    if value is None:
        return subject.cannot("Not measured.", missing=(name,))
    if value <= 0.0:
        return subject.cannot(
            "0 A: it does not run, or the clamp is not round one wire alone. Measure again.",
            used=(name,),
        )
    if rated is None:
        return subject.cannot("Its rating is not on file.", not_on_file=(rating,), used=(name,))
    most = case.rules.act_amps_percent
    worse = Outcome.ACT if value > rated * most.value / 100.0 + HAIR else Outcome.WATCH
    return subject.compared(
        value, None, rated, f"the nameplate; {most.source}", used=(name,), above=worse
    )


def control_volts(case: Case) -> Verdict | None:
    value = case.number("control_v")
    if value is None:
        return None
    low, high = case.rules.least_control_v, case.rules.most_control_v
    return CONTROL.compared(
        value, low.value, high.value, low.source, used=("control_v",), below=Outcome.WATCH,
        above=Outcome.WATCH,
    )  # fmt: skip


def _line_volts(case: Case) -> Verdict:
    name, rated = "line_v_running", case.equipment.line_v
    value, tolerance = case.number(name), case.rules.line_tolerance_percent
    if value is None:
        return VOLTS.cannot("Not measured.", missing=(name,))
    if rated is None:
        return VOLTS.cannot("The plate's volts are not on file.", not_on_file=("line_v",))
    reach = tolerance.value / 100.0
    lower = case.equipment.line_v_lower or rated
    return VOLTS.compared(
        value, lower * (1.0 - reach), rated * (1.0 + reach), tolerance.source, used=(name,)
    )


def _imbalance(case: Case) -> Verdict:
    names = ("line_v_running", "line_v_l2_l3", "line_v_l1_l3")
    volts = [value for name in names if (value := case.number(name)) is not None]
    if len(volts) < len(names):
        return IMBALANCE.cannot("All three voltages are needed.", missing=case.lacking(*names))
    most = case.rules.most_imbalance_percent
    return IMBALANCE.compared(imbalance_percent(volts), None, most.value, most.source, used=names)


def _contactor(case: Case) -> Verdict:
    """The worse of its poles, against 3 % of the line voltage."""
    names = ("contactor_drop_l1_v", "contactor_drop_l2_v")
    drops = [value for name in names if (value := case.number(name)) is not None]
    line_v = case.number("line_v_running") or case.equipment.line_v
    if not drops:
        return CONTACTOR.cannot("Not measured.", missing=names)
    if line_v is None:
        return CONTACTOR.cannot("The line voltage is needed.", missing=("line_v_running",))
    most = case.rules.most_contactor_drop_percent
    return CONTACTOR.compared(
        max(drops), None, contactor_limit_v(line_v, most.value), most.source, used=names
    )


def capacitor(case: Case, side: str) -> Verdict:
    """Measured, or worked out from its current and voltage under load, against its label."""
    subject, name = CAPACITORS[side], f"capacitor_{side}_uf"
    under_load = (f"capacitor_{side}_a", f"capacitor_{side}_v")
    used = (name,) if name in case.readings else under_load
    rated, measured = getattr(case.equipment, name), capacitor_uf(case, side)
    if measured is None:
        return subject.cannot("Not measured.", missing=(name,) if rated is not None else ())
    if not rated:
        return subject.cannot("Its label is not on file.", not_on_file=(name,), used=used)
    tolerance = case.rules.capacitor_tolerance_percent
    own = case.equipment.capacitor_tolerance_percent
    reach = rated * (tolerance.value if own is None else own) / 100.0
    return subject.compared(
        measured, rated - reach, rated + reach, tolerance.source if own is None else "its label",
        used=used, target=rated, error=rated * case.rules.capacitor_meter_percent.value / 100.0,
    )  # fmt: skip


def capacitor_uf(case: Case, side: str) -> float | None:
    if (measured := case.number(f"capacitor_{side}_uf")) is not None:
        return measured
    current, volts = case.number(f"capacitor_{side}_a"), case.number(f"capacitor_{side}_v")
    return capacitance_uf(current, volts) if current is not None and volts else None


def _breaker(case: Case, value: float) -> Verdict:
    most = case.equipment.most_breaker_a
    if most is None:
        return BREAKER.cannot(
            "The plate's largest breaker is not on file.", not_on_file=("most_breaker_a",),
            used=("breaker_a",),
        )  # fmt: skip
    return BREAKER.compared(value, None, most, "the nameplate", used=("breaker_a",))
