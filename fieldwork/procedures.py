"""What cannot wait for a signal: readings at which a visit stops, and what is done then. Pure.

The phone compares with these by itself, so that a technician in a basement is warned at once; the
judgement of the server (fieldwork.readings) finds the same and more. The steps are common trade
practice in our own words and defer to local codes, the gas utility and the manufacturer.
"""

from __future__ import annotations

from dataclasses import dataclass

from fieldwork.readings import DEFAULT_LIMITS


@dataclass(frozen=True)
class Procedure:
    """`steps` are in order of doing."""

    key: str
    title: str
    steps: tuple[str, ...]


@dataclass(frozen=True)
class Trigger:
    """A field's value at which `procedure` begins: a word that was chosen, or `least` and more."""

    field: str
    procedure: str
    word: str = ""
    least: float | None = None


LEAVE = Procedure(
    "leave",
    "Stop: get everybody out",
    (
        "Touch no switch, no thermostat, no doorbell. No flame, no telephone indoors.",
        "Everybody out now, and leave the doors open on the way.",
        "From outdoors call 911 or the gas utility. Do not go back in.",
        "Call the office. Nothing is switched on again until the utility allows it.",
    ),
)
SHUT_OFF = Procedure(
    "shut_off",
    "Stop: shut it off and red-tag it",
    (
        "Switch the appliance off and close its gas valve, if that is safe. Open windows.",
        "Anybody dizzy, sick or with a headache: everybody out, and 911.",
        "Hang the red tag, and tell the customer why it must not run. Local codes and the gas "
        "utility say who may switch it on again.",
        "Call the office before you leave.",
    ),
)
REFRIGERANT_LEAK = Procedure(
    "refrigerant_leak",
    "Stop: refrigerant is leaking",
    (
        "No flame, no spark, no switch near it. Open windows and doors.",
        "Leave the room until it is aired. Mildly flammable and heavier than air: it lies low.",
        "Power off where the manufacturer says so; the leak sensor stays connected.",
        "Call the office before you go on.",
    ),
)
PROCEDURES = {each.key: each for each in (LEAVE, SHUT_OFF, REFRIGERANT_LEAK)}

_AMBIENT_STOP = DEFAULT_LIMITS.stop_ambient_co_ppm.value
_FLUE_STOP = DEFAULT_LIMITS.stop_flue_co_ppm.value
# A field has one at most: the page writes one into its data.
TRIGGERS = (
    Trigger("gas_leak_found", "leave", word="yes"),
    Trigger("ambient_co_before_ppm", "leave", least=_AMBIENT_STOP),
    Trigger("ambient_co_after_ppm", "leave", least=_AMBIENT_STOP),
    Trigger("rollout_tripped", "shut_off", word="yes"),
    Trigger("heat_exchanger", "shut_off", word="cracked"),
    Trigger("spillage_found", "shut_off", word="yes"),
    # As measured is below air-free, so a phone that compares it never warns too early.
    Trigger("flue_co_ppm", "shut_off", least=_FLUE_STOP),
    Trigger("leak_sensor_alarm", "refrigerant_leak", word="yes"),
)


def triggers_of(field: str) -> tuple[Trigger, ...]:
    return tuple(trigger for trigger in TRIGGERS if trigger.field == field)
