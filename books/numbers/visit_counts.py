"""How many checks and promises: what is known of each visit, counted in one pass."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

from django.db.models import BooleanField, Case, Count, Value, When

from agreements.models import VisitKind
from books.numbers.promises import accepted, broke, came
from books.numbers.visits import PROVISIONAL, WARM, every, judged
from scheduling.models import Season, State


@dataclass(frozen=True, slots=True)
class _Visits:
    """Visits of which the same is known; the fields are the columns of the query."""

    state: str
    kind: str
    accepted: bool
    came: bool
    broke: bool
    warm: bool
    provisional: bool

    def check(self) -> str:
        """Its part of the checks: the key of books.numbers.visits.CHECKS."""
        if self.state == State.WAIVED:
            return "waived"
        if self.state != State.DONE:
            return "still-owed"
        if self.kind == VisitKind.HEATING:
            return "no-warmth"
        return (self.provisional and "provisional") or (self.warm and "warm") or "no-readings"

    def promises(self) -> list[str]:
        """In which of books.numbers.promises.PROMISES it counts."""
        if not (self.state == State.PROMISED or self.accepted or self.came):
            return []
        return ["promised", *(["broken"] if self.broke else ["kept"] if self.came else [])]


CHECK_KEYS = ("warm", "provisional", "no-readings", "no-warmth", "waived", "still-owed")
PROMISE_KEYS = ("promised", "kept", "broken")


def visit_counts(season: Season) -> dict[str, int]:
    """The counts of all of them; each as long as its number's list."""
    told = Case(When(broke(), then=Value(True)), default=Value(False), output_field=BooleanField())
    facts = {
        "accepted": accepted(), "came": came(), "broke": told,
        "was_warm": judged(WARM), "was_provisional": judged(PROVISIONAL),
    }  # fmt: skip
    rows = every(season).order_by().annotate(**facts)
    grouped = rows.values_list("state", "owed_visit__kind", *facts).annotate(n=Count("pk"))
    found: Counter[str] = Counter(dict.fromkeys(("owed", *CHECK_KEYS, *PROMISE_KEYS), 0))
    for *known, count in grouped:
        visits = _Visits(*known)
        for key in ("owed", visits.check(), *visits.promises()):
            found[key] += count
    return dict(found)
