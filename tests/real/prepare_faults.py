"""Run by manage.py shell in a shop of its own: a branch, an agreement, a day of visits, sessions.

Prints what the writers of tests/real/writers.py need to know, as JSON.
"""

import datetime as dt
import json

from django.utils import timezone

from tests import cast
from tests.agreements.sold import sold
from tests.scheduling import spring

VISITS = 60


def _never_quiet_now() -> None:
    sender, hour = cast.letterhead(), timezone.now().astimezone(cast.cedarburg().zone)
    sender.quiet_from = (hour + dt.timedelta(hours=11)).time()
    sender.quiet_until = (hour + dt.timedelta(hours=12)).time()
    sender.save()


def prepare() -> None:
    season, ingrid = spring.season(), spring.technician()
    visits = [spring.owed(season) for _ in range(VISITS)]
    from scheduling.actions.visits import promise_visit

    first = visits.pop()
    promise_visit(
        visit=first, technician=ingrid, starts_at=spring.at(spring.MONDAY, 8), minutes=55,
        now=timezone.now(),
    )  # fmt: skip
    _never_quiet_now()
    told = {
        "office": cast.signed_in(cast.odile()).cookies["sessionid"].value,
        "phone": cast.signed_in(ingrid.user).cookies["sessionid"].value,
        "agreement": sold().pk,
        "technician": ingrid.pk,
        "visits": [visit.pk for visit in visits],
        "stop": first.pk,
        "system": first.owed_visit.home.systems.get().pk,
        "day": spring.MONDAY.isoformat(),
    }
    print("PREPARED" + json.dumps(told))  # noqa: T201


prepare()
