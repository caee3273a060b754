"""What customers are told of their visits: facts of a letter, and the calendar entry with it.

The letter's row is written in the same transaction as the change that it tells of.
"""

from __future__ import annotations

import datetime as dt

from django.conf import settings
from django.utils import translation
from django.utils.translation import gettext

from customers.models import Customer
from kit import words
from letters.actions.write import write_letter
from letters.invitation import visit_uid
from letters.links import link_for
from letters.models import Letter, Link
from scheduling.models import State, Visit

# The customer's link to a visit works this long after it was made; a season is shorter.
LINK_LASTS = dt.timedelta(days=200)
ANSWER_VIEW = "scheduling:answer"


def about(visit: Visit) -> str:
    """How letters and links name a visit."""
    return f"visit:{visit.pk}"


def answer_link(visit: Visit, now: dt.datetime) -> Link:
    """The customer's link to the visit's page."""
    customer = visit.owed_visit.home.customer
    return link_for(
        purpose="visit", about=about(visit), now=now, customer=customer, lasts=LINK_LASTS
    )


def announce_promised(visit: Visit, now: dt.datetime) -> Letter | None:
    return _write(visit, "promise_confirmed", now, invitation=_entry(visit, "REQUEST"))


def announce_moved(visit: Visit, old: dt.datetime, now: dt.datetime, why: str) -> Letter | None:
    entry = _entry(visit, "REQUEST")
    return _write(
        visit, "promise_moved", now, invitation=entry, old_starts_at=old.isoformat(), why=why
    )


def announce_cancelled(
    visit: Visit,
    slot: tuple[dt.datetime, dt.datetime],
    now: dt.datetime,
    why: str,
    *,
    to: Customer | None = None,
) -> Letter | None:
    """`slot`: the time that no longer holds. `to`: who was told of it, if that is no longer the
    home's customer. It is owed no more to her, nor where the visit was let go.
    """
    return _write(
        visit, "promise_cancelled", now, to=to, invitation=_entry(visit, "CANCEL", slot),
        old_starts_at=slot[0].isoformat(), why=why,
        over=to is not None or visit.state == State.WAIVED,
    )  # fmt: skip


def announce_offer(
    visit: Visit, kind: str, answer_by: dt.datetime, now: dt.datetime, why: str = ""
) -> Letter | None:
    """`kind`: offer or second_offer. `why`: there is another time than was offered before."""
    return _write(visit, kind, now, answer_by=answer_by.isoformat(), why=why)


def too_cold_then(visit: Visit) -> str:
    """Why a time had to change, in the customer's language."""
    with translation.override(visit.owed_visit.home.customer.language):
        return gettext("At the old time it would be too cold outdoors for a real test.")


def room_was_needed(visit: Visit) -> str:
    """The same for who had to move a little for another."""
    with translation.override(visit.owed_visit.home.customer.language):
        return gettext("The weather changed the order of our day a little.")


def agreement_has_ended(visit: Visit) -> str:
    """Why nobody comes, in the customer's language."""
    with translation.override(visit.owed_visit.home.customer.language):
        return gettext("The agreement for this home has ended.")


def home_was_sold(seller: Customer) -> str:
    """The same for who sold the home."""
    with translation.override(seller.language):
        return gettext("The home and its agreement have passed to a new owner.")


def announce_coming(visit: Visit, kind: str, now: dt.datetime) -> Letter | None:
    """`kind`: day_before or on_the_way; once for each time that the visit has."""
    return _write(visit, kind, now, occasion=visit.slot[0].isoformat())


def _write(
    visit: Visit,
    kind: str,
    now: dt.datetime,
    invitation: dict[str, object] | None = None,
    occasion: str = "",
    to: Customer | None = None,
    **more: object,
) -> Letter | None:
    """`to`: somebody else than the home's customer, who gets no link to the visit."""
    home = visit.owed_visit.home
    facts: dict[str, object] = {
        "check": visit.kind,
        "cooling": visit.needs_warmth,
        "warmth": visit.warmth,
        "address": f"{home.street} {home.unit}".strip() + f", {home.city}",
        "links": {} if to else {"answer": [answer_link(visit, now).pk, ANSWER_VIEW]},
    }
    if visit.starts_at and visit.ends_at:
        facts |= {
            "starts_at": visit.starts_at.isoformat(),
            "ends_at": visit.ends_at.isoformat(),
            "technician": str(visit.technician),
        }
    return write_letter(
        customer=to or home.customer,
        kind=kind,
        about=about(visit),
        occasion=occasion or f"{visit.sequence}.{visit.version}",
        now=now,
        facts=facts | more,
        invitation=invitation,
    )


def _entry(
    visit: Visit, method: str, slot: tuple[dt.datetime, dt.datetime] | None = None
) -> dict[str, object]:
    """The calendar entry of a visit: one UID for life, the sequence raised on each change."""
    starts_at, ends_at = slot or visit.slot
    branch, home = visit.season.branch, visit.owed_visit.home
    return {
        "method": method,
        "uid": visit_uid(branch.slug, visit.pk, settings.LETTER_HOST),
        "sequence": visit.sequence,
        "starts_at": starts_at.isoformat(),
        "ends_at": ends_at.isoformat(),
        "summary": words.check_kind(visit.kind).capitalize() + f" ({branch.name})",
        "description": "To change this time, use the link in our letter.",
        "location": home.address,
    }
