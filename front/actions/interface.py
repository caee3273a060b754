"""The verbs about keys of the JSON interface."""

from __future__ import annotations

import datetime as dt
import hashlib
import secrets
from collections.abc import Iterable

from django.db import transaction
from django.db.models import Q

from front.models import InterfaceKey
from shop.models import Branch, User

MARK = "rbk_"  # so that a scanner of leaked secrets knows one
SHOWN = 10
SEEN_AGAIN_AFTER = dt.timedelta(minutes=1)  # a busy program is not written down at each question


def digest_of(key: str) -> str:
    """A plain digest is enough: nobody guesses 256 random bits."""
    return hashlib.sha256(key.encode()).hexdigest()


@transaction.atomic
def make_key(
    *, branch: Branch, name: str, scopes: Iterable[str], by: User, now: dt.datetime
) -> tuple[InterfaceKey, str]:
    """The row, and the key itself, which nobody can read again."""
    key = MARK + secrets.token_urlsafe(32)
    row = InterfaceKey.objects.create(
        branch=branch, name=name, begins=key[:SHOWN], digest=digest_of(key),
        scopes=sorted(scopes), made_at=now, made_by=by,
    )  # fmt: skip
    return row, key


def revoke_key(*, key: InterfaceKey, now: dt.datetime) -> None:
    """The key opens nothing from now on. Safe to repeat."""
    InterfaceKey.objects.live().filter(pk=key.pk).update(revoked_at=now)


def note_use(*, key: InterfaceKey, now: dt.datetime) -> None:
    """Write down that it was used, at most once a minute."""
    before = now - SEEN_AGAIN_AFTER
    if key.last_used_at is None or key.last_used_at < before:
        seen_before = Q(last_used_at=None) | Q(last_used_at__lt=before)
        InterfaceKey.objects.filter(seen_before, pk=key.pk).update(last_used_at=now)
