"""Verbs that change customers, homes, systems and filters."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable

from django.db import transaction

from customers.models import Customer, Filter, Home, HomeLook, Nameplate, Precision, System
from customers.models.look import ONE_LOOK
from customers.places import Place, place_of_zip
from customers.search import folded
from shop.models import User


@transaction.atomic
def save_customer(*, customer: Customer) -> Customer:
    """Write a customer, and let a search find every home under the new name or number."""
    customer.save()
    homes = [refresh_search_text(home=home) for home in customer.homes.all()]
    Home.objects.bulk_update(homes, ["search_text"], batch_size=500)
    return customer


def save_home(*, home: Home, point: Place | None) -> Home:
    """Write a home. `point` None: nobody knows it, so the home stands in the middle of its ZIP."""
    put_at(home=home, place=point or place_of_zip(home.zip))
    refresh_search_text(home=home)
    home.save()
    return home


@transaction.atomic
def open_home(*, customer: Customer, home: Home, point: Place | None) -> Home:
    """Write a new customer together with the first home."""
    home.customer = save_customer(customer=customer)
    return save_home(home=home, point=point)


def save_system(*, system: System) -> System:
    """Write a system of a home."""
    system.save()
    return system


@transaction.atomic
def save_equipment(*, system: System, nameplate: Nameplate) -> System:
    """Write a system together with what its plate says."""
    nameplate.system = save_system(system=system)
    nameplate.save()
    return system


def mark_checked(*, system: System, on: dt.date, by: str) -> System:
    """Note a check; an earlier day than the one on file changes nothing."""
    if system.last_checked_on is None or system.last_checked_on <= on:
        system.last_checked_on, system.last_checked_by = on, by
        system.save(update_fields=["last_checked_on", "last_checked_by"])
    return system


def save_filter(*, filter_: Filter) -> Filter:
    """Write a filter of a system."""
    filter_.save()
    return filter_


def mark_filter_changed(*, filter_: Filter, on: dt.date) -> Filter:
    """Note when a filter was changed; an earlier day than the one on file changes nothing."""
    if filter_.last_changed_on is None or filter_.last_changed_on < on:
        filter_.last_changed_on = on
        filter_.save(update_fields=["last_changed_on"])
    return filter_


def put_at(*, home: Home, place: Place | None) -> Home:
    """Set where the home lies, unsaved. None: not known, so that it cannot be planned."""
    if place is None:
        home.latitude = home.longitude = None
        home.precision = Precision.UNKNOWN
    else:
        home.latitude, home.longitude = place.latitude, place.longitude
        home.precision = place.precision
    return home


def refresh_search_text(*, home: Home) -> Home:
    """Set what a search looks through, unsaved; whenever a name, address or phone changes."""
    customer = home.customer
    phones = [phone.removeprefix("+1") for phone in (customer.phone, customer.second_phone)]
    parts = [customer.name, customer.email, *phones, home.street, home.unit, home.city, home.zip]
    home.search_text = folded(" ".join(filter(None, parts)))
    return home


def note_looks(*, homes: Iterable[Home], by: User, screen: str, now: dt.datetime) -> None:
    """Write down that `by` was shown the gate codes and notes of these homes, and on which screen.

    Called before they are shown: what cannot be written down is not shown. A home without codes
    and notes leaves no line, and the same look within ten minutes leaves one.
    """
    span = now - (now - dt.datetime.min.replace(tzinfo=dt.UTC)) % ONE_LOOK
    HomeLook.objects.bulk_create(
        [
            HomeLook(home=home, by=by, screen=screen, at=now, span=span)
            for home in homes
            if home.has_private_words
        ],
        ignore_conflicts=True,
    )
