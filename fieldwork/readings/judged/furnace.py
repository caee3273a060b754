"""A furnace's readings: rise, gas, flame, carbon monoxide. What endangers is in emergencies.py."""

from __future__ import annotations

from collections.abc import Iterator

from fieldwork.readings.airflow import cfm_by_rise
from fieldwork.readings.case import Case
from fieldwork.readings.combustion import BTU_PER_FT3, air_free_co_ppm, gas_input_btu_h
from fieldwork.readings.judged.electrical import amps
from fieldwork.readings.limits import Limit
from fieldwork.readings.subject import HAIR, Subject
from fieldwork.readings.verdicts import Outcome, Verdict
from fieldwork.readings.words import amount

RISE = Subject(
    "rise", "B", "Temperature rise", "°F", 0,
    below="More air than the plate wants, or too little gas. Blower door on?",
    above="Too little air for the flame: filter, blower speed, registers, coil. Blower door on?",
    plain_within="The furnace warms the air as much as its maker wants.",
    plain_below="The furnace warms the air less than its maker wants.",
    plain_above="The furnace runs hotter than its maker wants; too little air moves.",
)  # fmt: skip
INPUT = Subject(
    "gas_input", "F", "Gas burnt", "Btu/h", 0,
    below="Underfired: manifold pressure, orifices, supply.",
    above="Overfired: manifold pressure, orifices. Do not leave it so.",
    plain_within="The furnace burns the amount of gas that it is made for.",
    plain_below="The furnace burns less gas than it is made for.",
    plain_above="The furnace burns more gas than it is made for.",
)  # fmt: skip
MANIFOLD = Subject(
    "manifold", "F", "Manifold pressure", "in WC", 1,
    below="Too low: set it, with the inlet pressure right.",
    above="Too high: set it, with the inlet pressure right.",
    plain_within="The gas pressure at the burner is right.",
    plain_below="The gas pressure at the burner was not right.",
    plain_above="The gas pressure at the burner was not right.",
)  # fmt: skip
INLET = Subject(
    "gas_inlet", "F", "Gas pressure at the inlet", "in WC", 1,
    below="Too low with everything burning: piping, regulator, utility.",
    above="Too high: regulator, utility. It can harm the gas valve.",
    plain_within="The gas pressure at the furnace is right.",
    plain_below="The gas pressure at the furnace is too low.",
    plain_above="The gas pressure at the furnace is too high.",
)  # fmt: skip
FLAME = Subject(
    "flame", "F", "Flame current", "µA", 1,
    below="Weak: clean the sensor, check ground and polarity.",
    plain_within="The flame is sensed reliably.",
    plain_below="The flame is sensed weakly; the furnace may stop on its own.",
)  # fmt: skip
FLUE_CO = Subject(
    "flue_co", "F", "CO in the flue, air-free", "ppm", 0,
    above="The flame burns badly: gas pressure, air, burners, exchanger. Find it before leaving.",
    plain_within="The flame burns cleanly.",
    plain_above="The flame does not burn as cleanly as it should.",
)  # fmt: skip
AMBIENT_CO = Subject(
    "ambient_co", "F", "CO in the room", "ppm", 0,
    above="Look for its source before leaving, and tell the customer.",
    plain_within="We found no carbon monoxide of concern in the room.",
    plain_above="There was some carbon monoxide in the room; its source has to be found.",
)  # fmt: skip
_AMBIENT = ("ambient_co_before_ppm", "ambient_co_after_ppm")


def furnace(case: Case) -> Iterator[Verdict]:
    """All verdicts of a furnace check but what is seen."""
    yield _rise(case)
    if case.number("inducer_a") is not None:
        yield amps(case, "inducer_a")
    yield _input(case)
    yield _manifold(case)
    yield _inlet(case)
    yield _flame(case)
    yield _flue(case)
    yield _ambient(case)


def air_free(case: Case) -> float | None:
    """Air-free CO of a usable flue reading; as measured when the oxygen is lacking.

    None: not read, burner off, or hardly any flue gas in it.
    """
    co, oxygen = case.number("flue_co_ppm"), case.number("flue_o2_percent")
    if co is None or case.yes("burner_on_steady") is False:
        return None
    if oxygen is None:
        return co
    if oxygen > case.rules.most_usable_o2_percent.value:
        return None
    return air_free_co_ppm(co, oxygen)


def fuel_of(case: Case) -> str | None:
    return case.equipment.fuel or case.word("gas_type")


def _rise(case: Case) -> Verdict:
    used = ("heating_return_f", "heating_supply_f")
    back, supply = case.number(used[0]), case.number(used[1])
    low, high = case.equipment.least_rise_f, case.equipment.most_rise_f
    if back is None or supply is None:
        return RISE.cannot("Return and supply are needed.", missing=case.lacking(*used))
    if low is None or high is None:
        return RISE.cannot(
            f"{amount(supply - back, '°F')}{_cfm_words(case, supply - back)}; the plate's range "
            "is not on file.",
            not_on_file=("least_rise_f", "most_rise_f"), used=used,
        )  # fmt: skip
    return RISE.compared(
        supply - back, low, high, "the plate; Carrier 59SC2C p. 66: aim at the middle", used=used,
        target=(low + high) / 2.0, error=case.rules.thermometer_f.value * 2.0**0.5,
    )  # fmt: skip


def _cfm_words(case: Case, rise_f: float) -> str:
    put_in, efficiency = case.equipment.gas_input_btu_h, case.equipment.efficiency
    if put_in is None or efficiency is None or rise_f <= 0:
        return ""
    cfm = cfm_by_rise(put_in, efficiency, rise_f, case.equipment.sea_level_or_elevation_ft)
    return f", about {amount(cfm, 'cfm')}"


def _input(case: Case) -> Verdict:
    dial, seconds = case.word("meter_dial_ft3"), case.number("meter_seconds")
    fuel, rated = fuel_of(case), case.equipment.gas_input_btu_h
    used = ("meter_dial_ft3", "meter_seconds")
    if dial is None or seconds is None:
        return INPUT.cannot("The meter was not clocked.", missing=case.lacking(*used))
    heat = case.number("gas_btu_per_ft3") or (BTU_PER_FT3[fuel] if fuel else None)
    if heat is None:
        return INPUT.cannot("Natural gas or propane?", missing=("gas_type",))
    burnt = gas_input_btu_h(float(dial), seconds, heat)
    if not rated:
        return INPUT.cannot(
            f"{amount(burnt, 'Btu/h')}; the plate's input is not on file.",
            not_on_file=("gas_input_btu_h",), used=used,
        )  # fmt: skip
    above = case.rules.derated_above_ft
    if case.equipment.sea_level_or_elevation_ft > above.value:
        return INPUT.cannot(
            f"{amount(burnt, 'Btu/h')}; above {amount(above.value, 'ft')} the plate's input is "
            "derated as its maker says: compare with the maker's table.",
            source=above.source, used=used,
        )  # fmt: skip
    tolerance = case.rules.input_tolerance_percent
    reach = rated * tolerance.value / 100.0
    return INPUT.compared(
        burnt, rated - reach, rated + reach, tolerance.source, used=used, target=rated,
        below=Outcome.WATCH,
    )  # fmt: skip


def _manifold(case: Case) -> Verdict:
    rules, used = case.rules, ("gas_manifold_in_wc",)
    value, own, fuel = case.number(used[0]), case.equipment.manifold_in_wc, fuel_of(case)
    if value is None:
        return MANIFOLD.cannot("Not measured.", missing=used)
    if own is None and fuel is None:
        return MANIFOLD.cannot("Natural gas or propane?", missing=("gas_type",), used=used)
    usual = rules.manifold_propane_in_wc if fuel == "propane" else rules.manifold_natural_in_wc
    target, source = (usual.value, usual.source) if own is None else (own, "the plate")
    reach = rules.manifold_tolerance_in_wc
    return MANIFOLD.compared(
        value, target - reach.value, target + reach.value,
        f"{source}; tolerance {reach.source}", used=used, target=target,
    )  # fmt: skip


def _inlet(case: Case) -> Verdict:
    used, fuel = ("gas_inlet_in_wc",), fuel_of(case)
    value = case.number(used[0])
    if value is None:
        return INLET.cannot("Not measured.", missing=used)
    if fuel is None:
        return INLET.cannot("Natural gas or propane?", missing=("gas_type",), used=used)
    low, high = _inlet_limits(case, fuel)
    return INLET.compared(value, low.value, high.value, low.source, used=used)


def _inlet_limits(case: Case, fuel: str) -> tuple[Limit, Limit]:
    rules = case.rules
    if fuel == "propane":
        return rules.least_inlet_propane_in_wc, rules.most_inlet_propane_in_wc
    return rules.least_inlet_natural_in_wc, rules.most_inlet_natural_in_wc


def _flame(case: Case) -> Verdict:
    used, own = ("flame_ua",), case.equipment.least_flame_ua
    value = case.number("flame_ua")
    if value is None:
        return FLAME.cannot("Not measured.", missing=used)
    if own is not None:
        return FLAME.compared(value, own, None, "the maker", used=used)
    watch, act = case.rules.watch_flame_ua, case.rules.act_flame_ua
    worse = Outcome.ACT if value < act.value - HAIR else Outcome.WATCH
    return FLAME.compared(
        value, watch.value, None, f"{watch.source}; {act.source}", used=used, below=worse
    )


def _flue(case: Case) -> Verdict:
    used = ("flue_co_ppm", "flue_o2_percent", "burner_on_steady")
    if case.number("flue_co_ppm") is None:
        return FLUE_CO.cannot("Not measured.", missing=case.lacking(*used))
    if case.yes("burner_on_steady") is not True:
        return FLUE_CO.cannot(
            "Only readings with the burner on and steady count.",
            missing=case.lacking("burner_on_steady"), used=used,
        )  # fmt: skip
    if case.number("flue_o2_percent") is None:
        return FLUE_CO.cannot("The oxygen is needed.", missing=("flue_o2_percent",), used=used)
    value, watch = air_free(case), case.rules.watch_flue_co_ppm
    if value is None:
        return FLUE_CO.cannot(
            "So much oxygen is mostly air: the probe is not in the flue gas.",
            source=case.rules.most_usable_o2_percent.source, used=used,
        )  # fmt: skip
    worse = Outcome.ACT if value >= case.rules.stop_flue_co_ppm.value else Outcome.WATCH
    return FLUE_CO.compared(value, None, watch.value, watch.source, used=used, above=worse)


def _ambient(case: Case) -> Verdict:
    """The higher of the two. Below 10 ppm is within; the action levels are whole numbers."""
    values = [value for name in _AMBIENT if (value := case.number(name)) is not None]
    if not values:
        return AMBIENT_CO.cannot("Not measured.", missing=_AMBIENT)
    watch, worst = case.rules.watch_ambient_co_ppm, max(values)
    worse = Outcome.ACT if worst >= case.rules.stop_ambient_co_ppm.value else Outcome.WATCH
    return AMBIENT_CO.compared(
        worst, None, watch.value - 1.0, watch.source, used=_AMBIENT, above=worse
    )
