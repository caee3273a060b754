"""What a homeowner can do herself, and when to leave it and call.

Common practice, no source, but for the two CO sentences (leave first, call from outside). The
maker's instructions and local codes come before them.
"""

from __future__ import annotations

from dataclasses import dataclass

from django.utils.translation import gettext as _

from customers.models import Home, System, SystemKind

BURNS = (SystemKind.FURNACE, SystemKind.PACKAGE)


@dataclass(frozen=True)
class Advice:
    """`call` is what to leave alone; `leave` is what to leave the house for."""

    do: tuple[str, ...]
    call: tuple[str, ...]
    leave: str


def advice_for(home: Home, systems: list[System]) -> Advice:
    """The advice that fits this home."""
    cools = any(system.cools for system in systems)
    burns = any(system.kind in BURNS for system in systems)
    return Advice(_do(home, cools), _call(cools), _leave(burns))


def _do(home: Home, cools: bool) -> tuple[str, ...]:
    lines = [
        _("Change or clean the filter when it is due; the arrow points toward the blower."),
        _("Keep supply and return grilles open and clear of furniture."),
    ]
    if cools:
        lines += [
            _("Keep plants and things 12 to 15 inches away from the outdoor unit, better 24."),
            _(
                "Once a spring, switch the outdoor unit off at its breaker and rinse its coil "
                "gently with a garden hose, from top to bottom. Never a pressure washer: it bends "
                "the fins. No chemicals."
            ),
            _("Do not run the air conditioner when it is below 55 °F outdoors."),
        ]
    if home.winter_cover:
        lines.append(_("Take the winter cover off before the first run; never run it covered."))
    lines.append(_("If a breaker has tripped, reset it once. If it trips again, leave it off."))
    return tuple(lines)


def _call(cools: bool) -> tuple[str, ...]:
    lines = [
        _("a breaker trips again, or a disconnect is hot, buzzes or smells burnt;"),
        _("water stands near the furnace or the air handler;"),
    ]
    if cools:
        lines += [
            _("ice is on the coil or the line: turn cooling off and the fan on, then call;"),
            _("you hear hissing or see oil at the lines;"),
        ]
    return (*lines, _("a panel would have to be opened: please leave that to us."))


def _leave(burns: bool) -> str:
    if not burns:
        return _("A CO alarm sounds: leave the house first, then call 911 from outside.")
    return _(
        "You smell gas or a CO alarm sounds: touch no switch, leave the house first, then call "
        "911 or the gas utility from outside."
    )
