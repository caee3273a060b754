"""Nora's house through the year: an agreement, a climate, a letterhead, a link."""

from __future__ import annotations

import datetime as dt

from django.urls import reverse
from django.utils import timezone

from agreements.actions import make_agreement
from customers.models import Filter, Home, SystemKind
from letters.links import link_for, token_of
from letters.models import Link, Sender
from reminders.actions.outbox import HOME
from reminders.models import NoStart
from reminders.reading import about_home
from tests import cast, factories
from weather.actions import set_climate
from weather.demonstration import demonstration_climate

MAY = dt.date(2027, 5, 13)
MAY_MORNING = dt.datetime(2027, 5, 13, 11, 30, tzinfo=dt.UTC)  # 6:30 in Cedarburg


def branch():
    """Cedarburg, able to write letters and to tell the seasons."""
    cedarburg = cast.cedarburg()
    set_climate(branch=cedarburg, climate=demonstration_climate(), now=MAY_MORNING)
    Sender.objects.get_or_create(
        branch=cedarburg,
        defaults={
            "from_name": "Larkspur Heating & Cooling",
            "from_email": "office@example.com",
            "phone": "+14145550100",
            "postal_address": "7 Mill Lane, Cedarburg, WI 53012",
            "emergency_phone": "+14145550199",
        },
    )
    return cedarburg


def noras_home(**facts: object) -> Home:
    """Nora's home with an agreement; its filter was changed on 1 April 2027."""
    branch()
    home = cast.noras_home()
    factories.SystemFactory(home=home, kind=SystemKind.FURNACE)
    if facts:
        Home.objects.filter(pk=home.pk).update(**facts)
    Filter.objects.filter(system__home=home).update(last_changed_on=dt.date(2027, 4, 1))
    agree(home)
    home.refresh_from_db()
    return home


def filter_of(home: Home) -> Filter:
    """The home's one filter."""
    return Filter.objects.get(system__home=home)


def agree(home: Home) -> None:
    """An agreement that runs through 2027."""
    make_agreement(home=home, plan=cast.spring_check(), starts_on=cast.FIRST_DAY)


def some_homes(count: int) -> None:
    """Homes whose filter was changed on 1 April, each with an agreement."""
    cedarburg = branch()
    for _ in range(count):
        home = factories.HomeFactory(customer__branch=cedarburg)
        system = factories.SystemFactory(home=home)
        factories.FilterFactory(system=system, last_changed_on=dt.date(2027, 4, 1))
        agree(home)


def link(home: Home) -> Link:
    return link_for(
        purpose=HOME, about=about_home(home.pk), now=timezone.now(), customer=home.customer
    )


def address(home: Home, page: str = "home", *rest: object) -> str:
    """The address of a page that a letter leads to."""
    return reverse(f"reminders:{page}", args=[token_of(link(home)), *rest])


def no_start(home: Home, **told: object) -> NoStart:
    return NoStart.objects.create(
        **{"home": home, "asked_at": MAY_MORNING, "outcome": "call", "tried": ["cover"]} | told
    )
