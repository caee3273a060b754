"""Reminders that come, what homeowners told us, and homes that did not start, as files."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from customers.templatetags.homes import phone
from kit.lists import Column
from kit.web.lists import A_CHUNK, Asked, ListFile
from reminders.coming import ComingLetter, letters_on
from reminders.forms import DayForm
from reminders.models import HomeEvent, NoStart
from reminders.reading import NoClimate
from shop.models import Branch


def _coming(branch: Branch, asked: Asked) -> Iterable[ComingLetter]:
    """Of the day of the screen, today's when none is asked for; none without a climate."""
    form = DayForm(asked.query if "day" in asked.query else {"day": asked.today}, today=asked.today)
    day = form.cleaned_data["day"] if form.is_valid() else asked.today
    try:
        yield from letters_on(day, branch, asked.today)
    except NoClimate:
        return


def _told(branch: Branch, _: Asked) -> Iterator[HomeEvent]:
    rows = HomeEvent.objects.filter(home__customer__branch=branch)
    return rows.select_related("home__customer", "filter").iterator(chunk_size=A_CHUNK)


def _no_starts(branch: Branch, _: Asked) -> Iterator[NoStart]:
    rows = NoStart.objects.of(branch).select_related("home__customer", "seen_by")
    return rows.iterator(chunk_size=A_CHUNK)


COMING = (
    Column("Home no.", lambda letter: letter.home.facts.id, "number"),
    Column("Customer", lambda letter: letter.home.customer_name),
    Column("Home", lambda letter: letter.home.street),
    Column("Reminder", lambda letter: letter.title),
    Column("Why", lambda letter: letter.reminder.why),
)

TOLD = (
    Column("Customer", lambda event: event.home.customer.name),
    Column("Address", lambda event: event.home.address),
    Column("What", lambda event: event.get_kind_display()),
    Column("Filter", lambda event: event.filter and str(event.filter)),
    Column("On", lambda event: event.on, "day"),
    Column("Told by", lambda event: event.get_by_display()),
    Column("Told at", lambda event: event.told_at, "moment"),
)

NO_STARTS = (
    Column("Customer", lambda one: one.home.customer.name),
    Column("Phone", lambda one: phone(one.home.customer.phone)),
    Column("Address", lambda one: one.home.address),
    Column("Asked", lambda one: one.asked_at, "moment"),
    Column("Outcome", lambda one: one.get_outcome_display()),
    Column("Words", lambda one: one.words),
    Column("Taken up", lambda one: one.seen_at, "moment"),
    Column("By", lambda one: one.seen_by and one.seen_by.get_full_name()),
)

LISTS = {
    "reminders": ListFile("Reminders of a day", "a reminder that would go out", COMING, _coming),
    "told": ListFile("What homeowners did", "a filter or cover told to us", TOLD, _told),
    "no-starts": ListFile("Homes that did not start", "a no-start", NO_STARTS, _no_starts),
}
