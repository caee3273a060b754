"""A technician's day on paper: for the day when the phone is lost, wet or empty.

A gate code is never printed: a sheet is left on a dashboard, a phone is locked.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

import segno
from django.conf import settings
from django.db.models import prefetch_related_objects
from django.urls import reverse
from django.utils.safestring import SafeString, mark_safe

from customers.models import System
from fieldwork.day import covered
from scheduling.day import Route, routes_of
from scheduling.models import Technician, Visit
from shop.models import Branch

OF_VISITS = ("owed_visit__agreement__systems", "owed_visit__agreement__home__systems")


@dataclass(frozen=True)
class SheetStop:
    """One visit with its systems; `code` is the QR code of its page as SVG."""

    visit: Visit
    systems: list[System]
    code: SafeString


@dataclass(frozen=True)
class Sheet:
    """One technician's paper; `away`: why there is no work. `code` opens My day."""

    technician: Technician
    away: str
    stops: tuple[SheetStop, ...]
    code: SafeString


def sheets_of(branch: Branch, day: dt.date, only: Technician | None = None) -> list[Sheet]:
    """The papers of everyone who drives, or only one's. Six queries, however many visits."""
    routes = routes_of(branch, day, None if only is None else [only.pk])
    prefetch_related_objects([visit for route in routes for visit in route.visits], *OF_VISITS)
    return [_sheet(route, day) for route in routes if route.visits or only]


def _sheet(route: Route, day: dt.date) -> Sheet:
    return Sheet(
        technician=route.technician,
        away=route.away,
        stops=tuple(
            SheetStop(
                visit,
                covered(visit),
                qr_code(
                    reverse("fieldwork:visit", args=[day, visit.pk]),
                    f"QR code: visit of {visit.owed_visit.home.customer}",
                ),
            )
            for visit in route.visits
        ),
        code=qr_code(reverse("fieldwork:my-day"), "QR code: My day"),
    )


def qr_code(path: str, title: str) -> SafeString:
    """A page of ours as a QR code, which stands a coffee stain (error level M)."""
    code = segno.make(settings.PUBLIC_URL.rstrip("/") + path, error="m", micro=False)
    drawn = code.svg_inline(omitsize=True, title=title, svgclass="qr", lineclass=None)
    return mark_safe(drawn)  # noqa: S308  (segno escapes the title)
