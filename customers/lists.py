"""Homes and systems as files. Gate codes and notes about the way in stay on the home's page,
where each look is written down: a file travels too easily.
"""

from __future__ import annotations

from collections.abc import Iterator

from customers.forms import SearchForm
from customers.forms.home import UNKNOWN_PLACE
from customers.models import Home, System
from customers.models.home import HomeQuerySet
from customers.templatetags.homes import phone, yes_no
from kit.lists import Column
from kit.web.lists import A_CHUNK, Asked, ListFile
from shop.models import Branch


def narrowed_homes(branch: Branch, form: SearchForm) -> HomeQuerySet:
    """The homes of the screen's search."""
    found = Home.objects.of(branch).select_related("customer")
    if form.is_valid():
        found = found.matching(form.cleaned_data["q"])
        if form.cleaned_data["place"] == UNKNOWN_PLACE:
            found = found.without_a_place()
    return found


def _homes(branch: Branch, asked: Asked) -> Iterator[Home]:
    found = narrowed_homes(branch, SearchForm(asked.query))
    return found.prefetch_related("systems").iterator(chunk_size=A_CHUNK)


def _systems(branch: Branch, asked: Asked) -> Iterator[System]:
    found = System.objects.filter(home__in=narrowed_homes(branch, SearchForm(asked.query)))
    rows = found.select_related("home__customer").prefetch_related("filters")
    return rows.order_by("home__customer__name", "home_id", "pk").iterator(chunk_size=A_CHUNK)


HOMES = (
    Column("Home no.", lambda home: home.pk, "number"),
    Column("Customer", lambda home: home.customer.name),
    Column("Phone", lambda home: phone(home.customer.phone)),
    Column("Second phone", lambda home: phone(home.customer.second_phone)),
    Column("E-mail", lambda home: home.customer.email),
    Column("Language", lambda home: home.customer.get_language_display()),
    Column("Street", lambda home: home.street),
    Column("Unit", lambda home: home.unit),
    Column("City", lambda home: home.city),
    Column("State", lambda home: home.state),
    Column("ZIP", lambda home: home.zip),
    Column("Latitude", lambda home: home.latitude, "number"),
    Column("Longitude", lambda home: home.longitude, "number"),
    Column("Place known by", lambda home: home.get_precision_display()),
    Column("Systems", lambda home: ", ".join(str(system) for system in home.systems.all())),
    Column("Dog", lambda home: home.dog),
    Column("Pets", lambda home: yes_no(home.pets)),
    Column("Smokers", lambda home: yes_no(home.smokers)),
    Column("Winter cover", lambda home: yes_no(home.winter_cover)),
    Column("Ice falls on the unit", lambda home: yes_no(home.ice_falls_on_unit)),
    Column("Plants near the unit", lambda home: yes_no(home.plants_near_unit)),
    Column("High and low returns", lambda home: yes_no(home.high_low_returns)),
    Column("Short notice", lambda home: home.short_notice),
)

SYSTEMS = (
    Column("System no.", lambda system: system.pk, "number"),
    Column("Home no.", lambda system: system.home_id, "number"),
    Column("Customer", lambda system: system.home.customer.name),
    Column("Address", lambda system: system.home.address),
    Column("Kind", lambda system: system.get_kind_display()),
    Column("Brand", lambda system: system.brand),
    Column("Model", lambda system: system.model_number),
    Column("Serial", lambda system: system.serial),
    Column("Installed", lambda system: system.installed_year, "number"),
    Column("Tons", lambda system: system.tons, "number"),
    Column("Refrigerant", lambda system: system.refrigerant),
    Column("Metering", lambda system: system.get_metering_display()),
    Column("Least test, °F", lambda system: system.least_test_f, "number"),
    Column("Filters", lambda system: ", ".join(str(one) for one in system.filters.all())),
    Column("Last checked", lambda system: system.last_checked_on, "day"),
    Column("Checked by", lambda system: system.last_checked_by),
    Column("Notes", lambda system: system.notes),
)

LISTS = {
    "homes": ListFile(
        "Homes", "a home with its customer and facts, no gate code or notes", HOMES, _homes
    ),
    "systems": ListFile("Systems", "a system with its filters", SYSTEMS, _systems),
}
