"""Work lines added up by plan, area or technician, so that the parts equal the whole. Pure.

A line is what one technician did for one plan in one area. Costs are kept as fractions of a dollar
until they are shown; then the whole is rounded to the cent and divided among the parts by largest
remainder, so that what stands in the rows is what stands under them. USD, minutes.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from agreements.money.amounts import ZERO, cents, split

NOBODY = "nobody: let go by the customer"


@dataclass(frozen=True, slots=True)
class Rates:
    """What an hour of a technician and a driven minute of the truck cost; None: not said yet."""

    hour_usd: Decimal | None
    drive_min_usd: Decimal | None

    @property
    def known(self) -> bool:
        return self.hour_usd is not None and self.drive_min_usd is not None


@dataclass(frozen=True, slots=True)
class WorkLine:
    """All trips of one technician for one plan in one area; for NOBODY the visits let go.

    `earned`: the prices' shares of the visits that these trips ended. `drive_min`: of the days'
    drives the part of these stops (books.worth.drives).
    """

    plan: str
    area: str
    technician: str
    agreements: frozenset[int]
    trips: int
    done: int
    there_min: int
    drive_min: int
    earned: Decimal
    materials: Decimal


@dataclass(frozen=True, slots=True)
class Row:
    """The sum of some lines. Costs of time are None while the branch's rates are not known."""

    name: str
    agreements: int
    trips: int
    done: int
    there_min: int
    drive_min: int
    earned: Decimal
    time_usd: Decimal | None
    truck_usd: Decimal | None
    materials: Decimal

    @property
    def costs(self) -> Decimal | None:
        if self.time_usd is None or self.truck_usd is None:
            return None
        return self.time_usd + self.truck_usd + self.materials

    @property
    def left(self) -> Decimal | None:
        """What the work leaves for the shop's other costs and its profit."""
        return None if self.costs is None else self.earned - self.costs

    @property
    def left_a_visit(self) -> Decimal | None:
        return None if self.left is None or not self.done else cents(self.left / self.done)


@dataclass(frozen=True, slots=True)
class Table:
    """`rows` sum to `whole` in every column but agreements, which may stand in several rows."""

    rows: tuple[Row, ...]
    whole: Row


def time_cost(minutes: int, rates: Rates) -> Fraction:
    """Of a technician, exactly. Raises ValueError without a rate."""
    if rates.hour_usd is None:
        raise ValueError("Nobody has said what an hour costs.")
    return Fraction(rates.hour_usd) * minutes / 60


def truck_cost(minutes: int, rates: Rates) -> Fraction:
    """Of the truck, exactly. Raises ValueError without a rate."""
    if rates.drive_min_usd is None:
        raise ValueError("Nobody has said what a driven minute costs.")
    return Fraction(rates.drive_min_usd) * minutes


def trips_cost(there: int, drive: int, rates: Rates) -> Decimal:
    """What minutes at homes and driven cost in time and truck, to the cent."""
    return cents(time_cost(there + drive, rates) + truck_cost(drive, rates))


def table(
    lines: Sequence[WorkLine],
    rates: Rates,
    by: Callable[[WorkLine], str],
    most: int | None = None,
) -> Table:
    """Rows by a property of the lines, the largest earner first.

    `most`: so many rows at most; the last of them then holds all others together.
    """
    groups: dict[str, list[WorkLine]] = {}
    for line in lines:
        groups.setdefault(by(line), []).append(line)
    names = sorted(groups, key=lambda name: (-_earned(groups[name]), name))
    if most is not None and len(names) > most:
        others = names[most - 1 :]
        names = [*names[: most - 1], f"{len(others)} others"]
        groups[names[-1]] = [line for name in others for line in groups[name]]
    parts = [groups[name] for name in names]
    times = _divided([_work_min(part) for part in parts], rates, time_cost, rates.hour_usd)
    trucks = _divided([_drive_min(part) for part in parts], rates, truck_cost, rates.drive_min_usd)
    rows = tuple(
        _row(name, part, time, truck)
        for name, part, time, truck in zip(names, parts, times, trucks, strict=True)
    )
    return Table(rows, _row("Together", lines, _sum(times), _sum(trucks)))


def _divided(
    minutes: list[int],
    rates: Rates,
    cost: Callable[[int, Rates], Fraction],
    rate: Decimal | None,
) -> list[Decimal | None]:
    if rate is None:
        return [None] * len(minutes)
    if not sum(minutes):
        return [ZERO] * len(minutes)
    return list(split(cents(cost(sum(minutes), rates)), minutes))


def _sum(amounts: list[Decimal | None]) -> Decimal | None:
    known = [amount for amount in amounts if amount is not None]
    return sum(known, ZERO) if len(known) == len(amounts) and amounts else None


def _work_min(lines: Iterable[WorkLine]) -> int:
    return sum(line.there_min + line.drive_min for line in lines)


def _drive_min(lines: Iterable[WorkLine]) -> int:
    return sum(line.drive_min for line in lines)


def _earned(lines: Iterable[WorkLine]) -> Decimal:
    return sum((line.earned for line in lines), ZERO)


def _row(name: str, lines: Sequence[WorkLine], time: Decimal | None, truck: Decimal | None) -> Row:
    return Row(
        name=name,
        agreements=len(frozenset[int]().union(*(line.agreements for line in lines))),
        trips=sum(line.trips for line in lines),
        done=sum(line.done for line in lines),
        there_min=sum(line.there_min for line in lines),
        drive_min=_drive_min(lines),
        earned=_earned(lines),
        time_usd=time,
        truck_usd=truck,
        materials=sum((line.materials for line in lines), ZERO),
    )
