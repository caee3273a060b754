"""Verbs about the people who sign in."""

from __future__ import annotations

from django.contrib.sessions.models import Session
from django.db import transaction
from django.utils.encoding import force_bytes
from django.utils.http import urlsafe_base64_encode

from front.password_links import password_links
from shop.models import User


class StaffRefused(ValueError):
    """A change of the staff that would lock the shop out, in words."""


@transaction.atomic
def invite(*, person: User) -> User:
    """Write someone down who has no password yet; the link lets them choose one."""
    person.set_unusable_password()
    person.save()
    return person


def password_link_of(person: User) -> tuple[str, str]:
    """The two parts of an address at which the person chooses a password, for three days, once.

    The links that she was given before are ended."""
    return urlsafe_base64_encode(force_bytes(person.pk)), password_links.make_token(person)


@transaction.atomic
def stop_sign_in(*, person: User, by: User) -> None:
    """The person signs in no more, and is signed out everywhere at once."""
    if person == by:
        raise StaffRefused("You cannot take away your own key; another owner can.")
    User.objects.filter(pk=person.pk).update(is_active=False)
    for session in Session.objects.all():
        if session.get_decoded().get("_auth_user_id") == str(person.pk):
            session.delete()


@transaction.atomic
def let_sign_in(*, person: User) -> None:
    """The person may come in again, with the password of before."""
    User.objects.filter(pk=person.pk).update(is_active=True)
