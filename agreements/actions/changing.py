"""Verbs that change a running agreement: another plan, another owner of the home, a pause."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from decimal import Decimal

from django.db import transaction

from agreements.accounts import account_of
from agreements.actions.agreeing import owed_of
from agreements.actions.charging import ask_for_term, settle_charges
from agreements.actions.events import AgreementRefused, locked, note
from agreements.actions.next_term import call_off_next
from agreements.actions.owing import end_early, move_around_pause, move_back, owe_these
from agreements.actions.paying import move_money
from agreements.actions.plans import version_on
from agreements.models import Agreement, Ended, Plan, PlanVersion, What
from agreements.money.amounts import dollars
from agreements.money.proration import (
    KEEP_DAYS,
    Computed,
    Span,
    Stay,
    plan_change,
    prorated,
    settle_ending,
)
from agreements.terms import Term, owed_in, term
from customers.actions import refresh_search_text, save_customer
from customers.models import Customer, Home
from letters.links import revoke_links
from shop.models import User


@dataclass(frozen=True)
class PlanChange:
    """What a change of plan does: the terms, the rest of the term, what it costs."""

    version: PlanVersion
    whole: Term
    begins: dt.date
    price: Decimal
    computed: Computed

    @property
    def same_end(self) -> bool:
        """Does the term go on to its end? Else a new term begins that day."""
        return self.whole.starts_on < self.begins


def plan_change_of(agreement: Agreement, plan: Plan, on: dt.date) -> PlanChange:
    """What going on with another plan from `on` means; changes nothing.

    Plans with terms of one length share the end of the term; otherwise a new term begins.
    """
    version, old = version_on(plan=plan, day=on), agreement.version
    if version.term_months == old.term_months:
        whole = Term(agreement.term_number, agreement.starts_on, agreement.ends_on)
    else:
        whole = term(on, version.term_months, 0)
    price, rest = version.price_for(agreement.systems.count()), _stay(version, whole, on)
    computed = plan_change(
        old_price=agreement.price,
        old=Stay(agreement.span, on, 0, 0),
        new_price=price,
        new=rest,
        rule=version.proration_rule,
    )
    part = prorated(price, rest, version.proration_rule).amount
    return PlanChange(version, whole, on, part, computed)


def _stay(version: PlanVersion, whole: Term, begins: dt.date) -> Stay:
    left, visits = owed_of(version, whole, begins), owed_in(whole, **version.checks)
    return Stay(Span(whole.starts_on, whole.ends_on), begins, len(left), len(visits))


@transaction.atomic
def change_plan(*, agreement: Agreement, plan: Plan, on: dt.date, by: User) -> Agreement:
    """Go on with another plan from a day: the old agreement ends, a new one takes its place.

    The old one keeps its terms and what was earned on them by days (ASC 606-10-25-13(a): the end
    of one contract and the beginning of another); what was paid beyond counts for the new one.
    """
    old = locked(agreement)
    _check_running(old, on)
    if plan == old.plan:
        raise AgreementRefused("That is the plan it has.")
    if old.home.agreements.filter(plan=plan, starts_on=on).exists():
        raise AgreementRefused("An agreement on that plan began on that day; choose another day.")
    change = plan_change_of(old, plan, on)
    earned = settle_ending(
        price=old.price, paid=old.price, due=old.price, whole=old.span, ends=on, rule=KEEP_DAYS
    ).kept
    new = _successor(old, change)
    end_early(agreement=old, on=on, because=Ended.PLAN_CHANGED, why=f"went on with {plan}")
    settle_charges(agreement=old, kept=earned, ends=on)
    call_off_next(agreement=old, why=f"went on with {plan}", today=on)
    if surplus := account_of(old).to_go_back:
        move_money(old=old, new=new, amount=surplus, on=on, by=by)
    words = f"{old.plan} becomes {change.version} from {on:%B %-d, %Y}: " + _costs(change.computed)
    note(agreement=old, what=What.PLAN_CHANGED, words=words, by=by)
    note(agreement=new, what=What.PLAN_CHANGED, words=words, by=by)
    return new


def _successor(old: Agreement, change: PlanChange) -> Agreement:
    new = Agreement.objects.create(
        home=old.home,
        plan=change.version.plan,
        version=change.version,
        anchor_on=old.anchor_on if change.same_end else change.begins,
        term_number=change.whole.number,
        starts_on=change.begins,
        ends_on=change.whole.ends_on,
        price=change.price,
        rhythm=old.rhythm,
        renews=old.renews,
    )
    new.systems.set(old.systems.all())
    done = set(old.owed_visits.exclude(closed="").values_list("kind", "number"))
    owed = owed_of(change.version, change.whole, change.begins)
    owe_these(owed={new: [visit for visit in owed if (visit.kind, visit.number) not in done]})
    ask_for_term(agreement=new)
    return new


def _costs(computed: Computed) -> str:
    if computed.amount < 0:
        return f"{dollars(-computed.amount)} less this term"
    return f"{dollars(computed.amount)} more this term"


def _check_running(agreement: Agreement, on: dt.date) -> None:
    if agreement.cancelled_on:
        raise AgreementRefused("This agreement has ended; nothing of it changes any more.")
    if not agreement.starts_on < on <= agreement.ends_on:
        first = agreement.starts_on + dt.timedelta(days=1)
        raise AgreementRefused(
            f"Choose a day from {first:%B %-d, %Y} to {agreement.ends_on:%B %-d, %Y}."
        )


@transaction.atomic
def transfer(
    *, agreement: Agreement, to: Customer, on: dt.date, now: dt.datetime, by: User
) -> Agreement:
    """The home was sold: it and its agreements pass to the new owner, with what is paid and owed.

    `to` may be somebody new, who is written down with it.

    The new owner has not agreed to renewal nor signed yet. Links of the old one end.
    """
    home = Home.objects.select_for_update().select_related("customer").get(pk=agreement.home_id)
    seller = home.customer
    if to == seller:
        raise AgreementRefused(f"{to} owns this home already.")
    if to.branch_id != seller.branch_id:
        raise AgreementRefused("The new owner is a customer of another branch.")
    if to.pk and to.homes.filter(street=home.street, unit=home.unit, zip=home.zip).exists():
        raise AgreementRefused(f"{to} has a home at this address on file already.")
    passing = home.agreements.not_ended_by(on).filter(ends_on__gte=on)
    if not passing.filter(pk=agreement.pk).exists():
        raise AgreementRefused("This agreement has ended; it cannot be passed on.")
    if to.pk is None:
        save_customer(customer=to)
    for one in passing:
        words = f"From {seller} to {to} on {on:%B %-d, %Y}, when the home was sold"
        note(agreement=one, what=What.PASSED_ON, words=words, by=by)
        revoke_links(about=about(one), now=now)
    passing.update(
        acquired_from=seller, renews=False, signed_at=None, signed_by="", declined_on=None,
        why_declined="",
    )  # fmt: skip
    save_under(home=home, owner=to)
    agreement.refresh_from_db()
    return agreement


def save_under(*, home: Home, owner: Customer) -> None:
    """Write the home under its new owner, so that a search finds it there."""
    home.customer = owner
    refresh_search_text(home=home)
    home.save(update_fields=["customer", "search_text"])


def about(agreement: Agreement) -> str:
    """What letters and links about an agreement carry."""
    return f"agreement:{agreement.pk}"


@transaction.atomic
def pause(*, agreement: Agreement, first: dt.date, last: dt.date, why: str, by: User) -> int:
    """Nobody comes from `first` to `last`; what is owed then is owed before or after.

    Neither term nor price change. Returns how many due windows moved.
    """
    paused = locked(agreement)
    _check_pause(paused, first, last)
    paused.paused_from, paused.paused_until = first, last
    paused.save(update_fields=["paused_from", "paused_until"])
    moved = move_around_pause(agreement=paused, first=first, last=last)
    words = f"{first:%B %-d, %Y} to {last:%B %-d, %Y}: {why}"
    note(agreement=paused, what=What.PAUSED, words=words, by=by)
    return moved


def _check_pause(agreement: Agreement, first: dt.date, last: dt.date) -> None:
    if agreement.cancelled_on:
        raise AgreementRefused("This agreement has ended; it cannot pause.")
    if agreement.paused_from:
        raise AgreementRefused("It pauses already; resume it before you enter another pause.")
    if last < first:
        raise AgreementRefused("A pause ends on or after its first day.")
    if first > agreement.ends_on or last < agreement.starts_on:
        raise AgreementRefused("The pause lies outside the term.")


@transaction.atomic
def resume(*, agreement: Agreement, by: User) -> Agreement:
    """End a pause: what is still owed is due when the term says."""
    paused = locked(agreement)
    if paused.paused_from is None:
        raise AgreementRefused("It does not pause.")
    paused.paused_from = paused.paused_until = None
    paused.save(update_fields=["paused_from", "paused_until"])
    move_back(agreement=paused)
    note(agreement=paused, what=What.RESUMED, words="What is owed is due as before", by=by)
    return paused


@transaction.atomic
def note_complaint(*, agreement: Agreement, words: str, by: User) -> None:
    """Keep what the customer was unhappy about."""
    note(agreement=agreement, what=What.COMPLAINT, words=words, by=by)
