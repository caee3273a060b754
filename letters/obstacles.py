"""What stands in a letter's way, looked at just before it is sent."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from django.db.models import Q

from letters.hours import next_allowed
from letters.kinds import KINDS, LetterKind, kind_of
from letters.models import BadAddress, Letter, LetterState, Stop

COUNTED = [kind.name for kind in KINDS.values() if kind.counts_toward_daily_limit]


@dataclass(frozen=True, slots=True)
class Obstacle:
    """The state the letter goes to instead, in words why, and when it is due again."""

    state: str
    words: str
    due_at: dt.datetime | None = None


def obstacle_to(letter: Letter, now: dt.datetime) -> Obstacle | None:
    """The first thing in the way; None: it may go."""
    kind = kind_of(letter.kind)
    if letter.expires_at and letter.expires_at < now:
        return Obstacle(LetterState.WITHDRAWN, "too late to be of use")
    if BadAddress.objects.filter(email=letter.to_email.lower()).exists():
        return Obstacle(LetterState.FAILED, "this address cannot be reached")
    if _stopped(letter, kind):
        return Obstacle(LetterState.WITHDRAWN, "the customer stopped these letters")
    return _too_early(letter, kind, now)


def _stopped(letter: Letter, kind: LetterKind) -> bool:
    """Stopping a reminder stops its kind; only stopping everything stops an agreed visit's."""
    stops = Stop.objects.filter(customer=letter.customer)
    wanted = Q(kind="") | Q(kind=kind.name) if kind.is_reminder else Q(kind="")
    return stops.filter(wanted).exists()


def _too_early(letter: Letter, kind: LetterKind, now: dt.datetime) -> Obstacle | None:
    branch = letter.customer.branch
    sender, zone = branch.sender, branch.zone
    if not kind.may_break_quiet_hours:
        allowed = next_allowed(now, zone, sender.quiet_from, sender.quiet_until)
        if allowed > now:
            return Obstacle(LetterState.WAITING, "quiet hours", allowed)
    if kind.counts_toward_daily_limit:
        midnight = dt.datetime.combine(now.astimezone(zone).date(), dt.time(), zone)
        today = Letter.objects.filter(customer=letter.customer, kind__in=COUNTED)
        gone = Q(sent_at__gte=midnight) | Q(state=LetterState.SENDING)
        if today.filter(gone).count() >= sender.daily_limit:
            tomorrow = next_allowed(
                midnight + dt.timedelta(days=1), zone, sender.quiet_from, sender.quiet_until
            )
            return Obstacle(LetterState.WAITING, "enough letters for one day", tomorrow)
    return None
