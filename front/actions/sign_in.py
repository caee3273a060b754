"""Verbs at the door: the second step, ending a session."""

from __future__ import annotations

import datetime as dt

from axes.models import AccessAttempt
from django.contrib.sessions.models import Session
from django.db import transaction
from django_otp.plugins.otp_static.models import StaticDevice, StaticToken
from django_otp.plugins.otp_totp.models import TOTPDevice

from front.sign_ins import authenticator_of
from kit.web.clock import A_MINUTE
from shop.models import User

SPARE_CODES = 8


def begin_second_step(*, user: User) -> TOTPDevice:
    """The secret that is being set up; the same one until a code has proven it."""
    return authenticator_of(user, confirmed=False) or TOTPDevice.objects.create(
        user=user, name="authenticator", confirmed=False
    )


@transaction.atomic
def confirm_second_step(*, user: User, device: TOTPDevice) -> list[str]:
    """From now on this authenticator counts and no older one; answers the spare codes, once."""
    TOTPDevice.objects.filter(user=user).exclude(pk=device.pk).delete()
    device.confirmed = True
    device.save()
    StaticDevice.objects.filter(user=user).delete()
    spare = StaticDevice.objects.create(user=user, name="spare codes")
    codes = [StaticToken.random_token() for _ in range(SPARE_CODES)]
    StaticToken.objects.bulk_create(StaticToken(device=spare, token=code) for code in codes)
    return codes


@transaction.atomic
def drop_second_step(*, user: User) -> None:
    """For who has lost the telephone; the next sign-in sets up a new one."""
    TOTPDevice.objects.filter(user=user).delete()
    StaticDevice.objects.filter(user=user).delete()


def end_session(*, key: str) -> None:
    """Sign a browser out."""
    Session.objects.filter(session_key=key).delete()


def bring_failures_back(*, user: User | None, now: dt.datetime) -> None:
    """Wrong passwords, and a person's wrong codes, that were written down on a clock that ran
    ahead count as of now: otherwise who they keep out would wait until the clock has caught up."""
    ahead = now + A_MINUTE
    AccessAttempt.objects.filter(attempt_time__gt=ahead).update(attempt_time=now)
    for model in (TOTPDevice, StaticDevice) if user else ():
        late = model.objects.filter(user=user, throttling_failure_timestamp__gt=ahead)
        late.update(throttling_failure_timestamp=now)
