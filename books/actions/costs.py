"""Verbs of what work costs."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal

from django.db import transaction

from books.models import CostRates, PartPrice
from shop.models import Branch


@transaction.atomic
def set_costs(
    *,
    branch: Branch,
    hour_usd: Decimal | None,
    drive_min_usd: Decimal | None,
    parts: Mapping[str, Decimal],
) -> CostRates:
    """Write down the branch's rates, and the prices of all parts that have one.

    `parts`: by books.earned_reading.part_key. A part that is not named has no price any more.
    """
    rates, _ = CostRates.objects.update_or_create(
        branch=branch, defaults={"hour_usd": hour_usd, "drive_min_usd": drive_min_usd}
    )
    PartPrice.objects.filter(branch=branch).exclude(key__in=parts).delete()
    PartPrice.objects.bulk_create(
        [PartPrice(branch=branch, key=key, usd=usd) for key, usd in parts.items()],
        update_conflicts=True,
        unique_fields=["branch", "key"],
        update_fields=["usd"],
    )
    return rates
