"""A home in memory, on file or about to be, with everything that a row can touch."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import cast

from agreements.models import Agreement
from agreements.models.imports import HomeSpelling
from customers.models import Customer, Filter, Home, System
from customers.spreadsheet.facts import SystemFacts
from customers.spreadsheet.likeness import KnownHome, SystemKey, system_key
from shop.models import Branch


@dataclass(eq=False)
class TargetSystem:
    """A system and the filter that a spreadsheet speaks of: its first.

    `claimed` when a row of this spreadsheet spoke of it.
    """

    system: System
    filter: Filter | None = None
    claimed: bool = False

    @property
    def key(self) -> SystemKey:
        return key_of(self.system)


@dataclass(eq=False)
class TargetAgreement:
    """An agreement and the systems that it covers."""

    agreement: Agreement
    systems: list[System] = field(default_factory=list)


@dataclass(eq=False)
class Target:
    """Where a row goes. Model instances, saved or not; `new` when the home is not on file."""

    customer: Customer
    home: Home
    systems: list[TargetSystem] = field(default_factory=list)
    agreements: list[TargetAgreement] = field(default_factory=list)

    @property
    def new(self) -> bool:
        return self.home.pk is None

    def system_like(self, facts: SystemFacts, *, among_unclaimed: bool) -> TargetSystem | None:
        """The system that these facts mean; None: one that is not known here yet.

        The one with the same key; else the only one of its kind, when nothing contradicts it (a
        serial that was missing). A further row of a home may not mean what a row above claimed.
        """
        systems = [s for s in self.systems if not (among_unclaimed and s.claimed)]
        wanted = system_key(facts)
        if exact := next((s for s in systems if s.key == wanted), None):
            return exact
        of_kind = [s for s in systems if s.system.kind == facts.kind]
        if len(of_kind) == 1 and _may_be(of_kind[0].system, facts):
            return of_kind[0]
        return None


def key_of(system: System) -> SystemKey:
    """A system's key on file, the same as that of the row that describes it."""
    return system_key(SystemFacts(system.kind, system.brand, system.model_number, system.serial))


def targets_of(branch: Branch) -> dict[int, Target]:
    """Every home of the branch by its key; homes of one customer share the instance."""
    customers: dict[int, Customer] = {}
    homes = Home.objects.of(branch).select_related("customer")
    targets = {}
    for home in homes.prefetch_related(
        "systems__filters", "agreements__plan", "agreements__systems"
    ):
        home.customer = customers.setdefault(home.customer_id, home.customer)
        targets[home.pk] = _target(home)
    return targets


def known_homes(branch: Branch, targets: dict[int, Target]) -> Iterator[KnownHome]:
    """The homes on file for comparing, under every spelling; the key is ("home", pk) or
    ("spelling", pk)."""
    for pk, target in targets.items():
        home = target.home
        yield _known("home", pk, target.customer, home.street, home.unit, home.zip)
    for spelling in HomeSpelling.objects.filter(home__customer__branch=branch):
        customer = Customer(
            pk=targets[spelling.home_id].customer.pk, branch=branch, name=spelling.name
        )
        yield _known(
            "spelling", spelling.home_id, customer, spelling.street, spelling.unit, spelling.zip
        )


def home_key(known: KnownHome) -> tuple[str, int]:
    """How a home on file was recognised ("home" or "spelling"), and its key."""
    how, pk = cast(tuple[str, int], known.key)
    return how, pk


def _known(
    how: str, pk: int, customer: Customer, street: str, unit: str, zip_code: str
) -> KnownHome:
    phones = frozenset(filter(None, (customer.phone, customer.second_phone)))
    return KnownHome(
        (how, pk), customer.pk, customer.name, phones, customer.email, street, unit, zip_code
    )


def _target(home: Home) -> Target:
    systems = [
        TargetSystem(system, next(iter(system.filters.all()), None))
        for system in home.systems.all()
    ]
    of_pk = {target.system.pk: target.system for target in systems}
    agreements = [
        TargetAgreement(a, [of_pk[s.pk] for s in a.systems.all() if s.pk in of_pk])
        for a in home.agreements.all()
    ]
    return Target(home.customer, home, systems, agreements)


def _may_be(system: System, facts: SystemFacts) -> bool:
    pairs = (
        (system.brand, facts.brand),
        (system.model_number, facts.model_number),
        (system.serial, facts.serial),
    )
    return all(not a or not b or a.casefold() == b.casefold() for a, b in pairs)
