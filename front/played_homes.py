"""What homes do in a played spring between visits: filters, covers, no-starts, payments.

Reminders are decided by the verb of each morning; what is invented is chance alone (shares of this
project, no source): who answers a letter, whose system does not start, who pays and who does not.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from random import Random

from agreements.actions.paying import record_payment
from agreements.debts import TO_GO_BACK, debts_of
from agreements.models import How
from customers.models import Filter, Home
from letters.models import Letter, LetterState
from reminders.actions.decide import decide_reminders
from reminders.actions.told import report_no_start, take_up, tell_cover, tell_filter_changed
from reminders.facts import about_of
from reminders.models import EventKind, NoStart, Outcome
from reminders.no_start import CHECKS
from reminders.tasks import undecided
from shop.models import Branch, Role, User

ANSWERED = 0.4  # of the letters about a filter or a cover, on the day after
FIRST_COOL_F, NO_STARTS_A_DAY = 74.0, 2  # homes try their cooling on a warm day
STARTED_AGAIN = 0.6
PAYS_A_DAY = 0.12
NEVER_PAYS = 4  # one agreement of so many does not pay this spring
COVERS = (EventKind.COVER_OFF, EventKind.COVER_ON)
DAY = dt.timedelta(days=1)
Note = Callable[[str, int], None]


class PlayedHomes:
    """The homes of one branch. `note`: told what happened and how often."""

    def __init__(self, branch: Branch, seed: int) -> None:
        self.branch = branch
        self.chance = Random(f"homes of {seed}")  # noqa: S311  (repeatable, not secret)

    def morning(self, now: dt.datetime, note: Note) -> None:
        """Reminders are written; yesterday's letters are answered; the office calls back."""
        today = now.astimezone(self.branch.zone).date()
        if self.branch in undecided(now):
            written = decide_reminders(branch=self.branch, today=today, now=now)
            note("reminded", written.letters)
        note("told of a filter or cover", self._answers(today, now))
        for no_start in NoStart.objects.of(self.branch).to_call().order_by("pk"):
            if office := self._office():
                take_up(no_start=no_start, by=office, now=now)

    def afternoon(self, now: dt.datetime, high_f: float, note: Note) -> None:
        """Who tries the cooling on a warm day finds out whether it starts; others pay."""
        if high_f >= FIRST_COOL_F:
            for _ in range(self.chance.randint(0, NO_STARTS_A_DAY)):
                note(self._no_start(now), 1)
        note("paid", self._payments(now.astimezone(self.branch.zone).date()))

    def _answers(self, today: dt.date, now: dt.datetime) -> int:
        letters = Letter.objects.of(self.branch).filter(
            kind__in=("filter", *COVERS), state=LetterState.SENT,
            sent_at__gte=now - DAY, sent_at__lt=now,
        ).order_by("pk")  # fmt: skip
        told = 0
        for letter in letters:
            if self.chance.random() >= ANSWERED:
                continue
            told += self._tell(letter, today, now)
        return told

    def _tell(self, letter: Letter, today: dt.date, now: dt.datetime) -> bool:
        if letter.kind in COVERS:
            home = Home.objects.get(pk=int(letter.about.removeprefix("home:")))
            tell_cover(home=home, kind=letter.kind, on=today, now=now)
            return True
        filter_ = Filter.objects.filter(pk=about_of(letter.occasion)).first()
        if filter_ is not None:
            tell_filter_changed(filter_=filter_, on=today, now=now)
        return filter_ is not None

    def _no_start(self, now: dt.datetime) -> str:
        """By the guide: through the safe checks until one helps, or to a call."""
        homes = Home.objects.filter(customer__branch=self.branch, agreements__isnull=False)
        home = self.chance.choice(list(homes.distinct().order_by("pk")))
        ids = [check.id for check in CHECKS]
        solved = self.chance.random() < STARTED_AGAIN
        at = self.chance.randrange(len(ids)) if solved else len(ids) - 1
        report_no_start(
            home=home,
            outcome=Outcome.SOLVED if solved else Outcome.CALL,
            tried=ids[: at + 1],
            ended_at_check=ids[at] if solved else "",
            words="" if solved else "Nothing happens outside, and the air is warm.",
            now=now,
        )
        return "ran again by the guide" if solved else "no-start to call"

    def _payments(self, today: dt.date) -> int:
        """Each who owes pays the whole within some days; a few do not, and stay overdue."""
        office, paid = self._office(), 0
        if office is None:
            return paid
        for debt in debts_of(self.branch, today).rows:
            never = debt.column == TO_GO_BACK or debt.agreement.pk % NEVER_PAYS == 0
            if never or self.chance.random() >= PAYS_A_DAY:
                continue
            how = self.chance.choice((How.CHECK, How.CHECK, How.CARD, How.TRANSFER))
            number = str(self.chance.randint(1001, 9999)) if how == How.CHECK else ""
            record_payment(
                agreement=debt.agreement, amount=debt.amount, on=today, how=how,
                reference=number, by=office,
            )  # fmt: skip
            paid += 1
        return paid

    def _office(self) -> User | None:
        """Who writes it down: of the branch's office, else an owner."""
        people = User.objects.filter(role__in=(Role.OFFICE, Role.OWNER), is_active=True)
        return people.filter(branch__in=(self.branch,)).first() or people.order_by("pk").first()
