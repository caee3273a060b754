"""Links without a password: signed with the secret key, checked against their row.

The signature is computed, not kept: who reads the database alone cannot use a link.
"""

from __future__ import annotations

import datetime as dt

from django.conf import settings
from django.core.signing import BadSignature, Signer
from django.urls import reverse

from customers.models import Customer
from letters.models import Link

_signer = Signer(salt="letters.link", sep="~")


def link_for(
    *,
    purpose: str,
    about: str,
    now: dt.datetime,
    customer: Customer | None = None,
    lasts: dt.timedelta | None = None,
) -> Link:
    """The live link of this purpose and thing, made when there is none. `lasts` None: no end."""
    found = Link.objects.live(now).filter(purpose=purpose, about=about, customer=customer).first()
    return found or Link.objects.create(
        purpose=purpose,
        about=about,
        customer=customer,
        made_at=now,
        expires_at=now + lasts if lasts else None,
    )


def token_of(link: Link) -> str:
    """What stands in the address: the row's number and its signature."""
    return _signer.sign(f"{link.pk}")


def address_of(link: Link, view: str) -> str:
    """The whole address of the page `view` that takes the token."""
    return settings.PUBLIC_URL.rstrip("/") + reverse(view, args=[token_of(link)])


def read_token(token: str, *, purpose: str) -> Link | None:
    """The link of an unaltered token, live or not; None: altered, or for another purpose."""
    try:
        number = _signer.unsign(token)
    except BadSignature:
        return None
    return Link.objects.filter(pk=number, purpose=purpose).select_related("customer").first()


def is_live(link: Link, now: dt.datetime) -> bool:
    """Not revoked and not expired."""
    return link.revoked_at is None and (link.expires_at is None or link.expires_at > now)


def revoke_links(*, about: str, now: dt.datetime, purpose: str | None = None) -> int:
    """End the links of a thing."""
    links = Link.objects.live(now).filter(about=about)
    return (links.filter(purpose=purpose) if purpose else links).update(revoked_at=now)


def end_expired_links(*, now: dt.datetime) -> int:
    """What has ended stays ended, also when the server's clock is put back."""
    return Link.objects.expired(now).update(revoked_at=now)
