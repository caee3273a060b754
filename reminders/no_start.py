"""It does not start: the safe checks in their order, before a truck is sent.

Only what a homeowner may do: common practice, no source, and more careful where in doubt. Every
text is plain English with an id that never changes, for translations. No step opens a panel.
"""

from __future__ import annotations

from dataclasses import dataclass

from reminders.words import Words


@dataclass(frozen=True, slots=True)
class NoStartCheck:
    """One check. `do` in order; `stop_and_call` ends the whole guide at once.

    `only_if_comfortable`: the homeowner may skip it and call, and the screen says so first.
    """

    id: str
    title: Words
    do: tuple[Words, ...]
    stop_and_call: tuple[Words, ...] = ()
    only_if_comfortable: bool = False


@dataclass(frozen=True, slots=True)
class Emergency:
    """Comes before everything and holds no form: people leave, then telephone from outside.

    The numbers to show are 911 and the branch's gas utility.
    """

    signs: tuple[Words, ...]
    do: tuple[Words, ...]
    telephone: str


EMERGENCY = Emergency(
    signs=(
        Words("emergency_gas", "You smell gas."),
        Words("emergency_co", "A carbon monoxide alarm is sounding."),
    ),
    do=(
        Words("emergency_leave", "Leave the home now, with everybody in it."),
        Words("emergency_touch_nothing", "Touch no switch and no thermostat, light nothing, and do "
              "not telephone indoors."),
        Words("emergency_call", "From outside call 911 or your gas utility."),
        Words("emergency_stay_out", "Stay out until they say that it is safe."),
    ),
    telephone="911",
)  # fmt: skip

# At any time in the guide.
STOP_AND_CALL = (
    Words("stop_smell", "A burning smell, smoke, or a buzzing sound: switch the system off at the "
          "thermostat and call."),
    Words("stop_hot", "A disconnect, a breaker or a wire that is hot, scorched or wet: do not "
          "touch it, and call."),
    Words("stop_ice", "Ice on the coil or on the copper line: switch cooling off, set the fan to "
          "on, and call."),
    Words("stop_water", "Water near the furnace or the air handler: switch the system off and "
          "call."),
    Words("stop_hiss", "A hissing sound, or oil at the lines or the unit: switch the system off "
          "and call."),
    Words("stop_panel", "Anything that would need a panel opened: leave it closed and call."),
)  # fmt: skip

COVER = NoStartCheck(
    id="cover",
    title=Words("cover_title", "Is the winter cover off the outdoor unit?"),
    do=(
        Words("cover_look", "Look at the outdoor unit. If it is covered, switch the thermostat "
              "off, then take the cover off."),
        Words("cover_clear", "Take away leaves and anything that leans against it."),
        Words("cover_try", "Then set the thermostat to cool again and wait five minutes."),
    ),
    stop_and_call=(
        Words("cover_ran", "The system ran with its cover on, and now hums or does not start."),
    ),
)  # fmt: skip

THERMOSTAT = NoStartCheck(
    id="thermostat",
    title=Words("thermostat_title", "Is the thermostat asking for cooling?"),
    do=(
        Words("thermostat_outdoors", "If it is below 55 °F outdoors, do not run cooling. Wait for "
              "a warmer hour."),
        Words("thermostat_batteries", "If its display is blank or dim, put in new batteries."),
        Words("thermostat_cool", "Set it to cool, and the fan to auto."),
        Words("thermostat_below", "Set the temperature 5 °F below that of the room."),
        Words("thermostat_wait", "Wait five minutes: the unit protects itself against starting "
              "again too soon."),
    ),
    stop_and_call=(
        Words("thermostat_blank", "The display stays blank with new batteries and the breaker on."),
    ),
)  # fmt: skip

BREAKER = NoStartCheck(
    id="breaker",
    title=Words("breaker_title", "Has a breaker tripped?"),
    do=(
        Words("breaker_look", "With dry hands, standing on a dry floor, look in the electrical "
              "panel for the breakers of the outdoor unit and of the furnace or air handler."),
        Words("breaker_reset_once", "If one stands in the middle or at off, push it fully to off, "
              "then to on. Do this once only."),
        Words("breaker_wait", "Wait five minutes for the unit to start."),
    ),
    stop_and_call=(
        Words("breaker_again", "It trips again, at once or later. Leave it off: a second reset can "
              "start a fire or ruin the compressor."),
        Words("breaker_unsure", "You are not sure which breaker it is."),
    ),
)  # fmt: skip

DISCONNECT = NoStartCheck(
    id="disconnect",
    title=Words("disconnect_title", "Is the disconnect beside the outdoor unit on?"),
    do=(
        Words("disconnect_skip", "Do this only if you are comfortable with it. If not, call us: "
              "that is always right."),
        Words("disconnect_off_first", "First switch the thermostat and the unit's breaker off."),
        Words("disconnect_seated", "Open the lid of the box on the wall. Its handle must be pushed "
              "in fully, the right way around, at on."),
        Words("disconnect_fuses", "If the pulled handle holds fuses, a store can test them. New "
              "ones must be of the same amperes and type."),
        Words("disconnect_back", "Push the handle in, close the lid, then breaker on, then the "
              "thermostat to cool."),
    ),
    stop_and_call=(
        Words("disconnect_damage", "Anything is hot, scorched, loose, wet or has insects in it."),
        Words("disconnect_wires", "You would have to touch a wire or a screw."),
        Words("disconnect_blown", "A new fuse blows."),
    ),
    only_if_comfortable=True,
)  # fmt: skip

CHECKS = (COVER, THERMOSTAT, BREAKER, DISCONNECT)

CALL = Words("call", "It still does not start. Leave the thermostat off and call us: tell us what "
             "you have checked, so that the technician need not begin anew.")  # fmt: skip


def all_words() -> tuple[Words, ...]:
    """Every text of the guide, for translators."""
    texts = [*EMERGENCY.signs, *EMERGENCY.do, *STOP_AND_CALL]
    for check in CHECKS:
        texts += [check.title, *check.do, *check.stop_and_call]
    return (*texts, CALL)
