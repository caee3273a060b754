"""What a part of a term costs, and what goes back when an agreement ends early. Pure.

Each answer carries its computation as lines in words, so that whoever is on the telephone can
read it aloud. How a part is priced is the plan's own rule, agreed with the customer; state law may
give the customer more than the plan does.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from agreements.money.amounts import ZERO, exact, part

# What a part of a term costs.
WHOLE_PRICE, BY_DAYS, BY_VISITS = "whole_price", "by_days", "by_visits_left"
# What is kept of a price when an agreement ends early.
KEEP_DAYS, KEEP_VISITS = "unearned_by_days", "price_less_visits"


@dataclass(frozen=True, slots=True)
class Line:
    """One step of a computation. `amount` None: words alone."""

    words: str
    amount: Decimal | None = None


@dataclass(frozen=True, slots=True)
class Computed:
    """An amount, and how it came about."""

    amount: Decimal
    lines: tuple[Line, ...]


@dataclass(frozen=True, slots=True)
class Span:
    """Days from `first` to `last`, both included."""

    first: dt.date
    last: dt.date

    def __post_init__(self) -> None:
        if self.last < self.first:
            raise ValueError("A term ends on or after its first day.")

    @property
    def days(self) -> int:
        return (self.last - self.first).days + 1

    def days_from(self, day: dt.date) -> int:
        """Days of the span on and after `day`; 0 to all of them."""
        return min(max((self.last - day).days + 1, 0), self.days)


@dataclass(frozen=True, slots=True)
class Stay:
    """How much of a term is left: from which day, and how many of its visits."""

    whole: Span
    begins: dt.date
    visits_left: int
    visits: int

    def __post_init__(self) -> None:
        if not 0 <= self.visits_left <= self.visits:
            raise ValueError("No more visits can be left than the term has.")


def prorated(price: Decimal, stay: Stay, rule: str) -> Computed:
    """The price of the rest of a term, as `rule` says. Raises ValueError for no such rule."""
    if rule == WHOLE_PRICE:
        return Computed(exact(price), (Line("The whole price of a term", exact(price)),))
    if rule == BY_DAYS:
        left, of, noun = stay.whole.days_from(stay.begins), stay.whole.days, "days"
    elif rule == BY_VISITS:
        left, of, noun = stay.visits_left, stay.visits, "visits"
    else:
        raise ValueError(f"There is no proration rule {rule!r}.")
    amount = part(exact(price), left, of) if of else ZERO
    return Computed(
        amount,
        (
            Line("Price of a whole term", exact(price)),
            Line(f"{left} of its {of} {noun} are left from {_day(stay.begins)}", amount),
        ),
    )


def plan_change(
    *, old_price: Decimal, old: Stay, new_price: Decimal, new: Stay, rule: str
) -> Computed:
    """What a change of plan costs: the rest on the new plan less the rest on the old one.

    Negative: it is credited. The rest of the old plan is always counted by days, whatever the
    new plan's rule: the customer gives back time, not visits.
    """
    back = prorated(old_price, old, BY_DAYS)
    on = prorated(new_price, new, rule)
    lines = (
        *(Line(f"New plan: {line.words[0].lower()}{line.words[1:]}", line.amount)
          for line in on.lines),
        Line(f"Old plan: {back.lines[-1].words}, given back", -back.amount),
    )  # fmt: skip
    return Computed(on.amount - back.amount, lines)


@dataclass(frozen=True, slots=True)
class Carried:
    """A visit that was carried out: what, and its price when bought alone."""

    words: str
    stand_alone: Decimal


@dataclass(frozen=True, slots=True)
class Ending:
    """How an agreement that ends early is settled.

    `refund`: goes back to the customer. `still_due`: asked of her. At most one is above 0.
    `kept`: what the shop has had of it in the end, paid - refund + still_due.
    """

    refund: Decimal
    still_due: Decimal
    kept: Decimal
    lines: tuple[Line, ...]


def settle_ending(
    *,
    price: Decimal,
    paid: Decimal,
    due: Decimal,
    whole: Span,
    ends: dt.date,
    rule: str,
    carried: Sequence[Carried] = (),
) -> Ending:
    """Settle an agreement of which `ends` is the first day without it.

    `paid`: all that was paid less what went back. `due`: what was due until `ends`, paid or not;
    nothing beyond it is asked, however much was earned. The refund is never above what was paid
    and never below 0. Raises ValueError for no such rule.
    """
    earned, lines = _earned(exact(price), whole, ends, rule, carried)
    refund = min(max(paid - earned, ZERO), max(paid, ZERO))
    still_due = max(min(earned, due) - paid, ZERO)
    lines += (Line("Paid so far", paid),)
    if refund:
        lines += (Line("Goes back to the customer", refund),)
    elif still_due:
        lines += (Line("Still to be paid for the time until then", still_due),)
    else:
        lines += (Line("Nothing goes back and nothing more is due"),)
    return Ending(refund, still_due, paid - refund + still_due, lines)


def _earned(
    price: Decimal, whole: Span, ends: dt.date, rule: str, carried: Sequence[Carried]
) -> tuple[Decimal, tuple[Line, ...]]:
    first = Line(f"Price of the term, {_day(whole.first)} to {_day(whole.last)}", price)
    if rule == KEEP_DAYS:
        used = whole.days - whole.days_from(ends)
        earned = part(price, used, whole.days)
        return earned, (
            first,
            Line(f"Used until {_day(ends)}: {used} of {whole.days} days", earned),
        )
    if rule == KEEP_VISITS:
        alone = sum((visit.stand_alone for visit in carried), ZERO)
        earned = min(alone, price)
        lines = [first, *(Line(f"Carried out: {v.words}", v.stand_alone) for v in carried)]
        if not carried:
            lines.append(Line("No visit was carried out", ZERO))
        if alone > price:
            lines.append(Line("No more is kept than the price of the term", price))
        return earned, tuple(lines)
    raise ValueError(f"There is no refund rule {rule!r}.")


def _day(day: dt.date) -> str:
    return f"{day:%B} {day.day}, {day.year}"
