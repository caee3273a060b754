"""What is on file about equipment before anybody measures. None always means: not on file."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Kind = Literal["air_conditioner", "heat_pump", "furnace", "air_handler", "package"]
Refrigerant = Literal["R-22", "R-134a", "R-407C", "R-410A", "R-32", "R-454B"]
Metering = Literal["fixed", "txv", "exv"]
Fuel = Literal["natural_gas", "propane"]

COOLING_KINDS = ("air_conditioner", "heat_pump", "package")
# Mildly flammable: ventilate, no flame, tools rated for it.
A2L = ("R-32", "R-454B")


@dataclass(frozen=True)
class MakerPressures:
    """One cell of a maker's chart of normal pressures, gauge, at the elevation of the home."""

    outdoor_f: float
    return_wb_f: float
    suction_psig: float
    liquid_psig: float


@dataclass(frozen=True)
class Equipment:
    """The plate and the maker's papers, in the words of `customers.System` where it has them."""

    kind: Kind

    # Cooling
    refrigerant: Refrigerant | None = None
    metering: Metering | None = None
    tons: float | None = None
    inverter: bool | None = None
    """A variable speed compressor: its gauges tell nothing about the charge."""
    target_subcooling_f: float | None = None
    subcooling_tolerance_f: float | None = None
    superheat_tolerance_f: float | None = None
    least_superheat_f: float | None = None
    """With `most_superheat_f`: what the maker allows behind a TXV or EXV."""
    most_superheat_f: float | None = None
    maker_pressures: tuple[MakerPressures, ...] = ()
    least_test_f: float | None = None
    """Least outdoor °F of a cooling test: the system's own, else the branch's."""
    preferred_test_f: float | None = None
    elevation_ft: float | None = None

    # Electrical
    compressor_rla_a: float | None = None
    outdoor_fan_fla_a: float | None = None
    blower_fla_a: float | None = None
    inducer_fla_a: float | None = None
    line_v: float | None = None
    """Nameplate volts; of a double rating such as 208/230 the higher."""
    line_v_lower: float | None = None
    """Of a double rating the lower."""
    phases: Literal[1, 3] | None = None
    most_breaker_a: float | None = None
    capacitor_compressor_uf: float | None = None
    capacitor_fan_uf: float | None = None
    """A dual capacitor "45/5 µF" is 45 of the compressor and 5 of the fan."""
    capacitor_tolerance_percent: float | None = None

    # Air and heating
    most_tesp_in_wc: float | None = None
    fuel: Fuel | None = None
    gas_input_btu_h: float | None = None
    """Of the nameplate, not derated."""
    efficiency: float | None = None
    """Of the furnace, a share of one."""
    least_rise_f: float | None = None
    most_rise_f: float | None = None
    manifold_in_wc: float | None = None
    least_flame_ua: float | None = None
    aux_heat_kw: float | None = None

    @property
    def packaged(self) -> bool:
        """Compressor and both coils in one cabinet."""
        return self.kind == "package"

    @property
    def cools(self) -> bool:
        return self.kind in COOLING_KINDS

    @property
    def burns(self) -> bool:
        """Heats with a flame; a furnace whose fuel is not on file is taken to."""
        return self.fuel is not None or self.kind == "furnace"

    @property
    def sea_level_or_elevation_ft(self) -> float:
        """Not on file counts as sea level: reads saturation up to 2 °F too high at a mile."""
        return self.elevation_ft or 0.0
