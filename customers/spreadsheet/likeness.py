"""What is there twice: in the file, and between the file and the homes already on file.

Nothing is merged here. Two rows for one home are legitimate when they name different systems;
the identical system is refused; whatever is merely alike is offered, with a score and the reason
in words, and the office decides.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Hashable, Iterable, Sequence
from dataclasses import dataclass
from typing import Literal

from rapidfuzz import fuzz

from customers.spreadsheet.facts import CleanRow, SystemFacts
from customers.spreadsheet.outcomes import Refusal
from customers.spreadsheet.streets import house_number, street_key, unit_key

# Of 100, by rapidfuzz; measured on the invented names of fixtures/spreadsheet. Of 228,150 pairs of
# different names 0.14 % reach 80. Different streets reach at most 81.5, one lost letter costs no
# street more than 4.4.
ALIKE_NAME = 80.0
ALIKE_STREET = 86.0
# "Robin Wagner" and "Wagner": the name in one spelling holds the other.
_HELD_NAME = 90.0

# A number that stands on every row (the office's own) would otherwise be compared with them all.
MOST_COMPARED = 10
MOST_OFFERS = 3  # for one row

SystemKey = tuple[str, str, str, str]  # kind, brand, model, serial
DoorKey = tuple[str, str, str]  # street, unit, ZIP


@dataclass(frozen=True, slots=True)
class KnownHome:
    """A home that is on file already, as far as comparing needs it. `key` is the caller's."""

    key: Hashable
    customer_key: Hashable
    name: str
    phones: frozenset[str]
    email: str
    street: str
    unit: str
    zip: str


@dataclass(frozen=True, slots=True)
class Offer:
    """Two that may be one: for the office to merge or to keep apart.

    `what` is "home" (the same door, written differently or under another name) or "customer"
    (one customer with several homes). `other_row` is a row above, or None when `known` is a
    home on file. `score` is 0 to 100.
    """

    row: int
    what: Literal["home", "customer"]
    score: float
    reason: str
    other_row: int | None = None
    known: KnownHome | None = None


@dataclass(frozen=True, slots=True)
class Likeness:
    """The findings. A row stands in one of `repeated`, `second_systems`, `on_file` at most.

    `second_systems`: row -> the first row of its home. `on_file`: row -> the known home that is
    its own. `repeated`: rows refused, because home and system stand in the file already.
    """

    offers: tuple[Offer, ...]
    second_systems: dict[int, int]
    on_file: dict[int, KnownHome]
    repeated: tuple[Refusal, ...]


@dataclass(frozen=True, slots=True)
class _Party:
    """A row or a known home, in the form in which both are compared."""

    name: str
    phones: frozenset[str]
    email: str
    door: DoorKey
    row: int | None = None
    known: KnownHome | None = None


def find_likeness(rows: Sequence[CleanRow], known: Sequence[KnownHome]) -> Likeness:
    """Compare each row with the homes on file and with the rows above it."""
    finder = _Finder(known)
    for row in rows:
        finder.look_at(row)
    return Likeness(
        tuple(finder.offers), finder.second_systems, finder.on_file, tuple(finder.repeated)
    )


def system_key(system: SystemFacts) -> SystemKey:
    """Under which two spellings of one system meet; the serial alone decides when there is one."""
    serial = _bare(system.serial)
    if serial:
        return (system.kind, "", "", serial)
    return (system.kind, _bare(system.brand), _bare(system.model_number), "")


def door_key(street: str, unit: str, zip_code: str) -> DoorKey:
    """Under which two spellings of one door meet."""
    return (street_key(street), unit_key(unit), zip_code)


def alike_names(one: str, other: str) -> float:
    """0 to 100, whatever the order of first and last name."""
    a, b = one.casefold().replace(",", " "), other.casefold().replace(",", " ")
    score = fuzz.token_sort_ratio(a, b)
    held = min(len(a.split()), len(b.split())) and fuzz.token_set_ratio(a, b) == 100.0
    return max(score, _HELD_NAME) if held else score


class _Finder:
    """Goes through the rows once, keeping what it has seen by door, by block and by contact."""

    def __init__(self, known: Iterable[KnownHome]) -> None:
        self.offers: list[Offer] = []
        self.second_systems: dict[int, int] = {}
        self.on_file: dict[int, KnownHome] = {}
        self.repeated: list[Refusal] = []
        self._at_door: dict[DoorKey, list[_Party]] = defaultdict(list)
        self._on_block: dict[tuple[str, str], list[_Party]] = defaultdict(list)
        self._by_contact: dict[str, list[_Party]] = defaultdict(list)
        self._systems_at: dict[int, dict[SystemKey, int]] = defaultdict(dict)
        for home in known:
            self._remember(_party_of_known(home))

    def look_at(self, row: CleanRow) -> None:
        """File a row: its own home, a second system, the same row again, or offers."""
        party = _party_of_row(row)
        first = self._own_row_above(party)
        if first is not None:
            self._settle_further_row(row, first)
            return
        own = self._own_home(party)
        if own is not None:
            self.on_file[row.row] = own
        else:
            self.offers.extend(self._offers(party))
        self._systems_at[row.row] = {system_key(system): row.row for system in row.systems}
        self._remember(party)

    def _own_row_above(self, party: _Party) -> int | None:
        above = (p for p in self._at_door[party.door] if p.row and _same(p, party))
        return next((p.row for p in above), None)

    def _own_home(self, party: _Party) -> KnownHome | None:
        """Of the homes on file at this door, the one whose name is most alike."""
        at_door = [p for p in self._at_door[party.door] if p.known and _same(p, party)]
        best = max(at_door, key=lambda p: alike_names(p.name, party.name), default=None)
        return best.known if best else None

    def _settle_further_row(self, row: CleanRow, first: int) -> None:
        known_systems = self._systems_at[first]
        keys = [system_key(system) for system in row.systems]
        twin = next((known_systems[key] for key in keys if key in known_systems), None)
        if twin is None:
            self.second_systems[row.row] = first
            known_systems.update(dict.fromkeys(keys, row.row))
            return
        address = f"{row.home.street} {row.home.unit}".strip()
        reason = f"two rows for one home and system: row {twin} says the same; delete one of them."
        self.repeated.append(Refusal(row.row, "", address, "same_row_twice", reason, twin))

    def _remember(self, party: _Party) -> None:
        self._at_door[party.door].append(party)
        self._on_block[_block(party.door)].append(party)
        for contact in _contacts(party):
            self._by_contact[contact].append(party)

    def _offers(self, party: _Party) -> list[Offer]:
        """The strongest offers, at most one for each other party."""
        near = self._at_door[party.door] + self._on_block[_block(party.door)]
        for contact in _contacts(party):
            near += self._by_contact[contact][:MOST_COMPARED]
        others = {id(other): other for other in near}.values()
        offers = [offer for other in others if (offer := _compare(party, other))]
        return sorted(offers, key=lambda offer: -offer.score)[:MOST_OFFERS]


def _compare(party: _Party, other: _Party) -> Offer | None:
    """What the two have in common, if it is enough to ask the office."""
    names = alike_names(party.name, other.name)
    shared = _shared_contact(party, other)
    if party.door == other.door:
        return _offer(party, other, "home", max(names, 60.0), "the same address, another name")
    if _block(party.door) == _block(other.door) and party.door[1] == other.door[1]:
        streets = fuzz.ratio(party.door[0], other.door[0])
        if streets >= ALIKE_STREET and (names >= ALIKE_NAME or shared):
            reason = "nearly the same address" + (f", the same {shared}" if shared else "")
            return _offer(party, other, "home", (streets + max(names, 80.0)) / 2, reason)
    if shared:
        reason = f"the same {shared}, another address"
        return _offer(party, other, "customer", max(names, 60.0), reason)
    return None


def _offer(
    party: _Party, other: _Party, what: Literal["home", "customer"], score: float, reason: str
) -> Offer:
    assert party.row is not None  # only rows are compared with what is there
    where = f"row {other.row}" if other.row else "a home on file"
    return Offer(
        party.row,
        what,
        round(score, 1),
        f"{reason}: {party.name} and {other.name} ({where})",
        other.row,
        other.known,
    )


def _same(one: _Party, other: _Party) -> bool:
    """At one door: are they the same customer?"""
    return bool(_shared_contact(one, other)) or alike_names(one.name, other.name) >= ALIKE_NAME


def _shared_contact(one: _Party, other: _Party) -> str:
    if one.phones & other.phones:
        return "phone"
    return "e-mail" if one.email and one.email.casefold() == other.email.casefold() else ""


def _contacts(party: _Party) -> list[str]:
    return [*party.phones, *filter(None, [party.email.casefold()])]


def _block(door: DoorKey) -> tuple[str, str]:
    """House number and ZIP: a slip in the street's name stays inside it."""
    return (house_number(door[0]), door[2])


def _party_of_row(row: CleanRow) -> _Party:
    who, home = row.customer, row.home
    return _Party(
        who.name,
        frozenset(filter(None, (who.phone, who.second_phone))),
        who.email,
        door_key(home.street, home.unit, home.zip),
        row=row.row,
    )


def _party_of_known(home: KnownHome) -> _Party:
    door = door_key(home.street, home.unit, home.zip)
    return _Party(home.name, home.phones, home.email, door, known=home)


def _bare(text: str) -> str:
    return "".join(letter for letter in text.upper() if letter.isalnum())
