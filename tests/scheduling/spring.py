"""A small spring for the stories: Cedarburg, three weeks in May, a technician, some homes."""

from __future__ import annotations

import datetime as dt
from zoneinfo import ZoneInfo

from django.utils import timezone

from customers.models import Precision
from kit.when import moment_at
from scheduling.models import Season, Technician, Visit
from tests import cast, factories
from weather.actions import set_climate
from weather.demonstration import demonstration_climate

CHICAGO = ZoneInfo("America/Chicago")
MONDAY = dt.date(2027, 5, 24)


def at(day: dt.date, hour: int, minute: int = 0) -> dt.datetime:
    """A moment on Cedarburg's clock."""
    return moment_at(day, hour * 60 + minute, CHICAGO)


def season(**changes: object) -> Season:
    """Monday 24 May to Saturday 12 June 2027, on the demonstration climate."""
    branch = cast.cedarburg()
    set_climate(branch=branch, climate=demonstration_climate(), now=timezone.now())
    return factories.SeasonFactory(
        branch=branch,
        **{"name": "Late spring", "starts_on": MONDAY, "ends_on": dt.date(2027, 6, 12)} | changes,
    )


def technician() -> Technician:
    """Ingrid, Monday to Friday from 8:00 to 16:30."""
    person = cast.ingrid()
    for weekday in range(5):
        factories.ShiftFactory(technician=person, weekday=weekday)
    return person


def owed(of: Season, **home: object) -> Visit:
    """One more owed cooling check in the season, at a home of its own."""
    customer = factories.CustomerFactory(branch=of.branch)
    home = {"precision": Precision.EXACT} | home
    house = factories.HomeFactory(customer=customer, **home)
    system = factories.SystemFactory(home=house)
    visit = factories.VisitFactory(
        season=of, owed_visit__agreement=factories.AgreementFactory(home=house)
    )
    visit.owed_visit.agreement.systems.add(system)
    return visit
