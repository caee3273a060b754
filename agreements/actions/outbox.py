"""Verbs that write letters about agreements. Each occasion is written once, however often asked."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence

from django.db import transaction
from django.utils import translation
from django.utils.formats import date_format

from agreements.actions.agreeing import renew_agreement, renewal_price, renewal_version
from agreements.actions.changing import about
from agreements.actions.events import note
from agreements.letters_due import (
    Overdue,
    lapsed_without_word,
    not_written,
    payments_to_mention,
    renewals_to_announce,
    to_begin_by_itself,
)
from agreements.models import Agreement, Payment, What
from agreements.money.amounts import dollars
from letters.actions.write import write_letter
from letters.links import link_for
from letters.models import Letter, Link
from shop.models import Branch, User

LINK = "agreement"  # the purpose of a link to the agreement's own page, and its name in a letter
LINK_LASTS = dt.timedelta(days=500)  # a term, and time to answer after it


def own_link(*, agreement: Agreement, now: dt.datetime) -> Link:
    """The customer's way to the page of this agreement, without an account."""
    return link_for(
        purpose=LINK,
        about=about(agreement),
        now=now,
        customer=agreement.customer,
        lasts=LINK_LASTS,
    )


@transaction.atomic
def send_to_sign(*, agreement: Agreement, now: dt.datetime, by: User) -> Letter | None:
    """Ask the customer to read and sign; each press is a letter of its own. None: no e-mail."""
    sent = agreement.events.filter(what=What.SENT).count()
    letter = _write(agreement, "agreement_to_sign", f"{sent + 1}", now, {
        "term_starts": agreement.starts_on,
        "term_ends": agreement.ends_on,
        "price": dollars(agreement.price),
    })  # fmt: skip
    if letter is not None:
        note(agreement=agreement, what=What.SENT, words=f"To {letter.to_email}", by=by)
    return letter


def write_receipt(*, payment: Payment, now: dt.datetime) -> Letter | None:
    """Thank for a payment."""
    facts = {"amount": dollars(payment.amount), "paid_on": payment.on}
    return _write(payment.agreement, "receipt", f"{payment.pk}", now, facts)


def write_due_letters(*, branch: Branch, today: dt.date, now: dt.datetime) -> int:
    """Write what is due today about every agreement of a branch; returns how many. Repeatable."""
    return (
        _announce_renewals(renewals_to_announce(branch, today), now)
        + _ask_the_lapsed(lapsed_without_word(branch, today), now)
        + _mention_payments(payments_to_mention(branch, today), now)
    )


def begin_agreed_terms(*, branch: Branch, today: dt.date) -> int:
    """Begin the next terms that customers agreed to and were written about; returns how many."""
    agreed = list(to_begin_by_itself(branch, today))
    for agreement in agreed:
        renew_agreement(agreement=agreement)
    return len(agreed)


def _announce_renewals(agreements: Sequence[Agreement], now: dt.datetime) -> int:
    new = not_written("renewal", {about(a): (a, f"{a.ends_on}") for a in agreements})
    return sum(_announce(agreement, now) is not None for agreement in new)


def _announce(agreement: Agreement, now: dt.datetime) -> Letter | None:
    version = renewal_version(agreement)
    price = renewal_price(agreement, version)
    notice = dt.timedelta(days=agreement.version.notice_days)
    facts = {
        "term_ends": agreement.ends_on,
        "next_starts": agreement.next_term().starts_on,
        "answer_until": max(agreement.ends_on - notice, now.date() + dt.timedelta(days=7)),
        "price": dollars(price),
        "by_itself": agreement.renews,
    }
    if price != agreement.price:
        facts["old_price"] = dollars(agreement.price)
    return _write(agreement, "renewal", f"{agreement.ends_on}", now, facts)


def _ask_the_lapsed(agreements: Sequence[Agreement], now: dt.datetime) -> int:
    new = not_written("lapsed", {about(a): (a, f"{a.ends_on}") for a in agreements})
    written = [
        _write(agreement, "lapsed", f"{agreement.ends_on}", now, {"term_ends": agreement.ends_on})
        for agreement in new
    ]
    return sum(letter is not None for letter in written)


def _mention_payments(found: Iterable[Overdue], now: dt.datetime) -> int:
    written = [
        _write(
            mention.agreement, mention.kind, f"{mention.due.key}", now,
            {"amount": dollars(mention.due.amount), "due": mention.due.on},
        )
        for mention in found
    ]  # fmt: skip
    return sum(letter is not None for letter in written)


def _write(
    agreement: Agreement, kind: str, occasion: str, now: dt.datetime, facts: dict[str, object]
) -> Letter | None:
    """Days are said in the customer's language, with their year."""
    home, customer = agreement.home, agreement.customer
    if not customer.email:
        return None
    with translation.override(customer.language):
        said = {
            name: date_format(value, "DATE_FORMAT") if isinstance(value, dt.date) else value
            for name, value in facts.items()
        }
    link = own_link(agreement=agreement, now=now)
    address = f"{home.street} {home.unit}".strip() + f", {home.city}"
    return write_letter(
        customer=customer,
        kind=kind,
        about=about(agreement),
        occasion=occasion,
        now=now,
        facts={
            "plan": agreement.plan.name,
            "address": address,
            **said,
            "links": {LINK: [link.pk, "agreements:yours"]},
        },
    )
