"""What waits about letters, agreements, sheets and backups."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

from django.db.models import Count
from django.urls import reverse

from agreements.debts import overdue
from agreements.forms import ENDING
from agreements.models import SpreadsheetImport
from agreements.money.amounts import dollars
from agreements.renewals import SOON_DAYS, ending_soon
from front.models import Backup
from front.today.decision import Decision, first
from letters.models import BadAddress, Letter, LetterState
from shop.models import Branch


def letters(branch: Branch) -> Iterator[Decision]:
    """Letters that a person has to settle, and addresses that nothing reaches."""
    words = {
        LetterState.UNSURE: ("letter may have arrived or not", "letters may have arrived or not"),
        LetterState.FAILED: ("letter was given up", "letters were given up"),
    }
    counts = Letter.objects.of(branch).filter(state__in=words).values_list("state")
    for state, count in counts.annotate(count=Count("pk")).order_by("-state"):
        one, many = words[LetterState(state)]
        url = reverse("letters:outbox") + f"?state={state}"
        yield Decision(count, one if count == 1 else many, url, "Look at the letters")
    if count := BadAddress.objects.of(branch).unseen().count():
        said = f"e-mail {'address does' if count == 1 else 'addresses do'} not work"
        yield Decision(count, said, reverse("letters:bad-addresses"), "Look at the addresses")


def agreements_ending(branch: Branch, today: dt.date) -> Iterator[Decision]:
    if count := ending_soon(branch, today).count():
        words = f"{'agreement ends' if count == 1 else 'agreements end'} within {SOON_DAYS} days"
        url = reverse("agreements:list") + f"?show={ENDING}"
        yield Decision(count, words, url, "Look at the agreements")


def overdue_payments(branch: Branch, today: dt.date) -> Iterator[Decision]:
    found = overdue(branch, today)
    if found.agreements:
        words = "agreement has an overdue payment"
        if found.agreements > 1:
            words = "agreements have overdue payments"
        words += f", {dollars(found.amount)} in all"
        yield Decision(found.agreements, words, reverse("agreements:due"), "Look at what is due")


def unfinished_imports(branch: Branch) -> Iterator[Decision]:
    """Spreadsheets that were read and not brought in."""
    unfinished = SpreadsheetImport.objects.of(branch).filter(brought_in_at=None)
    names = list(unfinished.values_list("file_name", flat=True))
    if names:
        words = f"{'sheet' if len(names) == 1 else 'sheets'} not brought in yet"
        yield Decision(
            len(names), words, reverse("agreements:import"), "Look at the rows", first(names)
        )


def backup(branch: Branch) -> str:
    """How old the last good backup is, and whether it was proven."""
    last = Backup.objects.first()
    good = Backup.objects.filter(trouble="").first() if last and last.trouble else last
    if good is None:
        trouble = f" The last try failed: {last.trouble}" if last else ""
        return f"There is no backup yet.{trouble}"
    said = f"The last good backup was made on {good.made_at.astimezone(branch.zone):%B %-d, %Y}"
    if good.verified_at:
        said += f" and proven on {good.verified_at.astimezone(branch.zone):%B %-d}"
    if last and last.trouble:
        return f"{said}. A later one failed: {last.trouble}"
    return f"{said}."
