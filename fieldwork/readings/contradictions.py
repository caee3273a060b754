"""Readings that cannot all be true. Whoever judges leaves them out; nothing is ever deleted."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from fieldwork.readings.air import humidity_ratio
from fieldwork.readings.contradiction import Contradiction
from fieldwork.readings.equipment import Equipment
from fieldwork.readings.fields.field import Value
from fieldwork.readings.physics import impossible_physics
from fieldwork.readings.saturation import atmosphere_psia

_WET_AND_DRY = (
    ("return_wb_f", "return_db_f", "return"),
    ("supply_wb_f", "supply_db_f", "supply"),
)
_HIGH_AND_LOW = (
    ("liquid_psig", "suction_psig"),
    ("heating_discharge_psig", "heating_suction_psig"),
)
_FUELS = {"natural_gas": "natural gas", "propane": "propane"}


def contradictions(
    equipment: Equipment, readings: Mapping[str, Value]
) -> tuple[Contradiction, ...]:
    """What cannot be true together, such as a wet bulb above its dry bulb."""
    found = [*_wet_bulbs(equipment, readings), *_pressures(readings)]
    found += [*_plate(equipment, readings), *_gas(equipment, readings)]
    found += [*impossible_physics(equipment, readings)]
    return tuple(found)


def _wet_bulbs(equipment: Equipment, readings: Mapping[str, Value]) -> Iterator[Contradiction]:
    psia = atmosphere_psia(equipment.sea_level_or_elevation_ft)
    for wet_name, dry_name, where in _WET_AND_DRY:
        wet, dry = readings.get(wet_name), readings.get(dry_name)
        if wet is None or dry is None:
            continue
        if float(wet) > float(dry):
            yield Contradiction(
                (wet_name, dry_name),
                f"A wet bulb of {wet:g} °F in the {where} air cannot be above its dry bulb of "
                f"{dry:g} °F: read both again.",
            )
        elif humidity_ratio(float(dry), float(wet), psia) <= 0.0:
            yield Contradiction(
                (wet_name, dry_name),
                f"A wet bulb of {wet:g} °F at {dry:g} °F in the {where} air would be drier than "
                "dry air: wet the wick and read both again.",
            )


def _pressures(readings: Mapping[str, Value]) -> Iterator[Contradiction]:
    for high_name, low_name in _HIGH_AND_LOW:
        high, low = readings.get(high_name), readings.get(low_name)
        if high is None or low is None or float(high) > float(low):
            continue
        if float(high) == float(low):
            words = f"Both gauges read {low:g} psig: the compressor is not running."
        else:
            words = (
                f"The high side ({high:g} psig) cannot be below the low side ({low:g} psig): "
                "the hoses may be exchanged."
            )
        yield Contradiction((high_name, low_name), words, refuses=float(high) != float(low))


def _plate(equipment: Equipment, readings: Mapping[str, Value]) -> Iterator[Contradiction]:
    plate, on_file = readings.get("refrigerant_on_plate"), equipment.refrigerant
    if plate is not None and on_file is not None and plate != on_file:
        yield Contradiction(
            ("refrigerant_on_plate", "suction_psig", "liquid_psig"),
            f"The plate says {plate}, on file is {on_file}: settle which before the gauges "
            "are read, and never mix them.",
            refuses=False,
        )


def _gas(equipment: Equipment, readings: Mapping[str, Value]) -> Iterator[Contradiction]:
    burnt, on_file = readings.get("gas_type"), equipment.fuel
    if burnt is not None and on_file is not None and burnt != on_file:
        yield Contradiction(
            ("gas_type", "gas_manifold_in_wc", "gas_inlet_in_wc"),
            f"The gas here is {_FUELS[str(burnt)]}, on file is {_FUELS[on_file]}: settle which "
            "before it runs on; the orifices must be those of the gas.",
            refuses=False,
        )
