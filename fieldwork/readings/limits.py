"""Every limit that a verdict compares with, beside where it comes from."""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from hashlib import sha256
from typing import Self

RULES = "2"
"""Raised whenever the same readings could be judged differently."""
PRACTICE = "common practice, no source"
OWN = "own choice, no source"
MEMORY = "from memory, not confirmed"
BRANCH = "set by the branch"


@dataclass(frozen=True)
class Limit:
    value: float
    unit: str
    source: str

    def set_to(self, value: float) -> Limit:
        return Limit(value, self.unit, BRANCH)


CEC = "California Energy Commission, Title 24 Reference Appendix RA3.2 (2008)"
LENNOX_CHARGING = "Lennox 14ACX manual p. 26"


@dataclass(frozen=True)
class Limits:
    """The rules of a branch. `DEFAULT_LIMITS` are the published ones; `with_own` changes some.

    A maker's figure in `Equipment` always goes before these.
    """

    # Conditions of the test
    least_test_f: Limit = Limit(
        55.0, "°F", f"{CEC} RA3-13, 2013 RA3.2.1.1(d); Trane 4TTR3018-060 p. 15"
    )
    preferred_test_f: Limit = Limit(
        65.0, "°F", "Lennox 10HPB p. 15 and EL072XCSS; Trane A5PA3024 p. 29"
    )
    least_indoor_f: Limit = Limit(70.0, "°F", f"{LENNOX_CHARGING}; Trane 4TTR3018-060 p. 15")
    most_indoor_f: Limit = Limit(80.0, "°F", f"{LENNOX_CHARGING}; Trane 4TTR3018-060 p. 15")
    least_running_min: Limit = Limit(15.0, "min", f"{CEC} RA3-13")

    # Airflow
    split_tolerance_f: Limit = Limit(
        3.0, "°F", f"{CEC} RA3-15; the target is a screening, {MEMORY}"
    )
    least_cfm_per_ton: Limit = Limit(300.0, "cfm/ton", f"{CEC} RA3.2.2.7, Table RA3.3-1")
    design_cfm_per_ton: Limit = Limit(350.0, "cfm/ton", f"{CEC} Table RA3.3-1")
    most_cfm_per_ton: Limit = Limit(450.0, "cfm/ton", PRACTICE)
    rated_tesp_in_wc: Limit = Limit(
        0.5, "in WC", "rated static pressure of most plates, 0.5 to 0.7"
    )
    most_tesp_in_wc: Limit = Limit(0.7, "in WC", "Carrier 58UHV: check the ducts above 0.70 in WC")
    most_filter_drop_in_wc: Limit = Limit(
        0.3, "in WC", f"{OWN}; clean 1 in filters drop 0.10 to 0.31 (makers' pages)"
    )

    least_capacity_percent: Limit = Limit(
        75.0, "%", f"{OWN}; of the nominal tons, the figure itself is within 5 % at best"
    )
    most_capacity_percent: Limit = Limit(
        140.0, "%", f"{OWN}; beyond it a measurement is wrong, not the unit good"
    )

    # Charge and metering device
    superheat_tolerance_f: Limit = Limit(5.0, "°F", f"{LENNOX_CHARGING}; {CEC} RA3-14")
    least_target_superheat_f: Limit = Limit(5.0, "°F", f"{CEC} RA3-14 item 3")
    subcooling_tolerance_f: Limit = Limit(
        3.0, "°F", f"{CEC} RA3-15 (lower side); upper side {MEMORY}"
    )
    least_valve_superheat_f: Limit = Limit(4.0, "°F", f"{CEC} RA3-15")
    most_valve_superheat_f: Limit = Limit(25.0, "°F", f"{CEC} RA3-15")
    suction_tolerance_psi: Limit = Limit(3.0, "psi", "Trane A5PA3030")
    liquid_tolerance_psi: Limit = Limit(10.0, "psi", "Trane A5PA3030")
    condenser_over_outdoor_f: Limit = Limit(
        20.0, "°F", "Lennox LRP14AC p. 23, 72 healthy points: 12.5 to 22.7"
    )
    condenser_tolerance_f: Limit = Limit(10.0, "°F", f"{OWN}; none of those 72 points is outside")
    evaporator_under_return_f: Limit = Limit(
        30.0, "°F", "Lennox LRP14AC p. 23, 72 healthy points: 24.6 to 35.5"
    )
    evaporator_tolerance_f: Limit = Limit(7.0, "°F", f"{OWN}; none of those 72 points is outside")
    usual_subcooling_f: Limit = Limit(10.0, "°F", f"{PRACTICE}; only supports, judges nothing")
    usual_subcooling_tolerance_f: Limit = Limit(5.0, "°F", f"{PRACTICE}; as above")
    low_amps_percent: Limit = Limit(60.0, "%", f"{OWN}; of the rated load amps")
    gauge_suction_psi: Limit = Limit(3.5, "psi", "CEC RA3.2.2.2 (2013)")
    gauge_liquid_psi: Limit = Limit(7.0, "psi", "CEC RA3.2.2.2 (2013)")
    thermometer_f: Limit = Limit(1.3, "°F", "CEC (2008): 0.1 % of the reading + 1.3 °F")

    # Electrical
    line_tolerance_percent: Limit = Limit(10.0, "%", "Carrier 40RU")
    most_imbalance_percent: Limit = Limit(2.0, "%", "Carrier 50JZ, 09DK, 50TCQ; Trane CXRC")
    most_contactor_drop_percent: Limit = Limit(3.0, "%", "RSES service text")
    capacitor_tolerance_percent: Limit = Limit(
        6.0, "%", "usual label, ± 5 or 6 % (hvacrschool, famous-supply)"
    )
    capacitor_meter_percent: Limit = Limit(1.0, "%", OWN)
    act_amps_percent: Limit = Limit(110.0, "%", f"{OWN}; at most the nameplate is common practice")
    least_control_v: Limit = Limit(22.0, "V", PRACTICE)
    most_control_v: Limit = Limit(28.0, "V", PRACTICE)

    # Gas and flame
    input_tolerance_percent: Limit = Limit(5.0, "%", "York D3CG p. 17")
    manifold_natural_in_wc: Limit = Limit(3.5, "in WC", "Haier/GE NF80 Table 17")
    manifold_propane_in_wc: Limit = Limit(10.0, "in WC", "Haier/GE NF80 Table 17")
    manifold_tolerance_in_wc: Limit = Limit(0.3, "in WC", MEMORY)
    least_inlet_natural_in_wc: Limit = Limit(4.5, "in WC", "Haier/GE NF80 Table 17")
    most_inlet_natural_in_wc: Limit = Limit(10.0, "in WC", "Haier/GE NF80 Table 17")
    least_inlet_propane_in_wc: Limit = Limit(11.0, "in WC", "Haier/GE NF80 Table 17")
    most_inlet_propane_in_wc: Limit = Limit(13.0, "in WC", "Haier/GE NF80 Table 17")
    derated_above_ft: Limit = Limit(2000.0, "ft", "Carrier 395CAV: 4 % for each 1000 ft (USA)")
    watch_flame_ua: Limit = Limit(1.5, "µA", "Lennox ML180: 1.5 and more is normal")
    act_flame_ua: Limit = Limit(0.5, "µA", "Lennox ML180: 0.5 to 1.4 low, 0.4 drops out")
    watch_flue_co_ppm: Limit = Limit(100.0, "ppm", "Haier/GE NF80: at most 100 ppm air-free")
    stop_flue_co_ppm: Limit = Limit(400.0, "ppm", "ANSI Z21.47: 400 ppm air-free")
    most_usable_o2_percent: Limit = Limit(
        17.0, "%", f"{OWN}; near 20.9 the air-free figure means nothing"
    )
    watch_ambient_co_ppm: Limit = Limit(10.0, "ppm", "NCI action levels, as quoted by trade pages")
    stop_ambient_co_ppm: Limit = Limit(36.0, "ppm", "NCI action levels, as quoted by trade pages")
    leave_ambient_co_ppm: Limit = Limit(100.0, "ppm", "NCI action levels, as quoted by trade pages")

    # Condition
    least_clearance_in: Limit = Limit(12.0, "in", "Carrier owner's text: at least 12 in")
    advised_clearance_in: Limit = Limit(24.0, "in", "US Department of Energy: 2 ft")
    aux_heat_rated_v: Limit = Limit(240.0, "V", f"{PRACTICE}; heater kits are rated at 240 V")
    aux_heat_tolerance_percent: Limit = Limit(10.0, "%", OWN)

    least_heating_rise_f: Limit = Limit(
        1.0, "°F", f"{OWN}; that it warms at all, how much is in the maker's table"
    )

    # Trends
    capacitor_points_a_year: Limit = Limit(3.0, "%", PRACTICE)
    split_drop_f: Limit = Limit(2.0, "°F", PRACTICE)
    condenser_rise_f: Limit = Limit(5.0, "°F", PRACTICE)
    tesp_rise_in_wc: Limit = Limit(0.10, "in WC", PRACTICE)
    amps_rise_percent: Limit = Limit(10.0, "%", PRACTICE)
    flame_drop_percent: Limit = Limit(30.0, "%", PRACTICE)
    comparable_outdoor_f: Limit = Limit(10.0, "°F", PRACTICE)

    def with_own(self, **values: float) -> Self:
        """Some limits changed by the branch, by name. Raises ValueError for an unknown one."""
        known = {field.name for field in fields(self)}
        if unknown := set(values) - known:
            raise ValueError(f"There is no limit {', '.join(sorted(unknown))}.")
        own = {name: getattr(self, name).set_to(value) for name, value in values.items()}
        return replace(self, **own)

    @property
    def version(self) -> str:
        """The number of the rules, and behind a plus a mark of the branch's own values."""
        own = [
            f"{f.name}={x.value!r}"
            for f in fields(self)
            if (x := getattr(self, f.name)).source == BRANCH
        ]
        return f"{RULES}+{sha256(';'.join(own).encode()).hexdigest()[:8]}" if own else RULES


DEFAULT_LIMITS = Limits()
