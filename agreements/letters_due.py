"""Which agreements a letter is due about. How early and how often are own choices, no source."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from django.db.models import CharField, Exists, OuterRef, Value
from django.db.models.functions import Cast, Concat

from agreements.accounts import accounts_of
from agreements.models import Agreement, Charge
from agreements.models.agreement import AgreementQuerySet
from agreements.models.plan import MOST_NOTICE_DAYS
from agreements.money.schedule import Due
from agreements.renewals import without_a_next_term
from letters.models import Letter, LetterState
from shop.models import Branch

BEFORE_NOTICE_DAYS = 15  # to think it over before the notice is due
LAPSED_AFTER, LAPSED_UNTIL = 14, 28  # days after the end
DUE_WITHIN = 7
OVERDUE_FROM, OVERDUE_UNTIL = 10, 40
LATE_START_DAYS = 7  # a worker that stood still for a week still begins the terms of that week


def renewals_to_announce(branch: Branch, today: dt.date) -> list[Agreement]:
    """Terms that end soon and were not declined, whether the next one is written down or not."""
    last = today + dt.timedelta(days=MOST_NOTICE_DAYS + BEFORE_NOTICE_DAYS)
    ending = _with_all(Agreement.objects.of(branch).ending_between(today, last))
    return [one for one in ending.filter(declined_on=None) if _announced_from(one) <= today]


def _announced_from(agreement: Agreement) -> dt.date:
    ahead = agreement.version.notice_days + BEFORE_NOTICE_DAYS
    return agreement.ends_on - dt.timedelta(days=ahead)


def lapsed_without_word(branch: Branch, today: dt.date) -> list[Agreement]:
    """Terms that ended two to four weeks ago and neither went on nor were declined."""
    first, last = (today - dt.timedelta(days=days) for days in (LAPSED_UNTIL, LAPSED_AFTER))
    ended = Agreement.objects.of(branch).ending_between(first, last).filter(declined_on=None)
    return list(_with_all(without_a_next_term(ended)))


def to_begin_by_itself(branch: Branch, today: dt.date) -> AgreementQuerySet:
    """Terms that have ended, whose customer agreed to renewal and was sent the notice of it."""
    first, last = today - dt.timedelta(days=LATE_START_DAYS), today - dt.timedelta(days=1)
    ended = Agreement.objects.of(branch).ending_between(first, last).filter(renews=True)
    about = Concat(Value("agreement:"), Cast(OuterRef("pk"), CharField()))
    told = Letter.objects.filter(kind="renewal", state=LetterState.SENT, about=about)
    return _with_all(without_a_next_term(ended).filter(Exists(told)))


@dataclass(frozen=True, slots=True)
class Overdue:
    """A payment that a letter is to mention, and the kind of that letter."""

    agreement: Agreement
    kind: str
    due: Due


def payments_to_mention(branch: Branch, today: dt.date) -> list[Overdue]:
    """What is due within a week, or overdue since ten days, and not written about yet."""
    first, last = today - dt.timedelta(days=OVERDUE_UNTIL), today + dt.timedelta(days=DUE_WITHIN)
    charged = Charge.objects.of(branch).standing().filter(due_on__range=(first, last))
    agreements = {a.pk: a for a in _with_all(Agreement.objects.filter(charges__in=charged))}
    wanted = [
        Overdue(agreements[pk], kind, due)
        for pk, account in accounts_of(agreements.values()).items()
        for due in account.dues
        if due.on >= first and (kind := _kind(due, today))
    ]
    written = set(
        Letter.objects.filter(
            kind__in=["payment_due", "payment_overdue"],
            about__in=[f"agreement:{pk}" for pk in agreements],
        ).values_list("about", "kind", "occasion")
    )
    return [
        one
        for one in wanted
        if (f"agreement:{one.agreement.pk}", one.kind, f"{one.due.key}") not in written
    ]


def _kind(due: Due, today: dt.date) -> str:
    late = (today - due.on).days
    if -DUE_WITHIN <= late <= 0:
        return "payment_due"
    return "payment_overdue" if OVERDUE_FROM <= late <= OVERDUE_UNTIL else ""


def not_written(kind: str, about: Mapping[str, tuple[Agreement, str]]) -> Sequence[Agreement]:
    """Those of them of which this occasion has no letter yet."""
    written = set(
        Letter.objects.filter(kind=kind, about__in=list(about)).values_list("about", "occasion")
    )
    return [one for thing, (one, occasion) in about.items() if (thing, occasion) not in written]


def _with_all(agreements: AgreementQuerySet) -> AgreementQuerySet:
    return agreements.select_related("plan", "version", "home__customer__branch").distinct()
