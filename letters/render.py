"""A letter's row becomes a mail: wording, headers, and the invitation for the calendar."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from email.encoders import encode_base64
from email.mime.base import MIMEBase
from email.utils import formataddr

from django.conf import settings
from django.core.mail import EmailMultiAlternatives

from letters.contents import CONTENTS
from letters.headers import AUTOMATIC, list_unsubscribe
from letters.invitation import Invitation, cancel, request
from letters.links import address_of, link_for
from letters.models import Letter, Link, Sender
from letters.models.letter import new_message_id
from letters.samples import NAME, sample_facts, sample_invitation
from letters.wording import Wording, word

STOP_VIEW = "letters:stop"


def message_of(letter: Letter) -> EmailMultiAlternatives:
    """The mail of a letter, the same however often it is made."""
    sender, stop = letter.customer.branch.sender, stop_link(letter)
    headers = {"Message-ID": letter.message_id, **AUTOMATIC}
    if letter.rules.is_reminder:
        one_click = address_of(stop, "letters:one-click")
        headers |= list_unsubscribe(f"{one_click}?kind={letter.kind}")
    message = _mail(_wording(letter, address_of(stop, STOP_VIEW)), sender, letter.to_email, headers)
    # Mail providers put a Message-ID of their own in its place and give this one back.
    message.metadata = {"letter": letter.message_id}  # type: ignore[attr-defined]
    if letter.invitation:
        facts, name = letter.invitation, letter.customer.name
        to_email, written_at = letter.to_email, letter.written_at
        message.attach(_calendar_part(facts, sender, name, to_email, written_at))
    return message


def preview_of(letter: Letter) -> Wording:
    """What the customer would read. Looked at, not sent: so no link is made for it."""
    return _wording(letter, f"{settings.PUBLIC_URL}/#stop")


def _wording(letter: Letter, stop: str) -> Wording:
    """What the customer reads, in her language and on the branch's clock."""
    customer = letter.customer
    facts = {name: value for name, value in letter.facts.items() if name != "links"}
    return word(
        kind=letter.kind,
        language=customer.language,
        zone=customer.branch.zone,
        sender=customer.branch.sender,
        customer_name=customer.name,
        facts=facts,
        links=_addresses(letter.facts.get("links", {})) | {"stop": stop},
    )


def sample_wording(kind: str, language: str, sender: Sender, now: dt.datetime) -> Wording:
    """A letter of this kind with make-believe facts; its links lead nowhere."""
    zone = sender.branch.zone
    return word(
        kind=kind,
        language=language,
        zone=zone,
        sender=sender,
        customer_name=NAME,
        facts=sample_facts(now, zone, language),
        links=dict.fromkeys([*CONTENTS[kind].links, "stop"], f"{settings.PUBLIC_URL}/#sample"),
    )


def sample_message(sender: Sender, to_email: str, now: dt.datetime) -> EmailMultiAlternatives:
    """A sample with an invitation, to see what arrives."""
    wording = sample_wording("promise_confirmed", "en", sender, now)
    headers = {"Message-ID": new_message_id(), **AUTOMATIC}
    message = _mail(wording, sender, to_email, headers)
    facts = sample_invitation(sample_facts(now, sender.branch.zone, "en"))
    message.attach(_calendar_part(facts, sender, NAME, to_email, now))
    return message


def stop_link(letter: Letter) -> Link:
    """The customer's lasting link to stop letters."""
    return link_for(
        purpose="stop",
        about=f"customer:{letter.customer_id}",
        now=letter.written_at,
        customer=letter.customer,
    )


def _addresses(links: Mapping[str, tuple[int, str]]) -> dict[str, str]:
    """Link names to whole addresses; the letter keeps each as the row's number and its view."""
    rows = Link.objects.in_bulk([number for number, _ in links.values()])
    return {name: address_of(rows[number], view) for name, (number, view) in links.items()}


def _mail(
    wording: Wording, sender: Sender, to_email: str, headers: dict[str, str]
) -> EmailMultiAlternatives:
    """Text and HTML. What cannot be delivered comes back to the bounce mailbox, if there is one."""
    shown = formataddr((sender.from_name, sender.from_email))
    message = EmailMultiAlternatives(
        subject=wording.subject,
        body=wording.text,
        from_email=settings.BOUNCE_ADDRESS or shown,
        to=[to_email],
        headers=headers | {"From": shown},
    )
    message.attach_alternative(wording.html, "text/html")
    return message


def _calendar_part(
    facts: Mapping, sender: Sender, name: str, to_email: str, now: dt.datetime
) -> MIMEBase:
    """The invitation or its cancellation, as its own part (RFC 6047)."""
    method = facts["method"]
    invitation = Invitation(
        uid=facts["uid"],
        sequence=facts["sequence"],
        starts_at=dt.datetime.fromisoformat(facts["starts_at"]),
        ends_at=dt.datetime.fromisoformat(facts["ends_at"]),
        summary=facts["summary"],
        description=facts.get("description", ""),
        location=facts.get("location", ""),
        organizer_name=sender.from_name,
        organizer_email=sender.from_email,
        attendee_name=name,
        attendee_email=to_email,
    )
    make = cancel if method == "CANCEL" else request
    part = MIMEBase("text", "calendar", method=method, charset="utf-8", component="VEVENT")
    part.set_payload(make(invitation, now))
    encode_base64(part)
    part.add_header("Content-Disposition", "attachment", filename="visit.ics")
    return part
