"""The verb that puts a whole chunk of reminders into the outbox."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

from django.db import transaction
from django.utils import translation

from letters.kinds import kind_of
from letters.models import Letter, Link
from reminders.facts import Reminder
from reminders.reading import HomeRead, about_home
from reminders.said import size, why

HOME = "home"  # the purpose of a link to the home's own page, and its name in a letter


@dataclass(frozen=True, slots=True)
class Draft:
    """A reminder and the home that is to hear it."""

    home: HomeRead
    reminder: Reminder


@transaction.atomic
def write_letters(*, drafts: Sequence[Draft], now: dt.datetime, due_at: dt.datetime) -> None:
    """Write the letters that are not written yet; the database passes over the others.

    Three queries for any number of them, four when a home has no link to its page yet.
    """
    links, facts = _home_links(drafts, now), _facts(drafts)
    Letter.objects.bulk_create(
        [
            Letter(
                customer_id=draft.home.customer_id,
                kind=draft.reminder.kind,
                about=about,
                occasion=draft.reminder.occasion,
                to_email=draft.home.email,
                facts=fact | {"links": {HOME: [links[about, customer], "reminders:home"]}},
                written_at=now,
                due_at=due_at,
                expires_at=due_at + kind_of(draft.reminder.kind).expires_after,
            )
            for draft, fact in zip(drafts, facts, strict=True)
            for about, customer in [_key(draft)]
        ],
        ignore_conflicts=True,
    )


def _facts(drafts: Sequence[Draft]) -> list[dict[str, object]]:
    """What each letter's template fills in. The language is set once for all who speak it, and a
    sentence is put into words once for all who hear it: a rinse is due everywhere for one reason.
    """
    found: dict[int, dict[str, object]] = {}
    for language in {draft.home.language for draft in drafts}:
        with translation.override(language):
            in_words = cache(why)
            for number, draft in enumerate(drafts):
                if draft.home.language == language:
                    found[number] = _facts_of(draft, in_words(draft.reminder.said))
    return [found[number] for number in range(len(drafts))]


def _facts_of(draft: Draft, why_now: str) -> dict[str, object]:
    reminder, home = draft.reminder, draft.home
    facts: dict[str, object] = {"customer_name": home.customer_name, "why": why_now}
    if reminder.kind == "filter":
        filter_ = next(one for one in home.facts.filters if str(one.id) == reminder.about)
        facts |= {"size": size(filter_.inches), "where": home.where[reminder.about]}
    if reminder.kind == "returns":
        facts["to_cooling"] = reminder.about == "cooling"
    return facts


def _home_links(drafts: Sequence[Draft], now: dt.datetime) -> dict[tuple[str, int | None], int]:
    """The live link of each home to its own page, made where there is none."""
    keys = {_key(draft) for draft in drafts}
    live = Link.objects.live(now).filter(purpose=HOME, about__in=[about for about, _ in keys])
    found = {
        (about, customer): pk for about, customer, pk in live.values_list("about", "customer", "pk")
    }
    made = Link.objects.bulk_create(
        Link(purpose=HOME, about=about, customer_id=customer, made_at=now)
        for about, customer in sorted(keys - found.keys())
    )
    return found | {(link.about, link.customer_id): link.pk for link in made}


def _key(draft: Draft) -> tuple[str, int]:
    return about_home(draft.home.facts.id), draft.home.customer_id
