"""From cleaned rows to each row's outcome, and the unsaved rows that would bring it about."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from operator import attrgetter
from typing import Any

from agreements.imports.facts import set_customer, set_home, set_system
from agreements.imports.offers import Answer, answer_to, asks_of, choices_of
from agreements.imports.outcomes import Kind, RowOutcome
from agreements.imports.promises import agreement_meant, check_room, set_agreement
from agreements.imports.targets import Target, TargetSystem, home_key
from agreements.imports.work import Pen, Work
from agreements.models import HomeSpelling, Plan
from customers.models import Customer, Home, SystemKind
from customers.spreadsheet.cleaning import Cleaned
from customers.spreadsheet.facts import CleanRow
from customers.spreadsheet.likeness import Likeness, Offer
from customers.spreadsheet.outcomes import CellRefused, Note, Refusal
from shop.models import Branch


@dataclass
class Planned:
    """The dry run: an outcome for each row in the sheet's order, and what writing would do."""

    outcomes: list[RowOutcome]
    work: Work


@dataclass
class OnFile:
    """What the planning starts from; it changes the instances in it, never the database."""

    branch: Branch
    targets: dict[int, Target]
    plans: dict[str, Plan]
    likeness: Likeness


@dataclass
class _Planning:
    on_file: OnFile
    decisions: Mapping[str, str]
    today: dt.date
    header_of: Callable[[str], str]
    work: Work = field(default_factory=Work)
    of_row: dict[int, Target] = field(default_factory=dict)
    touched: set[int] = field(default_factory=set)  # ids of customers and homes of rows above
    offers: dict[int, list[Offer]] = field(default_factory=dict)


def plan_import(
    cleaned: Cleaned,
    on_file: OnFile,
    *,
    decisions: Mapping[str, str],
    today: dt.date,
    header_of: Callable[[str], str],
) -> Planned:
    """Decide every row. `decisions` are the office's answers, by row; `header_of` names the
    column of a field in refusals."""
    planning = _Planning(on_file, decisions, today, header_of)
    for offer in on_file.likeness.offers:
        planning.offers.setdefault(offer.row, []).append(offer)
    outcomes = _refused_rows(cleaned)
    repeated = {refusal.row: refusal for refusal in on_file.likeness.repeated}
    for row in cleaned.rows:
        if row.row in repeated:
            outcomes.append(_outcome(row, Kind.REFUSED, refusals=(repeated[row.row],)))
        else:
            outcomes.append(_plan_row(planning, row))
    return Planned(sorted(outcomes, key=attrgetter("row")), planning.work)


def _refused_rows(cleaned: Cleaned) -> list[RowOutcome]:
    by_row: dict[int, list[Refusal]] = {}
    for refusal in cleaned.refusals:
        by_row.setdefault(refusal.row, []).append(refusal)
    return [
        RowOutcome(row, Kind.REFUSED, cleaned.refused_names[row], refusals=tuple(found))
        for row, found in by_row.items()
    ]


def _plan_row(planning: _Planning, row: CleanRow) -> RowOutcome:
    offers = planning.offers.get(row.row, [])
    answer = answer_to(offers, planning.decisions.get(str(row.row), ""))
    waits_for = _waits_for(planning, row, answer)
    if (offers and answer is None) or waits_for:
        notes = [Note("", f"it waits for row {waits_for}.")] if waits_for else []
        outcome = _outcome(row, Kind.ALIKE, notes=notes)
    else:
        outcome = _decided(planning, row, answer)
    return replace(
        outcome,
        asks=asks_of(offers),
        choices=choices_of(offers),
        decision=answer.value if answer else "",
    )


def _decided(planning: _Planning, row: CleanRow, answer: Answer | None) -> RowOutcome:
    """The outcome of a row about which nothing is left to ask."""
    target, further = _target(planning, row, answer)
    try:
        pen = _write_down(planning, row, target, further=further)
    except CellRefused as refused:
        column = planning.header_of("serial" if refused.code == "serial_twice" else "started_on")
        refusal = Refusal(row.row, column, "", refused.code, refused.words)
        return _outcome(row, Kind.REFUSED, refusals=(refusal,))
    if answer and answer.offer and answer.offer.what == "home":
        planning.work.spellings.append(_spelling(target.home, row))
    kind = Kind.NEW if target.new else Kind.CHANGED if pen.differences else Kind.SAME
    differences = tuple(pen.differences)
    return _outcome(row, kind, notes=pen.notes, differences=differences, home_pk=target.home.pk)


def _waits_for(planning: _Planning, row: CleanRow, answer: Answer | None) -> int | None:
    """The row above that this one joins, when that one was not taken."""
    above = planning.on_file.likeness.second_systems.get(row.row)
    if above is None and answer is not None:
        above = answer.offer.other_row if answer.offer else None
    return above if above is not None and above not in planning.of_row else None


def _target(planning: _Planning, row: CleanRow, answer: Answer | None) -> tuple[Target, bool]:
    """Where the row goes, and whether it only fills gaps there."""
    likeness = planning.on_file.likeness
    if row.row in likeness.second_systems:
        return planning.of_row[likeness.second_systems[row.row]], True
    if known := likeness.on_file.get(row.row):
        how, pk = home_key(known)
        target = planning.on_file.targets[pk]
        return target, how == "spelling" or id(target.home) in planning.touched
    if answer is None or answer.offer is None:
        return _new_target(planning, Customer(branch=planning.on_file.branch)), False
    other = _other(planning, answer.offer)
    if answer.offer.what == "customer":
        return _new_target(planning, other.customer), False
    return other, True


def _other(planning: _Planning, offer: Offer) -> Target:
    if offer.known is not None:
        _, pk = home_key(offer.known)
        return planning.on_file.targets[pk]
    assert offer.other_row is not None  # an offer names a row or a home on file
    return planning.of_row[offer.other_row]


def _new_target(planning: _Planning, customer: Customer) -> Target:
    return Target(customer, Home(customer=customer))


def _write_down(planning: _Planning, row: CleanRow, target: Target, *, further: bool) -> Pen:
    """Set all facts of a row; what may refuse it comes before anything is changed."""
    plan = _plan(planning, row.agreement.plan)
    joins = row.row in planning.on_file.likeness.second_systems
    known = [target.system_like(facts, among_unclaimed=joins) for facts in row.systems]
    if agreement_meant(target, plan, row.agreement, planning.today) is None:
        on_file = [found.system if found else None for found in known]
        check_room(target, plan, row.agreement, on_file, planning.today)
    _check_serials(row, target, known)

    pen = Pen(planning.work)
    if target.customer.pk is None and id(target.customer) not in planning.touched:
        planning.work.customers.append(target.customer)
    if target.new and id(target.home) not in planning.touched:
        planning.work.homes.append(target.home)
    heard = further or id(target.customer) in planning.touched
    set_customer(pen, target.customer, row.customer, fill_only=heard)
    set_home(pen, target.home, row.home, fill_only=further)
    systems = [
        set_system(pen, target, found, facts, fill_only=further)
        for found, facts in zip(known, row.systems, strict=True)
    ]
    promise = set_agreement(
        pen, target, plan, row.agreement, systems, fill_only=further, today=planning.today
    )
    if last := row.systems[0].last_checked_on:
        planning.work.last_checks.setdefault(id(promise.agreement), set()).add(last)
    planning.touched |= {id(target.customer), id(target.home)}
    planning.of_row[row.row] = target
    return pen


def _check_serials(row: CleanRow, target: Target, known: list[TargetSystem | None]) -> None:
    """A serial is one machine's; the database refuses it twice in a home."""
    for facts, meant in zip(row.systems, known, strict=True):
        for other in target.systems:
            if facts.serial and other is not meant and other.system.serial == facts.serial:
                raise CellRefused(
                    "serial_twice",
                    f"the serial {facts.serial} is that of the {other.system} of this home.",
                )


def _plan(planning: _Planning, code: str) -> Plan:
    plan = planning.on_file.plans[code]
    if plan.pk is None and not any(plan is new for new in planning.work.plans):
        planning.work.plans.append(plan)
    return plan


def _spelling(home: Home, row: CleanRow) -> HomeSpelling:
    where = row.home
    return HomeSpelling(
        home=home, name=row.customer.name, street=where.street, unit=where.unit, zip=where.zip
    )


def _outcome(
    row: CleanRow, kind: Kind, *, notes: list[Note] | None = None, **more: Any
) -> RowOutcome:
    where = f"{row.home.street} {row.home.unit}".strip() + f", {row.home.city} {row.home.zip}"
    all_notes = (*row.notes, *(notes or ()))
    return RowOutcome(row.row, kind, row.customer.name, where, _says(row), all_notes, **more)


_RENEWS = {None: "", True: ", renews by itself", False: ", does not renew by itself"}


def _says(row: CleanRow) -> str:
    systems = " and ".join(SystemKind(system.kind).label.lower() for system in row.systems)
    promise = row.agreement
    price = "" if promise.price is None else f", ${promise.price:,.2f}"
    begun = f"{promise.started_on:%B %-d, %Y}"
    return f"{systems.capitalize()}, {promise.plan} from {begun}{price}{_RENEWS[promise.renews]}"
