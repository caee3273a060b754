"""Group B: is enough air moving? It comes before the charge, which means nothing without it."""

from __future__ import annotations

from collections.abc import Iterator

from fieldwork.readings.air import coil_btu_h
from fieldwork.readings.airflow import SPLIT_SOURCE
from fieldwork.readings.case import Case
from fieldwork.readings.judged.conditions import NEEDED
from fieldwork.readings.measured import Measured
from fieldwork.readings.subject import Subject
from fieldwork.readings.verdicts import Gate, Outcome, Verdict
from fieldwork.readings.words import amount, number

SPLIT = Subject(
    "split", "B", "Temperature split", "°F", 1,
    below="It passes, but the capacity is likely low: read it once more, then look at the "
    "charge, the compressor and leaking ducts.",
    above="Too little air: filter, indoor coil, blower, closed registers, then the ducts. "
    "Nothing about the charge counts until it is put right.",
    plain_within="The air that comes out is as much cooler as it should be.",
    plain_below="The air that comes out is less cool than we would expect.",
    plain_above="Too little air moves through the system.",
)  # fmt: skip
CFM = Subject(
    "airflow", "B", "Airflow", "cfm/ton", 0,
    below="Too little air: filter, indoor coil, blower speed, closed registers, then the ducts.",
    above="More air than the coil can dry: look at the blower speed.",
    plain_within="Enough air moves through the system.",
    plain_below="Too little air moves through the system.",
    plain_above="More air than needed moves through the system; the house may feel damp.",
)  # fmt: skip
TESP = Subject(
    "tesp", "B", "Static pressure", "in WC", 2,
    above="The blower works against too much: filter, coil, closed registers, narrow ducts.",
    plain_within="The ducts let the air pass as they should.",
    plain_above="The air has a hard time getting through the filter or the ducts.",
)  # fmt: skip
FILTER_DROP = Subject(
    "filter_drop", "B", "Pressure drop of the filter", "in WC", 2,
    above="A dirty filter, or one too dense for its size.",
    plain_within="The filter lets the air pass.",
    plain_above="The filter holds back too much air.",
)  # fmt: skip
CAPACITY = Subject(
    "capacity", "B", "Capacity, share of nominal", "%", 0,
    below="Less heat taken out than the plate promises: airflow and charge first.",
    plain_within="The system takes out about as much heat as it should.",
    plain_below="The system takes out less heat than it should.",
)  # fmt: skip


def airflow(case: Case, measured: Measured, gate: Gate) -> Iterator[Verdict]:
    """The verdicts on air of a cooling check; static pressure alone needs no warm day."""
    yield _split(case, measured, gate)
    if (cfm := _cfm(case)) is not None:
        yield cfm
    yield from pressures(case)
    if gate.is_open and (capacity := _capacity(case, measured, gate)) is not None:
        yield capacity


def is_enough(verdicts: list[Verdict]) -> bool | None:
    """Whether the air allows a charge verdict: measured at 300 cfm/ton, else the split's verdict.

    None: nothing tells. CEC RA3.2.2.7.
    """
    found = {verdict.key: verdict for verdict in verdicts if verdict.judged}
    if "airflow" in found:
        return found["airflow"].outcome is not Outcome.ACT
    split = found.get("split")
    if split is None or split.value is None or split.value <= 0.0:  # it does not cool at all
        return None
    return split.outcome is not Outcome.ACT


def pressures(case: Case) -> Iterator[Verdict]:
    """Static pressure and the filter's share of it, of a check of either season."""
    yield static_pressure(case)
    if (drop := case.number("filter_drop_in_wc")) is not None:
        most = case.rules.most_filter_drop_in_wc
        yield FILTER_DROP.compared(
            drop, None, most.value, most.source, used=("filter_drop_in_wc",), above=Outcome.WATCH
        )


def static_pressure(case: Case) -> Verdict:
    """Within the plate's own most; without one, watch above the usual rating, act above 0.70."""
    value, own = case.number("tesp_in_wc"), case.equipment.most_tesp_in_wc
    used = ("tesp_in_wc",)
    if value is None:
        return TESP.cannot("Static pressure was not measured.", missing=used)
    if own is not None:
        return TESP.compared(value, None, own, "the plate", used=used)
    rated, most = case.rules.rated_tesp_in_wc, case.rules.most_tesp_in_wc
    worse = Outcome.ACT if value > most.value else Outcome.WATCH
    source = f"{rated.source}; {most.source}"
    return TESP.compared(value, None, rated.value, source, used=used, above=worse)


def _split(case: Case, measured: Measured, gate: Gate) -> Verdict:
    used = ("return_db_f", "return_wb_f", "supply_db_f")
    tolerance = case.rules.split_tolerance_f
    if not gate.is_open and not case.lacking(*NEEDED):
        return SPLIT.cannot("Not judged: the conditions of the test are not met.")
    if measured.split_f is None or measured.return_wb_f is None:
        wanted = ("return_db_f", "supply_db_f")
        lacking = (*case.lacking(*wanted), *(("return_wb_f",) * (measured.return_wb_f is None)))
        return SPLIT.cannot("Return and supply air are needed.", missing=lacking)
    if not gate.is_open:
        return SPLIT.cannot("Not judged yet: the conditions of the test come first.")
    if measured.target_split_f is None:
        return SPLIT.cannot("The return air lies outside the table of target splits.", used=used)
    target = measured.target_split_f
    return SPLIT.compared(
        measured.split_f, target - tolerance.value, target + tolerance.value,
        f"{tolerance.source}; target: {SPLIT_SOURCE}", used=used, target=target,
        error=case.rules.thermometer_f.value * 2.0**0.5,
        below=Outcome.WATCH if measured.split_f > 0.0 else Outcome.ACT,
        note="" if measured.split_f > 0.0 else "It does not cool at all: compressor, then gauges.",
    )  # fmt: skip


def _cfm(case: Case) -> Verdict | None:
    cfm, tons = case.number("airflow_cfm"), case.equipment.tons
    used = ("airflow_cfm",)
    if cfm is None:
        return None
    if not tons:
        return CFM.cannot("The tons are not on file.", not_on_file=("tons",), used=used)
    least, design = case.rules.least_cfm_per_ton, case.rules.design_cfm_per_ton
    most, value = case.rules.most_cfm_per_ton, cfm / tons
    if value < least.value:
        return CFM.compared(value, least.value, most.value, least.source, used=used)
    return CFM.compared(
        value, design.value, most.value, f"{least.source}; {design.source}", used=used,
        below=Outcome.WATCH, above=Outcome.WATCH,
    )  # fmt: skip


def _capacity(case: Case, measured: Measured, gate: Gate) -> Verdict | None:
    """Only when the airflow was measured; 12,000 Btu/h a ton at 80/67 °F indoors, 95 outdoors."""
    cfm, tons = case.number("airflow_cfm"), case.equipment.tons
    supply_f, return_f = case.number("supply_db_f"), case.number("return_db_f")
    wet_f, supply_wet_f = measured.return_wb_f, case.number("supply_wb_f")
    if cfm is None or not tons or supply_f is None or return_f is None:
        return None
    if wet_f is None or supply_wet_f is None:
        return None
    used = ("airflow_cfm", "return_db_f", "return_wb_f", "supply_db_f", "supply_wb_f")
    total, sensible = coil_btu_h(
        cfm, (return_f, wet_f), (supply_f, supply_wet_f), case.equipment.sea_level_or_elevation_ft
    )
    if sensible > total:
        return CAPACITY.cannot(
            "The supply air seems to carry more water than the return: read the wet bulbs again.",
            used=used,
        )
    share = 100.0 * total / (12_000.0 * tons)
    least, most = case.rules.least_capacity_percent, case.rules.most_capacity_percent
    if share > most.value:
        return CAPACITY.cannot(
            f"{amount(total, 'Btu/h')} is more than such a unit can take out: measure airflow and "
            "wet bulbs again.",
            source=most.source, used=used,
        )  # fmt: skip
    return CAPACITY.compared(
        share, least.value, None, least.source, error=5.0, used=used,
        below=Outcome.WATCH, provisional=gate.provisional,
        note=f"{amount(total, 'Btu/h')}; {number(sensible)} cool the air, the rest dries it.",
    )  # fmt: skip
