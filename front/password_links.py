"""Links at which a person chooses a password: for three days, once, the newest alone.

Django's own token carries its time in itself, and would be good again on a clock that is put back.
So a row says until when, as for every other link; what has ended stays ended (letters.sweep).
"""

from __future__ import annotations

import datetime as dt

from django.conf import settings
from django.contrib.auth.tokens import PasswordResetTokenGenerator
from django.utils import timezone

from kit.web.clock import PUT_BACK
from letters.links import link_for, revoke_links
from letters.models import Link
from shop.models import User

PURPOSE = "password"


def _about(user: User) -> str:
    return f"user:{user.pk}"


def _link_of(user: User, now: dt.datetime) -> Link | None:
    """The live one; one that was made on a clock that ran ahead would live too long."""
    live = Link.objects.live(now).filter(purpose=PURPOSE, about=_about(user))
    return live.filter(made_at__lte=now + PUT_BACK).last()


class PasswordLinks(PasswordResetTokenGenerator):
    """Django's token, tied to the row."""

    key_salt = "front.password_links"

    def make_token(self, user: User) -> str:
        now = timezone.now()
        revoke_links(about=_about(user), purpose=PURPOSE, now=now)
        lasts = dt.timedelta(seconds=settings.PASSWORD_RESET_TIMEOUT)
        link_for(purpose=PURPOSE, about=_about(user), now=now, lasts=lasts)
        return super().make_token(user)

    def check_token(self, user: User | None, token: str | None) -> bool:
        live = user is not None and _link_of(user, timezone.now()) is not None
        return live and super().check_token(user, token)

    def _make_hash_value(self, user: User, timestamp: int) -> str:
        link = _link_of(user, timezone.now())
        return f"{super()._make_hash_value(user, timestamp)}{link.pk if link else ''}"


password_links = PasswordLinks()
