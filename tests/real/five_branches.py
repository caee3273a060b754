"""Five small branches with an open season each; run by tests/real/test_five_branches.py."""

import datetime as dt

from django.utils import timezone

from customers.models import Precision
from tests import factories
from weather.actions import set_climate
from weather.demonstration import demonstration_climate

BRANCHES, HOMES, TECHNICIANS = 5, 12, 2


def make() -> None:
    now = timezone.now()
    monday = dt.date(now.year + 1, 5, 24)
    for number in range(1, BRANCHES + 1):
        branch = factories.BranchFactory(slug=f"branch-{number}", name=f"Branch {number}")
        set_climate(branch=branch, climate=demonstration_climate(), now=now)
        season = factories.SeasonFactory(
            branch=branch, name=f"Spring {number}",
            starts_on=monday, ends_on=monday + dt.timedelta(days=20),
        )  # fmt: skip
        for which in range(TECHNICIANS):
            technician = factories.TechnicianFactory(branch=branch, name=f"Driver {which}")
            for weekday in range(5):
                factories.ShiftFactory(technician=technician, weekday=weekday)
        for home in range(HOMES):
            _home(branch, season, home, monday)


def _home(branch, season, number: int, monday: dt.date) -> None:
    home = factories.HomeFactory(
        customer=factories.CustomerFactory(branch=branch), precision=Precision.EXACT,
        longitude=-88.0 + 0.1 * (number % 2) + number / 1000,
    )  # fmt: skip
    system = factories.SystemFactory(home=home)
    agreement = factories.AgreementFactory(home=home, starts_on=monday - dt.timedelta(days=90))
    owed = factories.OwedVisitFactory(
        agreement=agreement, due_from=monday, due_until=monday + dt.timedelta(days=20)
    )
    agreement.systems.add(system)
    factories.VisitFactory(owed_visit=owed, season=season)


make()
