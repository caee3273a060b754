"""What agreements owe is written down once, however often one asks."""

import datetime as dt
from decimal import Decimal

import pytest

from agreements.actions import (
    close_owed_visit,
    make_agreement,
    owe_visits,
    price_of,
    renew_agreement,
)
from agreements.models import Agreement, OwedVisit
from tests import cast, factories

pytestmark = pytest.mark.django_db


def agreed(starts_on: dt.date = cast.FIRST_DAY, **plan: object) -> Agreement:
    home = cast.noras_home()
    plan = factories.PlanFactory(branch=cast.cedarburg(), code="story", **plan)
    return make_agreement(home=home, plan=plan, starts_on=starts_on, systems=home.systems.all())


def test_a_semi_annual_plan_owes_a_check_in_spring_and_one_in_autumn():
    owed = agreed(heating_checks=1).owed_visits

    assert list(owed.values_list("kind", "due_until")) == [
        ("cooling", dt.date(2027, 6, 15)),
        ("heating", dt.date(2027, 11, 30)),
    ]


def test_both_checks_together_are_one_owed_visit():
    owed = agreed(heating_checks=1, together=True).owed_visits

    assert owed.get().kind == "both"
    assert owed.get().needs_warmth


def test_nothing_is_owed_twice():
    agreement = agreed(cooling_checks=2)

    assert owe_visits(agreements=[agreement, agreement]) == 0
    assert agreement.owed_visits.count() == 2


def test_a_renewal_owes_the_next_term():
    agreement = agreed()

    renewed = renew_agreement(agreement=agreement)

    assert renewed.starts_on == agreement.ends_on + dt.timedelta(days=1)
    assert renewed.owed_visits.get().due_until == dt.date(2028, 6, 15)
    assert set(renewed.systems.all()) == set(agreement.systems.all())


def test_renewing_twice_finds_the_term_that_is_already_there():
    agreement = agreed()

    assert renew_agreement(agreement=agreement) == renew_agreement(agreement=agreement)
    assert Agreement.objects.count() == 2
    assert OwedVisit.objects.count() == 2


def test_renewals_of_a_leap_day_agreement_keep_to_its_day():
    agreement = agreed(dt.date(2024, 2, 29))
    for _ in range(4):
        agreement = renew_agreement(agreement=agreement)

    assert agreement.starts_on == dt.date(2028, 2, 29)
    assert agreement.term_number == 4


def test_a_visit_that_is_done_is_not_owed_again():
    agreement = agreed()
    close_owed_visit(owed=agreement.owed_visits.get(), closed="done", on=dt.date(2027, 4, 1))

    owe_visits(agreements=[agreement])

    assert not agreement.owed_visits.still_owed().exists()
    assert agreement.owed_visits.count() == 1


@pytest.mark.parametrize(("systems", "price"), [(0, "149"), (1, "149"), (3, "327")])
def test_each_further_system_has_its_price(systems, price):
    plan = factories.PlanFactory(branch=cast.cedarburg())

    assert price_of(plan, systems) == Decimal(price)
