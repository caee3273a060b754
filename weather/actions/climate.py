"""What a branch plans on when nothing is foretold."""

from __future__ import annotations

from datetime import datetime

from django.db import transaction

from shop.models import Branch
from weather.climate import Climate
from weather.models import BranchClimate

WORDS = ("station", "place", "source", "period", "demonstration")


@transaction.atomic
def set_climate(*, branch: Branch, climate: Climate, now: datetime) -> BranchClimate:
    """Let the branch plan on this climate from now on, in place of any earlier one."""
    numbers = climate.to_dict()
    words = {name: numbers.pop(name) for name in WORDS}
    kept, _ = BranchClimate.objects.update_or_create(
        branch=branch, defaults={**words, "coefficients": numbers, "imported_at": now}
    )
    return kept
