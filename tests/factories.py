"""Rows for tests, filled with plain invented values; name only what the story is about."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal

import factory
from factory.django import DjangoModelFactory

from agreements.actions.plans import version_on
from agreements.models import Agreement, OwedVisit, Plan, VisitKind
from customers.actions import refresh_search_text
from customers.models import Customer, Filter, Home, Precision, System, SystemKind
from letters.models import Letter, Sender
from scheduling.models import Season, Shift, Skill, Technician, Visit
from shop.models import Branch, Role, User

PASSWORD = "redbud-in-spring"


class BranchFactory(DjangoModelFactory):
    class Meta:
        model = Branch
        django_get_or_create = ("slug",)

    name = factory.Sequence(lambda n: f"Branch {n}")
    slug = factory.Sequence(lambda n: f"branch-{n}")
    place = "Cedarburg, WI"
    time_zone = "America/Chicago"
    latitude = 43.2967
    longitude = -87.9876


class UserFactory(DjangoModelFactory):
    class Meta:
        model = User
        django_get_or_create = ("username",)
        skip_postgeneration_save = True

    username = factory.Sequence(lambda n: f"person{n}")
    password = factory.django.Password(PASSWORD)
    role = Role.OFFICE
    branch = factory.SubFactory(BranchFactory)


class CustomerFactory(DjangoModelFactory):
    class Meta:
        model = Customer

    branch = factory.SubFactory(BranchFactory)
    name = factory.Sequence(lambda n: f"Customer {n}")
    # No number and no street of the people in cast.py, nor one that holds theirs.
    phone = factory.Sequence(lambda n: f"+1920555{100 + n % 100:04d}")
    email = factory.LazyAttribute(lambda c: f"{c.name.lower().replace(' ', '.')}@example.com")


class HomeFactory(DjangoModelFactory):
    """A home with an exact point in Cedarburg; `HomeFactory(nowhere=True)` has no place."""

    class Meta:
        model = Home
        skip_postgeneration_save = True

    class Params:
        nowhere = factory.Trait(latitude=None, longitude=None, precision=Precision.UNKNOWN)

    customer = factory.SubFactory(CustomerFactory)
    street = factory.Sequence(lambda n: f"{100 + n} Foxglove Road")
    city = "Cedarburg"
    state = "WI"
    zip = "53012"
    latitude = 43.3
    longitude = -87.99
    precision = Precision.EXACT

    @factory.post_generation
    def search_text(home: Home, create, given, **_):
        refresh_search_text(home=home)
        if create:
            home.save(update_fields=["search_text"])


class SystemFactory(DjangoModelFactory):
    class Meta:
        model = System

    home = factory.SubFactory(HomeFactory)
    kind = SystemKind.AIR_CONDITIONER
    brand = "Northwind"


class FilterFactory(DjangoModelFactory):
    class Meta:
        model = Filter

    system = factory.SubFactory(SystemFactory)
    size = "16x25"


class SenderFactory(DjangoModelFactory):
    class Meta:
        model = Sender
        django_get_or_create = ("branch",)

    branch = factory.SubFactory(BranchFactory)
    from_name = "Larkspur Heating & Cooling"
    from_email = "office@example.com"
    phone = "(262) 555-0100"
    postal_address = "1 Mill Street, Cedarburg, WI 53012"


class LetterFactory(DjangoModelFactory):
    """A reminder to rinse the unit that is due, written at nine in the morning of April 1, 2027."""

    class Meta:
        model = Letter

    customer = factory.SubFactory(CustomerFactory)
    kind = "rinse"
    about = factory.Sequence(lambda n: f"home:{n}")
    occasion = "2027-04"
    to_email = factory.SelfAttribute("customer.email")
    facts = factory.LazyFunction(lambda: {"why": "Pollen sticks to the coil."})
    written_at = dt.datetime(2027, 4, 1, 14, tzinfo=dt.UTC)
    due_at = factory.SelfAttribute("written_at")
    expires_at = factory.LazyAttribute(lambda letter: letter.due_at + dt.timedelta(days=10))


class PlanFactory(DjangoModelFactory):
    class Meta:
        model = Plan
        django_get_or_create = ("branch", "code")

    branch = factory.SubFactory(BranchFactory)
    name = "Spring check"
    code = "annual"
    price = Decimal("149.00")
    further_system_price = Decimal("89.00")


class AgreementFactory(DjangoModelFactory):
    """One term of a year from `starts_on`; owes nothing yet (see agreements.actions.owe_visits)."""

    class Meta:
        model = Agreement

    home = factory.SubFactory(HomeFactory)
    plan = factory.LazyAttribute(lambda a: PlanFactory(branch=a.home.customer.branch))
    starts_on = dt.date(2027, 1, 1)
    version = factory.LazyAttribute(lambda a: version_on(plan=a.plan, day=a.starts_on))
    anchor_on = factory.SelfAttribute("starts_on")
    ends_on = factory.LazyAttribute(lambda a: a.starts_on + dt.timedelta(days=364))
    price = Decimal("149.00")


class OwedVisitFactory(DjangoModelFactory):
    class Meta:
        model = OwedVisit

    agreement = factory.SubFactory(AgreementFactory)
    kind = VisitKind.COOLING
    due_from = dt.date(2027, 3, 1)
    due_until = dt.date(2027, 6, 15)


class TechnicianFactory(DjangoModelFactory):
    class Meta:
        model = Technician
        django_get_or_create = ("branch", "name")

    branch = factory.SubFactory(BranchFactory)
    name = factory.Sequence(lambda n: f"Technician {n}")
    skills = factory.LazyFunction(lambda: list(Skill.values))


class ShiftFactory(DjangoModelFactory):
    class Meta:
        model = Shift
        django_get_or_create = ("technician", "weekday")

    technician = factory.SubFactory(TechnicianFactory)
    weekday = 0


class SeasonFactory(DjangoModelFactory):
    class Meta:
        model = Season
        django_get_or_create = ("branch", "name")

    branch = factory.SubFactory(BranchFactory)
    name = "Spring 2027"
    starts_on = dt.date(2027, 3, 22)
    ends_on = dt.date(2027, 6, 12)


class VisitFactory(DjangoModelFactory):
    """An owed visit in a season, without a slot unless one is given."""

    class Meta:
        model = Visit

    owed_visit = factory.SubFactory(OwedVisitFactory)
    season = factory.LazyAttribute(
        lambda v: SeasonFactory(branch=v.owed_visit.agreement.home.customer.branch)
    )
