"""What is on file about a customer, in words: what goes when it is taken out, and what stays."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass

from agreements.accounts import account_of
from agreements.models import Agreement
from customers.models import Customer
from front.personal.belongings import Belongings
from front.personal.sheets import sheets_naming
from front.personal.traces import names_of
from kit.words import counted
from letters.models.letter import IN_HAND
from scheduling.states import STANDING


@dataclass(frozen=True, slots=True)
class Inventory:
    """Sentences for the owner. `obstacles`: what has to be settled before anything is taken out."""

    goes: tuple[str, ...]
    stays: tuple[str, ...]
    obstacles: tuple[str, ...]


def inventory_of(customer: Customer, today: dt.date) -> Inventory:
    hers = Belongings(customer)
    return Inventory(
        tuple(_goes(customer, hers)), tuple(_stays(hers)), tuple(obstacles_of(hers, today))
    )


def _goes(customer: Customer, hers: Belongings) -> Iterator[str]:
    yield "Name, telephones, e-mail address and notes of the customer"
    homes, systems = hers.homes.count(), hers.systems.count()
    yield (
        f"Street, town, place, gate code, dog, notes and habits of {counted(homes, 'home')}, and "
        f"serial numbers and notes of {counted(systems, 'system')}"
    )
    letters = hers.letters.count()
    yield f"Address, words and calendar entries of {counted(letters, 'letter')}, and every link"
    records, photos = hers.records.count(), hers.photos.count()
    yield (
        f"{counted(photos, 'photo')}, and names, signatures and notes of "
        f"{counted(records, 'record')}, with what the phones sent"
    )
    yield "Signed names and free words of agreements, visits and their histories"
    yield "What was said on the no-start page, and other spellings of the homes"
    if sheets := sheets_naming(customer.branch, names_of(customer)):
        yield (
            f"{counted(len(sheets), 'imported sheet')} that names the customer, whole: a line "
            "cannot be taken out of it"
        )


def _stays(hers: Belongings) -> Iterator[str]:
    yield (
        f"{counted(hers.agreements.count(), 'agreement')} without a name: plan, term, price, and "
        "when and by whom of the staff each was changed"
    )
    yield (
        f"{counted(hers.charges.count(), 'charge')}, {counted(hers.payments.count(), 'payment')} "
        f"and {counted(hers.refunds.count(), 'refund')}: the books must keep them"
    )
    yield (
        f"{counted(hers.visits.count(), 'visit')} and {counted(hers.entries.count(), 'reading')}: "
        "days, technicians, what was measured and which parts were used, tied to no address"
    )
    yield "Who of the staff looked at the homes, and when"
    yield "Older backups, until they are thrown away: they cannot be changed"


def obstacles_of(hers: Belongings, today: dt.date) -> Iterator[str]:
    """What still has to be done with the customer, so her data are still needed."""
    running = hers.agreements.not_ended_by(today).filter(ends_on__gte=today)
    if count := running.count():
        yield f"{counted(count, 'agreement')} still running or to come: cancel first"
    if count := hers.visits.filter(state__in=STANDING).count():
        yield f"{counted(count, 'visit')} still with a time: call off first"
    if any(_unsettled(agreement, today) for agreement in hers.agreements):
        yield "Money is still due or has to go back: settle it first"
    if hers.letters.filter(state__in=IN_HAND).exists():
        yield "A letter is just going out: try again in a few minutes"


def _unsettled(agreement: Agreement, today: dt.date) -> bool:
    account = account_of(agreement)
    return bool(account.due_now(today) or account.to_go_back)
