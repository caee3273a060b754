"""Letters of Cedarburg for the stories, and senders that send them."""

from __future__ import annotations

import datetime as dt

from django.core.mail import get_connection

from letters.actions.send import claim_letters, send_letter
from letters.models import Letter
from tests import cast, factories

# Nine in the morning in Cedarburg: no quiet hours.
MORNING = dt.datetime(2027, 4, 1, 14, tzinfo=dt.UTC)
STARTS = dt.datetime(2027, 4, 20, 18, 30, tzinfo=dt.UTC)
HOUR = dt.timedelta(hours=1)
VISIT_FACTS = {
    "check": "cooling",
    "cooling": True,
    "starts_at": STARTS.isoformat(),
    "ends_at": (STARTS + HOUR).isoformat(),
    "old_starts_at": (STARTS - 24 * HOUR).isoformat(),
    "technician": "Ingrid Solberg",
    "address": "14 Alder Court, Cedarburg",
}
INVITATION = {
    "method": "REQUEST",
    "uid": "visit-17.cedarburg@redbud.example.com",
    "sequence": 1,
    "starts_at": STARTS.isoformat(),
    "ends_at": (STARTS + HOUR).isoformat(),
    "summary": "Cooling check",
}


def reminder(**fields) -> Letter:
    """A reminder for Nora that is due."""
    cast.letterhead()
    return factories.LetterFactory(**{"customer": cast.nora()} | fields)


def notice(**fields) -> Letter:
    """A letter for Nora about a visit: its time was cancelled."""
    kept = {"kind": "promise_cancelled", "about": "visit:17", "occasion": "2"}
    return reminder(**{**kept, "facts": VISIT_FACTS} | fields)


def send_all(now: dt.datetime = MORNING, mail=None) -> list[str]:
    """One sender sends what is due; the states that the letters went to."""
    mail = mail or get_connection()
    return [send_letter(letter=one, mail=mail, now=now) for one in claim_letters(now=now)]


def again(letter: Letter) -> Letter:
    """The letter as the database has it now."""
    return Letter.objects.get(pk=letter.pk)
