"""Every kind of letter, and what may be done with it when something goes wrong or it is late.

How long a letter stays worth reading and how many reminders are too many are own choices,
no source. CAN-SPAM (15 U.S.C. 7702(17)) sets messages about an agreed transaction apart from
all others: those the customer can stop kind by kind.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import Literal

WhenUnsure = Literal["send_again", "keep_back"]


@dataclass(frozen=True, kw_only=True)
class LetterKind:
    """What holds for all letters of a kind.

    `about_an_agreed_visit`: about a visit owed or asked for, kept until the customer stops all
    letters; the others are reminders, which can be stopped one by one and carry the
    unsubscribe headers. `when_unsure`: what to do when the sender died between the mail
    server's yes and ours, so that nobody knows: a rare double, or a person who looks.
    `expires_after`: counted from the moment the letter was due; later it is not sent.
    """

    name: str
    about_an_agreed_visit: bool
    when_unsure: WhenUnsure
    may_break_quiet_hours: bool
    counts_toward_daily_limit: bool
    expires_after: dt.timedelta

    @property
    def is_reminder(self) -> bool:
        return not self.about_an_agreed_visit


def _visit(name: str, expires_after: dt.timedelta, *, at_night: bool = False) -> LetterKind:
    """About a visit: silence would cost a broken promise, a double costs a smile."""
    return LetterKind(
        name=name,
        about_an_agreed_visit=True,
        when_unsure="send_again",
        may_break_quiet_hours=at_night,
        counts_toward_daily_limit=False,
        expires_after=expires_after,
    )


def _agreement(name: str, expires_after: dt.timedelta) -> LetterKind:
    """About what was agreed and what is due for it: silence would cost more than a double."""
    return _visit(name, expires_after)


def _reminder(name: str, expires_after: dt.timedelta) -> LetterKind:
    """To a homeowner: a double is a nuisance, a lost one comes again with the next occasion."""
    return LetterKind(
        name=name,
        about_an_agreed_visit=False,
        when_unsure="keep_back",
        may_break_quiet_hours=False,
        counts_toward_daily_limit=True,
        expires_after=expires_after,
    )


def _hours(hours: float) -> dt.timedelta:
    return dt.timedelta(hours=hours)


def _days(days: int) -> dt.timedelta:
    return dt.timedelta(days=days)


_ALL = (
    _visit("offer", _days(3)),
    _visit("second_offer", _days(2)),
    _visit("promise_confirmed", _days(2)),
    _visit("promise_moved", _days(2)),
    _visit("promise_cancelled", _days(2)),
    _visit("day_before", _hours(14)),
    # The truck is rolling, the customer is awaited: worthless half an hour later.
    _visit("on_the_way", _hours(0.5), at_night=True),
    # Of work that was done: read days later it is as good, so it may wait for a mended address.
    _visit("report", _days(14)),
    # Answers what the customer has sent a moment ago.
    _visit("no_start_received", _hours(12), at_night=True),
    _agreement("agreement_to_sign", _days(14)),
    _agreement("renewal", _days(14)),
    _agreement("payment_due", _days(6)),
    _agreement("payment_overdue", _days(10)),
    _agreement("receipt", _days(14)),
    # Offers what nobody has agreed on: it can be stopped like a reminder.
    _reminder("lapsed", _days(10)),
    _reminder("filter", _days(10)),
    _reminder("cover_off", _days(10)),
    _reminder("cover_on", _days(10)),
    _reminder("plants", _days(10)),
    _reminder("rinse", _days(10)),
    _reminder("returns", _days(10)),
)
KINDS: dict[str, LetterKind] = {kind.name: kind for kind in _ALL}


def kind_of(name: str) -> LetterKind:
    """The kind of that name. Raises ValueError naming those there are."""
    if name not in KINDS:
        raise ValueError(f"There is no letter kind {name!r}; there are {', '.join(KINDS)}.")
    return KINDS[name]
