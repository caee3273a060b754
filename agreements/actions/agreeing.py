"""Verbs that begin a term: the first one, and the next."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from decimal import Decimal
from typing import Any

from django.db import transaction

from agreements.actions.charging import ask_for_term
from agreements.actions.events import AgreementRefused, note
from agreements.actions.owing import close_checks_on_file, owe_these, owe_visits, revive
from agreements.actions.plans import version_on
from agreements.models import Agreement, Ended, Plan, PlanVersion, Rhythm, What
from agreements.models.plan import PlanTerms
from agreements.money.amounts import dollars
from agreements.money.proration import Computed, Span, Stay, prorated
from agreements.terms import Owed, Term, owed_from, owed_in, term
from customers.models import Home, System
from kit.when import add_months
from shop.models import Branch, User


def first_term(version: PlanVersion, starts_on: dt.date, ends_on: dt.date | None) -> Term:
    """The whole term in which an agreement begins; `ends_on` None: a whole one from that day."""
    if ends_on is None:
        return term(starts_on, version.term_months, 0)
    after = ends_on + dt.timedelta(days=1)
    return Term(0, add_months(after, -version.term_months), ends_on)


def owed_of(version: PlanVersion, whole: Term, starts_on: dt.date) -> list[Owed]:
    """What an agreement owes that begins on that day inside a whole term."""
    return owed_from(whole, starts_on, **version.checks)


def price_of_first_term(
    version: PlanVersion, systems: int, whole: Term, starts_on: dt.date
) -> Computed:
    """What the first term costs: a whole price, or a part of it by the plan's rule."""
    price = version.price_for(systems)
    if starts_on <= whole.starts_on:
        return prorated(price, _stay(version, whole, whole.starts_on), "whole_price")
    return prorated(price, _stay(version, whole, starts_on), version.proration_rule)


def _stay(version: PlanVersion, whole: Term, begins: dt.date) -> Stay:
    left = len(owed_of(version, whole, begins))
    visits = len(owed_in(whole, **version.checks))
    return Stay(Span(whole.starts_on, whole.ends_on), begins, left, visits)


@transaction.atomic
def sell_agreement(
    *,
    home: Home,
    plan: Plan,
    starts_on: dt.date,
    systems: Iterable[System] = (),
    ends_on: dt.date | None = None,
    by: User,
    **more: Any,
) -> Agreement:
    """Make an agreement unless the plan covers one of the systems on these days already.

    `more` as for make_agreement. Raises AgreementRefused, naming the one in the way.
    """
    covered = list(systems)
    Home.objects.select_for_update().get(pk=home.pk)  # of two at once, one sees the other
    whole = first_term(version_on(plan=plan, day=starts_on), starts_on, ends_on)
    if twin := overlapping(home, plan, covered, starts_on, whole.ends_on):
        raise AgreementRefused(twin_words(twin))
    return make_agreement(
        home=home, plan=plan, starts_on=starts_on, systems=covered, ends_on=ends_on, by=by, **more
    )


@transaction.atomic
def make_agreement(
    *,
    home: Home,
    plan: Plan,
    starts_on: dt.date,
    systems: Iterable[System] = (),
    price: Decimal | None = None,
    renews: bool = True,
    rhythm: str = Rhythm.YEARLY,
    ends_on: dt.date | None = None,
    by: User | None = None,
) -> Agreement:
    """Begin the first term of an agreement; write down what it owes and what is due for it.

    `price` None means the plan's price for that many systems. `ends_on` None: after a whole
    term; an earlier day makes a short first term, priced by the plan's rule.
    """
    covered, version = list(systems), version_on(plan=plan, day=starts_on)
    whole = first_term(version, starts_on, ends_on)
    if price is None:
        price = price_of_first_term(version, len(covered), whole, starts_on).amount
    agreement = Agreement.objects.create(
        home=home,
        plan=plan,
        version=version,
        anchor_on=whole.starts_on,
        starts_on=starts_on,
        ends_on=whole.ends_on,
        price=price,
        rhythm=rhythm,
        renews=renews,
    )
    agreement.systems.set(covered)
    owe_these(owed={agreement: owed_of(version, whole, starts_on)})
    close_checks_on_file(agreement=agreement)
    ask_for_term(agreement=agreement)
    words = f"{version}, {dollars(price)} a term, paid {agreement.get_rhythm_display()}"
    note(agreement=agreement, what=What.MADE, words=words, by=by)
    return agreement


def overlapping(
    home: Home, plan: Plan, systems: Iterable[System], first: dt.date, last: dt.date
) -> Agreement | None:
    """A term on the same days of the same plan, or of one that promises a system the same check.

    Two of one plan may stand beside each other when each is for systems of its own.
    """
    chosen = set(systems)
    same_days = Agreement.objects.filter(home=home).running_between(first, last)
    for other in same_days.prefetch_related("systems").select_related("plan"):
        covered = set(other.systems.all())
        if other.plan != plan:
            if covered & chosen and _promise_the_same(plan, other.version):
                return other
        elif not covered or not chosen or covered & chosen or other.starts_on == first:
            return other
    return None


def _promise_the_same(one: PlanTerms, other: PlanTerms) -> bool:
    cooling = one.cooling_checks and other.cooling_checks
    return bool(cooling or (one.heating_checks and other.heating_checks))


def twin_words(twin: Agreement) -> str:
    return (
        f"{twin.plan} runs here already, {twin.starts_on:%B %-d, %Y} to "
        f"{twin.ends_on:%B %-d, %Y}; renew it, change its plan, or begin after it ends."
    )


def renewal_version(agreement: Agreement) -> PlanVersion:
    """The terms on which the next term begins."""
    return version_on(plan=agreement.plan, day=agreement.next_term().starts_on)


def renewal_price(agreement: Agreement, version: PlanVersion) -> Decimal:
    """What the next term costs: the list price again, or the price that was agreed apart.

    A first term that was shorter is no price of its own.
    """
    systems = agreement.systems.count()
    short = agreement.starts_on > agreement.anchor_on and agreement.term_number == 0
    if short or agreement.price == agreement.version.price_for(systems):
        return version.price_for(systems)
    return agreement.price


@transaction.atomic
def renew_agreement(
    *, agreement: Agreement, price: Decimal | None = None, by: User | None = None
) -> Agreement:
    """Begin the next term, on the terms sold then. Renewing twice gives back the one there is.

    Whoever had declined it is renewed all the same: somebody asked for it since.
    """
    if agreement.declined_on:
        agreement.renews, agreement.declined_on, agreement.why_declined = True, None, ""
        agreement.save(update_fields=["renews", "declined_on", "why_declined"])
    following, version = agreement.next_term(), renewal_version(agreement)
    renewed, new = Agreement.objects.get_or_create(
        home=agreement.home,
        plan=agreement.plan,
        starts_on=following.starts_on,
        defaults={
            "version": version,
            "anchor_on": agreement.anchor_on,
            "term_number": following.number,
            "ends_on": following.ends_on,
            "price": renewal_price(agreement, version) if price is None else price,
            "rhythm": agreement.rhythm,
            "renews": agreement.renews,
        },
    )
    if new:
        renewed.systems.set(agreement.systems.all())
        owe_visits(agreements=[renewed])
        ask_for_term(agreement=renewed)
        words = f"{version}, {dollars(renewed.price)} a term, from {following.starts_on:%B %-d, %Y}"
        note(agreement=agreement, what=What.RENEWED, words=words, by=by)
        note(agreement=renewed, what=What.MADE, words=f"Next term: {words}", by=by)
    elif renewed.ended_because == Ended.DECLINED:
        revive(agreement=renewed)
    return renewed


def renew_through(*, branch: Branch, last: dt.date) -> int:
    """Begin every term that a renewing agreement enters by `last`; returns how many.

    A season is planned months ahead; a check of the coming term belongs in it.
    """
    renewed = 0
    while due := list(
        Agreement.objects.of(branch)
        .renewing_without_successor()
        .filter(ends_on__lt=last)
        .select_related("plan", "version", "home")
    ):
        for agreement in due:
            renew_agreement(agreement=agreement)
        renewed += len(due)
    return renewed
