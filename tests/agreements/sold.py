"""Nora's agreement, as the stories about changing, paying and ending it need it."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal

from agreements.actions.agreeing import make_agreement
from agreements.actions.paying import record_payment
from agreements.models import Agreement, Payment, Plan
from tests import cast, factories

TODAY = dt.date(2027, 7, 1)
NOON = dt.datetime(2027, 7, 1, 17, tzinfo=dt.UTC)


def spring_check(**terms: object) -> Plan:
    """$146 a year, so that a day costs 40 cents."""
    return factories.PlanFactory(branch=cast.cedarburg(), code="story", price=Decimal(146), **terms)


def two_checks(**terms: object) -> Plan:
    """$292 a year for a cooling and a heating check."""
    return factories.PlanFactory(
        branch=cast.cedarburg(), code="two", name="Two checks", price=Decimal(292),
        heating_checks=1, **terms,
    )  # fmt: skip


def sold(plan: Plan | None = None, **more: object) -> Agreement:
    """Sold from January 1, 2027 on."""
    home = cast.noras_home()
    return make_agreement(
        home=home,
        plan=plan or spring_check(),
        systems=home.systems.all(),
        by=cast.odile(),
        **{"starts_on": cast.FIRST_DAY, **more},
    )


def paid(agreement: Agreement, amount: object = 146, **more: object) -> Payment:
    facts = {"on": TODAY, "how": "cash", "by": cast.odile(), **more}
    return record_payment(agreement=agreement, amount=Decimal(str(amount)), **facts)


def history(agreement: Agreement) -> list[str]:
    """What was done, oldest first."""
    return list(agreement.events.order_by("pk").values_list("what", flat=True))
