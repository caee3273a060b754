"""Where a person is signed in, read from the sessions themselves."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from django.contrib.sessions.models import Session
from django.http import HttpRequest
from django_otp.plugins.otp_totp.models import TOTPDevice

from shop.models import User

LONGEST_BROWSER = 120
# What stands in a browser's own name for itself; the first that is found counts, because each
# also claims to be the ones behind it.
BROWSERS = (("Edg", "Edge"), ("OPR", "Opera"), ("Firefox", "Firefox"), ("FxiOS", "Firefox"),
            ("CriOS", "Chrome"), ("Chrome", "Chrome"), ("Safari", "Safari"))  # fmt: skip
MACHINES = (("iPhone", "iPhone"), ("iPad", "iPad"), ("Android", "Android"), ("Windows", "Windows"),
            ("Mac OS X", "Mac"), ("CrOS", "Chromebook"), ("Linux", "Linux"))  # fmt: skip


@dataclass(frozen=True, slots=True)
class Place:
    """One browser with a running session; `here`: the one that asks."""

    key: str
    browser: str
    since: dt.datetime | None
    here: bool


def browser_of(request: HttpRequest) -> str:
    """Which browser on which machine, as "Chrome on Windows"; else what it calls itself."""
    named = request.headers.get("User-Agent", "")
    browser = next((name for mark, name in BROWSERS if mark in named), "")
    machine = next((name for mark, name in MACHINES if mark in named), "")
    return f"{browser} on {machine}" if browser and machine else named[:LONGEST_BROWSER]


def places_of(user: User, own_key: str | None, now: dt.datetime) -> list[Place]:
    """The person's sessions, newest first. A shop has dozens, so each is opened and read."""
    found = []
    for session in Session.objects.filter(expire_date__gt=now).order_by("-expire_date"):
        held = session.get_decoded()
        if held.get("_auth_user_id") == str(user.pk):
            since = held.get("since")
            found.append(
                Place(
                    key=session.session_key,
                    browser=held.get("browser") or "unknown browser",
                    since=dt.datetime.fromisoformat(since) if since else None,
                    here=session.session_key == own_key,
                )
            )
    return found


def authenticator_of(user: User, *, confirmed: bool = True) -> TOTPDevice | None:
    """The person's authenticator; `confirmed=False`: the one that is being set up."""
    return TOTPDevice.objects.filter(user=user, confirmed=confirmed).first()
