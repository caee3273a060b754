"""A visit's life, in one place: owed -> pencilled -> offered -> promised -> done.

Held, missed and waived stand beside it. Pure.
"""

from __future__ import annotations

OWED, PENCILLED, OFFERED, PROMISED = "owed", "pencilled", "offered", "promised"
HELD, DONE, MISSED, WAIVED = "held", "done", "missed", "waived"

# States in which a visit has a slot: a day, a technician and a start-end time.
WITH_A_SLOT = (PENCILLED, OFFERED, PROMISED, DONE, MISSED)
# States that a plan may place, move or leave out; promises move only at a price.
OPEN = (OWED, HELD, PENCILLED)
AGREED = (OFFERED, PROMISED)
# A slot that is still to be driven to.
STANDING = (PENCILLED, *AGREED)

NEXT: dict[str, tuple[str, ...]] = {
    OWED: (PENCILLED, HELD, PROMISED, WAIVED),
    HELD: (OWED, PENCILLED, PROMISED, WAIVED),
    PENCILLED: (PENCILLED, OFFERED, PROMISED, OWED, HELD, DONE, MISSED, WAIVED),
    OFFERED: (OFFERED, PROMISED, PENCILLED, OWED, HELD, DONE, MISSED, WAIVED),
    PROMISED: (PROMISED, OFFERED, OWED, HELD, DONE, MISSED, WAIVED),
    MISSED: (OWED, HELD, PENCILLED, PROMISED, WAIVED),
    DONE: (),
    WAIVED: (OWED,),
}


class StepRefused(ValueError):
    """A change of state that a visit's life does not have."""


def check_step(old: str, new: str) -> None:
    """Refuse a step that is not in `NEXT`, in words."""
    if new not in NEXT[old]:
        allowed = ", ".join(NEXT[old]) or "nothing: it is closed"
        raise StepRefused(f"A visit that is {old} cannot become {new}; it can become {allowed}.")
