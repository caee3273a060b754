"""Verbs that lay and change check lists. A version is never changed: a new one is made."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from django.db import IntegrityError, transaction

from fieldwork.check_lists import Item, built_in_items
from fieldwork.models import CheckList, CheckListKind, CheckListVersion
from shop.models import Branch, User


class ListChanged(ValueError):
    """Somebody else made a new version meanwhile."""


def current_version(*, branch: Branch, kind: CheckListKind, now: dt.datetime) -> CheckListVersion:
    """The version that a new record goes by; a branch's first asks lays the built-in list."""
    newest = CheckListVersion.objects.filter(
        check_list__branch=branch, check_list__kind=kind
    ).first()
    return newest or _lay(branch, kind, now)


@transaction.atomic
def _lay(branch: Branch, kind: CheckListKind, now: dt.datetime) -> CheckListVersion:
    check_list, _ = CheckList.objects.get_or_create(branch=branch, kind=kind)
    items = [item.as_dict() for item in built_in_items(kind)]
    return CheckListVersion.objects.get_or_create(
        check_list=check_list, number=1, defaults={"items": items, "made_at": now}
    )[0]


def change_check_list(
    *, version: CheckListVersion, items: Sequence[Item], by: User, now: dt.datetime
) -> CheckListVersion:
    """Make the version after `version`. Raises ListChanged when it is no longer the newest."""
    try:
        with transaction.atomic():
            return CheckListVersion.objects.create(
                check_list=version.check_list,
                number=version.number + 1,
                items=[item.as_dict() for item in items],
                made_at=now,
                made_by=by,
            )
    except IntegrityError as twin:
        words = f"{version.check_list} was changed by somebody else meanwhile; look at it again."
        raise ListChanged(words) from twin
