"""The people of Larkspur Heating & Cooling, a shop invented for the tests.

Each function gives the same person however often a story calls it.
"""

from __future__ import annotations

import datetime as dt

from django.test import Client

from agreements.models import Plan
from customers.models import Customer, Home
from letters.models import Sender
from scheduling.models import Technician
from shop.models import Branch, Role, User
from tests import factories

FIRST_DAY = dt.date(2027, 1, 1)  # of the agreements in the stories


def cedarburg() -> Branch:
    """The branch where the stories take place."""
    return factories.BranchFactory(slug="cedarburg", name="Larkspur, Cedarburg")


def sheboygan() -> Branch:
    """The other branch, whose people are strangers in Cedarburg."""
    return factories.BranchFactory(
        slug="sheboygan",
        name="Larkspur, Sheboygan",
        place="Sheboygan, WI",
        latitude=43.7508,
        longitude=-87.7145,
    )


def odile() -> User:
    """Runs the office of Cedarburg."""
    return _staff("odile", "Odile", "Marsh", Role.OFFICE, cedarburg())


def walter() -> User:
    """Owns the shop; belongs to no branch."""
    return _staff("walter", "Walter", "Pell", Role.OWNER, None)


def ingrid() -> Technician:
    """Drives for Cedarburg; signs in as `ingrid().user`."""
    user = _staff("ingrid", "Ingrid", "Solberg", Role.TECHNICIAN, cedarburg())
    return factories.TechnicianFactory(branch=cedarburg(), name="Ingrid Solberg", user=user)


def priya() -> User:
    """Runs the office of Sheboygan: a stranger to everything in Cedarburg."""
    return _staff("priya", "Priya", "Nandakumar", Role.OFFICE, sheboygan())


def nora() -> Customer:
    """A customer of Cedarburg."""
    return Customer.objects.filter(name="Nora Whitfield").first() or factories.CustomerFactory(
        branch=cedarburg(),
        name="Nora Whitfield",
        phone="+14145550123",
        email="nora@example.com",
    )


def letterhead() -> Sender:
    """In whose name Cedarburg writes; quiet from 8 PM to 8 AM, two reminders a day."""
    return factories.SenderFactory(branch=cedarburg())


def noras_home() -> Home:
    """Nora's house, with an air conditioner and its filter."""
    customer = nora()
    if home := customer.homes.first():
        return home
    home = factories.HomeFactory(customer=customer, street="14 Alder Court")
    system = factories.SystemFactory(home=home)
    factories.FilterFactory(system=system)
    return home


def spring_check() -> Plan:
    """One cooling check a year for $149."""
    return factories.PlanFactory(branch=cedarburg())


def signed_in(user: User) -> Client:
    """A browser in which this person has signed in."""
    browser = Client()
    browser.force_login(user)
    return browser


def _staff(username: str, first: str, last: str, role: Role, branch: Branch | None) -> User:
    return factories.UserFactory(
        username=username, first_name=first, last_name=last, role=role, branch=branch
    )
