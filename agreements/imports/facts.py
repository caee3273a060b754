"""A clean row's facts, set on the customer, the home and the systems that they are about."""

from __future__ import annotations

from decimal import Decimal

from agreements.imports.targets import Target, TargetSystem
from agreements.imports.work import Pen
from customers.actions import put_at
from customers.models import Customer, Filter, Home, Precision, System
from customers.places import Place, place_of_zip
from customers.spreadsheet.facts import CustomerFacts, FilterFacts, HomeFacts, SystemFacts
from kit.when import WeekHalves

_YES_NO = {True: "yes", False: "no"}


def set_customer(pen: Pen, customer: Customer, facts: CustomerFacts, *, fill_only: bool) -> None:
    """Set what the row says of the customer."""
    for name in ("name", "phone", "second_phone", "email", "language"):
        pen.set(customer, name, getattr(facts, name), fill_only=fill_only)
    pen.add_lines(customer, "notes", facts.notes)


def set_home(pen: Pen, home: Home, facts: HomeFacts, *, fill_only: bool) -> None:
    """Set what the row says of the home. A known point never falls back to a ZIP's middle."""
    for name in ("street", "unit", "city", "state", "zip", "gate_code", "dog"):
        pen.set(home, name, getattr(facts, name), fill_only=fill_only)
    for name in ("pets", "winter_cover", "high_low_returns", "short_notice"):
        value = getattr(facts, name)
        pen.set(home, name, value, fill_only=fill_only, words=_YES_NO.__getitem__)
    if facts.halves is not None:
        mask = facts.halves.mask
        pen.set(home, "halves_mask", mask, fill_only=fill_only, words=_halves_words)
    pen.add_lines(home, "access_notes", facts.access_notes)
    _set_place(pen, home, facts, fill_only=fill_only)


def set_system(
    pen: Pen, target: Target, known: TargetSystem | None, facts: SystemFacts, *, fill_only: bool
) -> System:
    """Set what the row says of one system; None: one that is not known yet is added."""
    if known is None:
        known = TargetSystem(System(home=target.home, kind=facts.kind))
        target.systems.append(known)
        pen.work.systems.append(known.system)
    known.claimed = True
    system, added = known.system, known.system.pk is None
    for name in (
        "brand", "model_number", "serial", "installed_year", "refrigerant", "metering"
    ):  # fmt: skip
        pen.set(system, name, getattr(facts, name), fill_only=fill_only)
    _set_last_check(pen, system, facts)
    if facts.filter is not None:
        _set_filter(pen, known, facts.filter, fill_only=fill_only)
    if added:
        pen.added(not target.new, "system", system)
    return system


def _set_last_check(pen: Pen, system: System, facts: SystemFacts) -> None:
    """Only forward: a check recorded here is not undone by an older sheet."""
    newer, known = facts.last_checked_on, system.last_checked_on
    if newer is not None and (known is None or newer > known):
        pen.set(system, "last_checked_on", newer)
        pen.set(system, "last_checked_by", facts.last_checked_by)


def _set_filter(pen: Pen, on: TargetSystem, facts: FilterFacts, *, fill_only: bool) -> None:
    if on.filter is None:
        on.filter = Filter(system=on.system, size="", thickness_in=Decimal(1))
        pen.work.filters.append(on.filter)
        pen.added(on.system.pk is not None, "filter", facts.size or f"{facts.thickness_in:f} in")
    pen.set(on.filter, "size", facts.size, fill_only=fill_only)
    pen.set(on.filter, "thickness_in", facts.thickness_in, fill_only=fill_only)


def _set_place(pen: Pen, home: Home, facts: HomeFacts, *, fill_only: bool) -> None:
    before = (home.latitude, home.longitude, home.precision)
    if facts.precision == Precision.EXACT and not (fill_only and home.precision == Precision.EXACT):
        assert facts.latitude is not None  # an exact place has both
        assert facts.longitude is not None
        put_at(home=home, place=Place(facts.latitude, facts.longitude, "exact"))
    elif home.precision != Precision.EXACT:
        put_at(home=home, place=place_of_zip(home.zip))
    after = (home.latitude, home.longitude, home.precision)
    if after != before:
        names = ("latitude", "longitude", "precision")
        pen.note(home, "place", _place_words(*before), _place_words(*after), *names)


def _place_words(latitude: float | None, longitude: float | None, precision: str) -> str:
    where = "" if latitude is None else f"{latitude:g}, {longitude:g}, "
    return where + Precision(precision).label


def _halves_words(mask: int) -> str:
    return WeekHalves(mask).words()
