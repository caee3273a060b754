"""What of the agreements' prices a season's visits earn, and what parts cost it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from decimal import Decimal
from itertools import groupby
from operator import itemgetter
from typing import Any

from django.db.models import BigIntegerField, Exists, F, OuterRef
from django.db.models.functions import Cast, Round

from agreements.models import OwedVisit, PlanVersion
from agreements.money.amounts import ZERO, cents, split
from books.models import PartPrice
from fieldwork.models import PartUsed
from kit.web.seconds import Seconds
from scheduling.models import Season, Visit
from shop.models import Branch

DAY_S = 86400


def part_key(words: str) -> str:
    """Under which a part's price is kept: small letters, single spaces."""
    return " ".join(words.lower().split())[:120]


def whole_cents(price: str) -> Cast:
    """A price of the database as a whole number: of ten thousand no Decimal is made."""
    return Cast(Round(F(price) * 100), BigIntegerField())


def earned_shares(season: Season) -> dict[int, int]:
    """What each owed visit is of its agreement's price, in cents by its id.

    Of the season's agreements that owe more than one: a single visit earns the whole price.

    The price is divided by what the visits cost alone (ASC 606-10-32-31, as in
    agreements.money.revenue); where the plan says no such price, in equal parts.
    """
    agreements = Visit.objects.for_season(season).values("owed_visit__agreement")
    others = OwedVisit.objects.filter(agreement=OuterRef("agreement")).exclude(pk=OuterRef("pk"))
    rows = (
        OwedVisit.objects.filter(Exists(others), agreement__in=agreements)
        .order_by("agreement_id", "pk")
        .values_list("agreement_id", "pk", "kind", "agreement__price", "agreement__version_id")
    )
    alone = _alone(season.branch)
    known: dict[Any, list[int]] = {}
    found: dict[int, int] = {}
    for price, version, visits in _by_agreement(rows):
        kinds = tuple(kind for _, kind in visits)
        key = (price, version, kinds)
        if key not in known:
            known[key] = _shares(price, *alone[version], kinds)
        found.update(zip((pk for pk, _ in visits), known[key], strict=True))
    return found


def _alone(branch: Branch) -> dict[int, tuple[Decimal, Decimal]]:
    """What a cooling and a heating check cost alone, by version of a plan."""
    rows = PlanVersion.objects.filter(plan__branch=branch)
    found = rows.values_list("pk", "cooling_alone", "heating_alone")
    return {pk: (cooling, heating) for pk, cooling, heating in found}


def _by_agreement(
    rows: Iterable[tuple[int, int, str, Decimal, int]],
) -> Iterator[tuple[Decimal, int, list[tuple[int, str]]]]:
    """Price, version and visits of each agreement; the rows come ordered."""
    for _, group in groupby(rows, key=itemgetter(0)):
        visits = list(group)
        _, _, _, price, version = visits[0]
        yield price, version, [(pk, kind) for _, pk, kind, _, _ in visits]


def _shares(
    price: Decimal, cooling: Decimal, heating: Decimal, kinds: tuple[str, ...]
) -> list[int]:
    alone = {"cooling": cooling, "heating": heating, "both": cooling + heating}
    weights = [alone[kind] for kind in kinds]
    parts = split(price, weights if all(weights) else [1] * len(kinds))
    return [int(part * 100) for part in parts]


def materials_of(season: Season) -> tuple[dict[tuple[int, int], Decimal], Counter[str]]:
    """What parts cost, by visit and day since 1970; and the parts without a price."""
    prices = dict(PartPrice.objects.filter(branch=season.branch).values_list("key", "usd"))
    used = PartUsed.objects.filter(record__visit__season=season, removed=None).order_by()
    spent: dict[tuple[int, int], Decimal] = {}
    unpriced: Counter[str] = Counter()
    for visit, day_s, words, quantity in used.values_list(
        "record__visit_id", Seconds("record__day"), "words", "quantity"
    ):
        price = prices.get(part_key(words))
        if price is None:
            unpriced[words] += 1
        else:
            key = visit, day_s // DAY_S
            spent[key] = spent.get(key, ZERO) + cents(price * quantity)
    return spent, unpriced
