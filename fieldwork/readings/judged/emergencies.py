"""What overrides everything: gas, carbon monoxide, flame where it must not be.

The words tell what to do, in order, and defer to the local code, the maker and the utility. None
of it belongs in a routine letter.
"""

from __future__ import annotations

from collections.abc import Iterator

from fieldwork.readings.case import Case
from fieldwork.readings.judged.furnace import air_free
from fieldwork.readings.verdicts import Emergency
from fieldwork.readings.words import amount

_RED_TAG = "Shut it off, close its gas valve, red tag it, tell the customer in person and the "
_OFFICE = "office by telephone. It stays off until it is repaired and tested."
_PLAIN_OFF = "Please leave it off until it is repaired."

# Reading, the answer that is an emergency, title, what to do, for the customer.
ANSWERS: tuple[tuple[str, bool | str, str, str, str], ...] = (
    (
        "gas_leak_found", True, "Gas leak",
        "No flame, no switch, no telephone inside. Get everybody out. Shut the gas off at the "
        "meter outside if that is safe, then call the gas utility or 911 from outside.",
        "Leave the house. Call the gas utility or 911 from outside.",
    ),
    (
        "rollout_tripped", True, "Rollout switch tripped",
        f"Flames came out of the burners. Do not reset it and leave. {_RED_TAG}{_OFFICE}",
        f"The flame of your furnace left its place. {_PLAIN_OFF}",
    ),
    (
        "heat_exchanger", "cracked", "Heat exchanger cracked or open",
        f"{_RED_TAG}{_OFFICE} Measure the CO in the rooms before you go.",
        f"The wall between flame and air of your furnace is open. {_PLAIN_OFF}",
    ),
    (
        "spillage_found", True, "Flue gas spills into the room",
        f"Air the room. {_RED_TAG}{_OFFICE} Vent and combustion air must be put right first.",
        f"Exhaust of your furnace came into the room. {_PLAIN_OFF}",
    ),
    (
        "leak_sensor_alarm", True, "Refrigerant leak sensor in alarm",
        "No flame, no spark. Air the room, switch the system off at its disconnect from where it "
        "is safe, never bypass the sensor; only tools rated for this refrigerant.",
        "Your system's leak sensor gave alarm. Please air the room and leave the system off.",
    ),
)  # fmt: skip


def emergencies(case: Case) -> Iterator[Emergency]:
    """The gravest first."""
    yield from _ambient_co(case)
    for name, alarming, title, action, plain in ANSWERS:
        if name in case.readings and case.readings[name] == alarming:
            yield Emergency(name, title, action, plain, (name,))
    yield from _flue_co(case)


def _ambient_co(case: Case) -> Iterator[Emergency]:
    names = ("ambient_co_before_ppm", "ambient_co_after_ppm")
    worst = max((value for name in names if (value := case.number(name)) is not None), default=0.0)
    rules = case.rules
    used = tuple(name for name in names if name in case.readings)
    title = f"CO in the room: {amount(worst, 'ppm')}"
    if worst >= rules.leave_ambient_co_ppm.value:
        yield Emergency(
            "ambient_co", title,
            "Get everybody out now, you too. Call 911 from outside. Nobody goes back in before "
            "the fire department allows it.",
            "There is dangerous carbon monoxide. Leave the house and call 911 from outside.", used,
        )  # fmt: skip
    elif worst >= rules.stop_ambient_co_ppm.value:
        yield Emergency(
            "ambient_co", title,
            "Switch off what burns, open windows and doors, get people out of the rooms. Find the "
            "source; whoever feels ill needs 911. Tell the office by telephone.",
            "There was carbon monoxide in the room. Leave what burns switched off, keep fresh air "
            "coming, and call 911 if anybody feels ill.", used,
        )  # fmt: skip


def _flue_co(case: Case) -> Iterator[Emergency]:
    """Judged also before "burner on and steady" is answered, and in much air: on the safe side."""
    as_measured, limit = case.number("flue_co_ppm") or 0.0, case.rules.stop_flue_co_ppm.value
    if case.yes("burner_on_steady") is False:
        return
    value = air_free(case) or as_measured
    if value < limit:
        return
    yield Emergency(
        "flue_co", f"CO in the flue: {amount(value, 'ppm')}",
        f"{_RED_TAG}{_OFFICE} Measure the CO in the rooms before you go.",
        f"The flame of your furnace makes too much carbon monoxide. {_PLAIN_OFF}",
        ("flue_co_ppm", "flue_o2_percent"),
    )  # fmt: skip
