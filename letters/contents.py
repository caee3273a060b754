"""What each kind of letter is called, and the facts that it cannot do without.

A fact that is not needed is left out of the letter when it is missing. Facts named `..._at` are
moments in ISO form; the letter shows them on the branch's clock as `..._day` and `..._clock`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Content:
    """`needs`: facts without which the letter says nothing; `links`: the same for its links."""

    label: str
    needs: tuple[str, ...] = ()
    links: tuple[str, ...] = ()


_SLOT = ("check", "starts_at", "ends_at")

CONTENTS: Mapping[str, Content] = {
    "offer": Content("Offer of a time", (*_SLOT, "address", "answer_by"), ("answer",)),
    "second_offer": Content("Offer, second time", _SLOT, ("answer",)),
    "promise_confirmed": Content("Time agreed", (*_SLOT, "technician", "address"), ("answer",)),
    "promise_moved": Content(
        "Time moved", (*_SLOT, "technician", "old_starts_at"), ("answer",)
    ),
    "promise_cancelled": Content("Time cancelled", ("check", "old_starts_at")),
    "day_before": Content("Day before", (*_SLOT, "technician"), ("answer",)),
    "on_the_way": Content("On the way", ("technician", "starts_at")),
    "report": Content(
        "Report of a visit", ("check", "done_at", "technician", "address", "test"), ("report",)
    ),
    "no_start_received": Content("No-start message received"),
    "agreement_to_sign": Content(
        "Agreement to sign", ("plan", "address", "price", "term_starts", "term_ends"),
        ("agreement",),
    ),
    "renewal": Content(
        "Renewal", ("plan", "address", "price", "term_ends", "next_starts", "answer_until"),
        ("agreement",),
    ),
    "payment_due": Content("Payment due", ("plan", "address", "amount", "due"), ("agreement",)),
    "payment_overdue": Content(
        "Payment overdue", ("plan", "address", "amount", "due"), ("agreement",)
    ),
    "receipt": Content("Receipt", ("plan", "address", "amount", "paid_on"), ("agreement",)),
    "lapsed": Content("Lapsed agreement", ("plan", "address", "term_ends"), ("agreement",)),
    "filter": Content("Reminder: filter", ("size", "why"), ("home",)),
    "cover_off": Content("Reminder: cover off", ("why",), ("home",)),
    "cover_on": Content("Reminder: cover on", ("why",)),
    "plants": Content("Reminder: plants", ("why",)),
    "rinse": Content("Reminder: rinse", ("why",)),
    "returns": Content("Reminder: returns", ("why", "to_cooling")),
}  # fmt: skip


class FactMissing(ValueError):
    """A letter cannot be written: it says of which fact."""


def check_facts(kind: str, facts: Mapping[str, object]) -> None:
    """Raise FactMissing naming every fact or link that a letter of this kind needs and lacks."""
    content = CONTENTS[kind]
    links = facts.get("links")
    given = links if isinstance(links, Mapping) else {}
    missing = [name for name in content.needs if facts.get(name) in (None, "")]
    missing += [f"links.{name}" for name in content.links if name not in given]
    if missing:
        raise FactMissing(f"the letter lacks {', '.join(missing)}")
