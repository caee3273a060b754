"""The verb that takes a customer's personal data out, for good."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable

from django.contrib.admin.models import LogEntry
from django.contrib.contenttypes.models import ContentType
from django.db import models, transaction
from django.db.models.fields.files import FieldFile

from agreements.models import SpreadsheetImport
from customers.models import Customer, Precision
from front.models import Erasure
from front.personal.belongings import Belongings
from front.personal.files import delete_files
from front.personal.inventory import obstacles_of
from front.personal.sheets import sheets_naming
from front.personal.traces import FREE_WORDS, names_of, naming
from kit.web.append_only import ERASED
from letters.actions.emptying import empty_letters
from scheduling.actions.visits import unplace_visit
from scheduling.models import SeasonRun, State
from scheduling.road_cache import forget_drives_of
from shop.models import User


class NotTakenOut(ValueError):
    """What has to be settled first, one sentence each."""

    def __init__(self, obstacles: Iterable[str]) -> None:
        self.obstacles = tuple(obstacles)
        super().__init__(". ".join(self.obstacles))


@transaction.atomic
def take_out_personal_data(
    *, customer: Customer, by: User, today: dt.date, now: dt.datetime
) -> Erasure:
    """Take out whatever names the customer; money, terms and readings stay without a name.

    Files go once the transaction has ended well. Raises NotTakenOut.
    """
    customer = Customer.objects.select_for_update().get(pk=customer.pk)
    hers, names = Belongings(customer), names_of(customer)
    if obstacles := list(obstacles_of(hers, today)):
        raise NotTakenOut(obstacles)
    sheets = [sheet.pk for sheet in sheets_naming(customer.branch, names)]
    SpreadsheetImport.objects.filter(pk__in=sheets).delete()
    _fieldwork(hers)
    _visits(hers, now, by)
    _agreements(hers)
    _letters(hers)
    _free_words(names)
    _log_entries(hers)
    _homes(hers)
    _nameless(customer)
    return Erasure.objects.create(customer=customer, at=now, by=by)


def _fieldwork(hers: Belongings) -> None:
    """Before the name goes: a seller's records are known by it."""
    files: list[FieldFile] = [photo.image for photo in hers.photos]
    files += [record.signature for record in hers.records if record.signature]
    files += [event.file for event in hers.phone_events if event.file]
    transaction.on_commit(lambda: delete_files(files))
    records = list(hers.records.values_list("pk", flat=True))
    hers.photos.delete()
    hers.entries.exclude(note="").update(note=ERASED)
    hers.recommendations.update(words=ERASED)
    hers.stamps.exclude(why="").update(why=ERASED)
    hers.phone_events.exclude(words="").update(words=ERASED)
    hers.phone_events.update(payload={}, file="")
    model = hers.records.model.objects.filter(pk__in=records)
    model.exclude(why="").update(why=ERASED)
    model.update(signature="")
    model.exclude(signed_name="").update(signed_name=ERASED)


def _visits(hers: Belongings, now: dt.datetime, by: User) -> None:
    for visit in hers.visits.filter(state=State.HELD):
        unplace_visit(visit=visit, now=now, by=by)
    hers.visits.update(why="", release="")
    hers.visit_events.exclude(words="").update(words=ERASED)
    hers.offers.exclude(why_call="").update(why_call=ERASED)
    hers.repair_steps.update(why=ERASED)
    hers.repair_steps.exclude(ended_why="").update(ended_why=ERASED)
    hers.trips.exclude(why="").update(why=ERASED)


def _agreements(hers: Belongings) -> None:
    hers.agreement_events.update(words=ERASED)
    hers.agreements.exclude(signed_by="").update(signed_by=ERASED)
    for field in ("why_ended", "why_declined"):
        hers.agreements.update(**{field: ""})
    hers.owed_visits.update(why_waived="")
    hers.payments.exclude(why="").update(why=ERASED)
    hers.refunds.update(why=ERASED)
    hers.spellings.delete()
    hers.no_starts.update(words="")


def _letters(hers: Belongings) -> None:
    empty_letters(letters=hers.letters)
    hers.links.delete()
    hers.stops.delete()
    hers.bad_addresses.delete()


def _free_words(names: set[str]) -> None:
    """Other customers' rows may name her: who gave up a time for whom."""
    for model, field in FREE_WORDS:
        rows = naming(model, field, names)
        rows.update(**{field: "" if model is LogEntry else ERASED})
    naming(SeasonRun, "before", names).update(before=[])  # such a plan is not undone any more


def _log_entries(hers: Belongings) -> None:
    """Django's admin writes down how a row called itself."""
    for rows in (hers.homes, hers.systems, hers.agreements, hers.visits, hers.records):
        model: type[models.Model] = rows.model
        known = [str(pk) for pk in rows.values_list("pk", flat=True)]
        LogEntry.objects.filter(
            content_type=ContentType.objects.get_for_model(model), object_id__in=known
        ).update(object_repr="", change_message="")


def _homes(hers: Belongings) -> None:
    points = set(hers.homes.exclude(latitude=None).values_list("latitude", "longitude"))
    transaction.on_commit(lambda: forget_drives_of(points))
    hers.systems.update(serial="", notes="")
    hers.filters.update(where="")
    for home in hers.homes:
        home.street, home.unit, home.city = f"(taken out) {home.pk}", "", ""
        home.state, home.zip = "", ""
        home.latitude = home.longitude = home.elevation_ft = None
        home.precision = Precision.UNKNOWN
        home.access_notes = home.gate_code = home.dog = ""
        home.pets = home.smokers = home.winter_cover = None
        home.ice_falls_on_unit = home.plants_near_unit = home.high_low_returns = None
        home.short_notice, home.search_text = False, "taken out"
        home.save()


def _nameless(customer: Customer) -> None:
    customer.name, customer.notes = f"(taken out) {customer.pk}", ""
    customer.phone = customer.second_phone = customer.email = ""
    customer.save()
