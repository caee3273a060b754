"""Which agreement a row means: one on file, its next term, or a new one."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from decimal import Decimal

from agreements.imports.targets import Target, TargetAgreement
from agreements.imports.work import Pen
from agreements.models import Agreement, Plan
from agreements.terms import Term, term
from customers.models import System
from customers.spreadsheet.facts import AgreementFacts
from customers.spreadsheet.outcomes import CellRefused, Note

STAYS = {
    True: "the agreement on file renews by itself and stays so: decline its renewal on its page.",
    False: "the agreement on file does not renew by itself and stays so until its customer signs.",
}


def term_of(facts: AgreementFacts, months: int, today: dt.date) -> Term:
    """The term that runs today, or the first one when it has yet to begin."""
    number = 0
    while term(facts.started_on, months, number).ends_on < today:
        number += 1
    return term(facts.started_on, months, number)


def agreement_meant(
    target: Target, plan: Plan, facts: AgreementFacts, today: dt.date
) -> TargetAgreement | None:
    """The term on file that the row speaks of; None: a new one is meant.

    The term that starts on the row's day, or else of the chain of terms that began on that day
    (a sheet that says "since 2019") the latest that has begun.
    """
    of_plan = [known for known in target.agreements if known.agreement.plan == plan]
    for known in of_plan:
        if known.agreement.starts_on == facts.started_on:
            return known
    running = term_of(facts, plan.term_months, today)
    chain = [
        known
        for known in of_plan
        if known.agreement.anchor_on == facts.started_on
        or known.agreement.starts_on == running.starts_on
    ]
    begun = [known for known in chain if known.agreement.starts_on <= today]
    return max(begun or chain, key=lambda known: known.agreement.starts_on, default=None)


def check_room(
    target: Target,
    plan: Plan,
    facts: AgreementFacts,
    systems: Iterable[System | None],
    today: dt.date,
) -> None:
    """CellRefused when the new agreement would run beside another for the same systems.

    `systems` None stands for a system that is not on file, so that nothing covers it yet.
    """
    new = term_of(facts, plan.term_months, today)
    for known in target.agreements:
        other = known.agreement
        apart = other.ends_on < new.starts_on or other.starts_on > new.ends_on
        covers = not known.systems or any(system in known.systems for system in systems)
        if other.cancelled_on is None and not apart and covers:
            raise CellRefused(
                "agreement_overlaps",
                f"the home has {other.plan} from {_words(other.starts_on)} to "
                f"{_words(other.ends_on)} already; correct the plan or the start in the sheet, "
                "or end that agreement first.",
            )


def set_agreement(
    pen: Pen,
    target: Target,
    plan: Plan,
    facts: AgreementFacts,
    systems: list[System],
    *,
    fill_only: bool,
    today: dt.date,
) -> TargetAgreement:
    """Set price and systems of the agreement meant; begin it when it is not on file.

    Whether one on file renews by itself is changed by signing and declining, never by a sheet.
    """
    meant = agreement_meant(target, plan, facts, today)
    if meant is None:
        return _begin(pen, target, plan, facts, systems, today)
    agreement = meant.agreement
    if agreement.pk is not None and not fill_only:
        pen.set(agreement, "price", facts.price, words=_dollars)
    if agreement.pk is not None and facts.renews not in (None, agreement.renews):
        pen.notes.append(Note("", STAYS[agreement.renews]))
    for system in systems:
        if system not in meant.systems:
            meant.systems.append(system)
            if agreement.pk is not None:
                pen.work.covers.append((meant, system))
                pen.added(True, f"{plan} covers", system)
    return meant


def _begin(
    pen: Pen,
    target: Target,
    plan: Plan,
    facts: AgreementFacts,
    systems: list[System],
    today: dt.date,
) -> TargetAgreement:
    anchor_on, running = _place_in_chain(target, plan, facts, today)
    agreement = Agreement(
        home=target.home,
        plan=plan,
        anchor_on=anchor_on,
        term_number=running.number,
        starts_on=running.starts_on,
        ends_on=running.ends_on,
        renews=facts.renews is not False,
    )
    if facts.price is not None:  # else the plan's, once all systems are known
        agreement.price = facts.price
    begun = TargetAgreement(agreement, list(systems))
    target.agreements.append(begun)
    pen.work.agreements.append(begun)
    pen.added(not target.new, "agreement", f"{plan} from {_words(running.starts_on)}")
    return begun


def _place_in_chain(
    target: Target, plan: Plan, facts: AgreementFacts, today: dt.date
) -> tuple[dt.date, Term]:
    """Anchor and term: the next of a chain on file when it starts that day, else a first one."""
    for known in target.agreements:
        following = known.agreement.next_term()
        if known.agreement.plan == plan and following.starts_on == facts.started_on:
            return known.agreement.anchor_on, following
    return facts.started_on, term_of(facts, plan.term_months, today)


def _dollars(price: Decimal) -> str:
    return f"${price:,.2f}"


def _words(day: dt.date) -> str:
    return f"{day:%B %-d, %Y}"
