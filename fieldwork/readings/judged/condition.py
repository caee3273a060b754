"""Group F: what is seen, and what was tried with yes or no."""

from __future__ import annotations

from collections.abc import Iterator

from fieldwork.readings.case import Case
from fieldwork.readings.fields import FIELDS, fields_for
from fieldwork.readings.fields.field import Field
from fieldwork.readings.limits import OWN
from fieldwork.readings.subject import Subject
from fieldwork.readings.verdicts import Outcome, Verdict

SEEN = "what the technician saw"
CLEARANCE = Subject(
    "clearance", "F", "Room around the outdoor unit", "in", 0,
    below="Plants, walls or fences are too near: the customer can cut plants back.",
    plain_within="The outdoor unit has room to breathe.",
    plain_below="Please keep plants and things farther from the outdoor unit.",
)  # fmt: skip
_LOOKS = {
    "pass": (Outcome.WITHIN, "good.", "in order."),
    "attention": (Outcome.WATCH, "needs attention.", "will need attention."),
    "fail": (Outcome.ACT, "must be put right.", "has to be put right."),
}

# Field, and when the answer is no: how bad, for the technician, for the customer.
NO_MEANS = {
    "cover_off": (
        Outcome.ACT, "The cover is still on: off with it before it runs.",
        "The winter cover has to come off before the system runs.",
    ),
    "co_alarm_tested": (
        Outcome.WATCH, "No working CO alarm: the customer should have one on each floor.",
        "Please have a working CO alarm on each floor.",
    ),
    "limit_tested": (
        Outcome.ACT, "The high limit does not stop the burner: do not leave it running.",
        "A safety switch of the furnace did not work.",
    ),
    "rollout_tested": (
        Outcome.WATCH, "Rollout switches not tested.", "One safety switch was not tested.",
    ),
    "pressure_switch_tested": (
        Outcome.ACT, "The pressure switch does not do its work: do not leave it running.",
        "A safety switch of the furnace did not work.",
    ),
    "defrost_starts": (
        Outcome.ACT, "Defrost does not start: board, sensor, thermostat of the coil.",
        "The outdoor unit does not clear its ice.",
    ),
    "defrost_ends": (
        Outcome.ACT, "Defrost does not end by itself: sensor, board.",
        "The outdoor unit does not end its defrosting by itself.",
    ),
    "reversing_valve_both_ways": (
        Outcome.ACT, "The reversing valve does not shift both ways: coil, pressure, valve.",
        "The heat pump does not change between heating and cooling.",
    ),
    "crankcase_heater_warm": (
        Outcome.WATCH, "The crankcase heater is cold: supply, heater.",
        "A small heater that protects the compressor does not work.",
    ),
}  # fmt: skip


def condition(case: Case) -> Iterator[Verdict]:
    """A verdict for whatever was looked at or answered, and one for each that was not."""
    for field in fields_for(case.equipment, case.lists):
        if field.kind == "look":
            yield _look(case, field)
        elif field.name in NO_MEANS:
            yield _answer(case, field)
    if "cooling" in case.lists:
        yield _clearance(case)


def _look(case: Case, field: Field) -> Verdict:
    word = case.word(field.name)
    if word is None:
        return _subject(field).cannot("Not looked at.", missing=(field.name,))
    outcome, sentence, plain = _LOOKS[word]
    return Verdict(
        field.name, "F", field.label, outcome, f"{field.label}: {sentence}",
        f"{field.label}: {plain}", limit_source=SEEN, used=(field.name,),
    )  # fmt: skip


def _answer(case: Case, field: Field) -> Verdict:
    answer = case.yes(field.name)
    if answer is None:
        return _subject(field).cannot("Not answered.", missing=(field.name,))
    outcome, sentence, plain = NO_MEANS[field.name]
    if answer:
        outcome, sentence, plain = Outcome.WITHIN, f"{field.label}: yes.", ""
    return Verdict(
        field.name, "F", field.label, outcome, sentence, plain, limit_source=OWN,
        used=(field.name,),
    )  # fmt: skip


def _clearance(case: Case) -> Verdict:
    value = case.number("clearance_in")
    if value is None:
        return CLEARANCE.cannot("Not measured.", missing=("clearance_in",))
    least, advised = case.rules.least_clearance_in, case.rules.advised_clearance_in
    if value < least.value:
        return CLEARANCE.compared(value, least.value, None, least.source, used=("clearance_in",))
    return CLEARANCE.compared(
        value, advised.value, None, advised.source, used=("clearance_in",), below=Outcome.WATCH
    )


def _subject(field: Field) -> Subject:
    return Subject(field.name, "F", FIELDS[field.name].label)
