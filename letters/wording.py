"""A letter's words: one Markdown template gives the subject, the text and the HTML.

Facts are disarmed before they are filled in: what a value holds is shown, never obeyed.
"""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Mapping
from dataclasses import dataclass
from zoneinfo import ZoneInfo

from django.template.loader import render_to_string
from django.utils import timezone, translation
from django.utils.formats import date_format
from django.utils.translation import gettext, gettext_noop
from markdown_it import MarkdownIt

from customers.templatetags.homes import phone
from kit import words
from letters.contents import check_facts
from letters.kinds import kind_of
from letters.models import Sender

# Markdown without raw HTML.
_to_html = MarkdownIt("commonmark", {"html": False})
_SPECIAL = re.compile(r"([\\`*_{}\[\]()<>#+!|~])")
_ESCAPED = re.compile(r"\\([\\`*_{}\[\]()<>#+!|~])")
_LINK = re.compile(r"(?<!\\)\[([^\]]+)\]\(([^)]+)\)")
_BOLD = re.compile(r"(?<!\\)\*\*")

# A colder slot was chosen by a person for some other reason.
LEAST_SAID_WARMTH = 0.5

# Words that arrive as facts and are said in the customer's language.
_FROM_FACTS = (
    gettext_noop("cooling check"),
    gettext_noop("heating check"),
    gettext_noop("cooling and heating checks"),
    gettext_noop("cooling check, test only"),
    gettext_noop("very likely warm enough"),
    gettext_noop("likely warm enough"),
    gettext_noop("more likely warm enough than not"),
    gettext_noop("about as likely warm enough as not"),
)


@dataclass(frozen=True, slots=True)
class Wording:
    """What the customer reads."""

    subject: str
    text: str
    html: str


def word(
    *,
    kind: str,
    language: str,
    zone: ZoneInfo,
    sender: Sender,
    customer_name: str,
    facts: Mapping[str, object],
    links: Mapping[str, str],
) -> Wording:
    """Word a letter. `facts` as in letters.contents, `links` name to whole address.

    Raises FactMissing when the kind needs a fact that is not there, ValueError for a moment
    that cannot be read.
    """
    check_facts(kind, {**facts, "links": links})
    with translation.override(language), timezone.override(zone):
        values = {**_on_the_clock(facts, zone), "customer_name": customer_name}
        context = {
            **{name: _disarmed(value) for name, value in values.items()},
            "sender": _letterhead(sender),
            "links": links,
            "is_reminder": kind_of(kind).is_reminder,
        }
        marked = render_to_string(f"letters/{kind}.md", context).strip()
        first, _, body = marked.partition("\n")
        subject = _plain(first.removeprefix("#"))
        frame = {"subject": subject, "body": _to_html.render(body.strip())}
        html = render_to_string("letters/frame.html", frame)
    return Wording(subject, _plain(body) + "\n", html)


def _letterhead(sender: Sender) -> dict[str, object]:
    said = {
        "from_name": sender.from_name,
        "postal_address": sender.postal_address,
        "phone": phone(sender.phone),
        "emergency_phone": phone(sender.emergency_phone),
    }
    return {name: _disarmed(value) for name, value in said.items()}


def _on_the_clock(facts: Mapping[str, object], zone: ZoneInfo) -> dict[str, object]:
    """Moments become a day and a clock time, checks and warmth become words of the language."""
    values: dict[str, object] = {}
    for name, value in facts.items():
        if name.endswith("_at") or name == "answer_by":
            moment = dt.datetime.fromisoformat(str(value)).astimezone(zone)
            stem = name.removesuffix("_at")
            values[f"{stem}_day"] = date_format(moment, gettext("l, F j"))
            values[f"{stem}_clock"] = date_format(moment, gettext("g:i A"))
        elif name == "check":
            values[name] = gettext(words.check_kind(str(value)))
        elif name == "warmth":
            values[name] = _warmth(value)
        else:
            values[name] = value
    return values


def _warmth(share: object) -> str:
    """The warmth in words, without its number; nothing where it would be no reason to come."""
    if not isinstance(share, float) or share < LEAST_SAID_WARMTH:
        return ""
    return gettext(words.warmth(share).partition(" (")[0])


def _disarmed(value: object) -> object:
    """A fact on one line, with everything that Markdown would obey escaped."""
    if isinstance(value, str):
        return _SPECIAL.sub(r"\\\1", " ".join(value.split()))
    if isinstance(value, list | tuple):
        return [_disarmed(part) for part in value]
    return value


def _plain(marked: str) -> str:
    """The Markdown as a person would type it: addresses on lines of their own."""
    text = _BOLD.sub("", _LINK.sub(r"\1:\n\2", marked))
    return _ESCAPED.sub(r"\1", re.sub(r"\n{3,}", "\n\n", text).replace("  \n", "\n")).strip()
