"""A plan that changes, and the agreements that were made on it before."""

import datetime as dt
from decimal import Decimal

import pytest
import time_machine
from django.db import IntegrityError, transaction
from django.urls import reverse

from agreements.actions.agreeing import renew_agreement
from agreements.actions.plans import bring_into_force, change_plan_terms, version_on
from agreements.models import Plan, PlanVersion
from tests import cast, factories
from tests.agreements.sold import TODAY, sold, spring_check

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("_in_july")]
PLANS = reverse("agreements:plans")


@pytest.fixture
def _in_july():
    with time_machine.travel(dt.datetime(2027, 7, 1, 17, tzinfo=dt.UTC)):
        yield


def dearer(plan: Plan, price: int = 199, valid_from: dt.date = TODAY) -> PlanVersion:
    terms = plan.terms() | {"price": Decimal(price)}
    return change_plan_terms(
        plan=plan, terms=terms, valid_from=valid_from, today=TODAY, by=cast.odile()
    )


def send(plan: Plan, **changes: object):
    entry = {name: value for name, value in plan.terms().items() if value is not False}
    entry |= {"valid_from": "2027-07-01"}
    address = reverse("agreements:plan-terms", args=[plan.pk])
    return cast.signed_in(cast.odile()).post(address, entry | changes)


def test_running_agreements_keep_the_terms_they_were_made_on():
    agreement = sold()

    dearer(agreement.plan)
    agreement.refresh_from_db()

    assert (agreement.price, agreement.version.price) == (146, 146)
    assert agreement.charges.get().amount == 146


def test_the_next_term_has_the_new_price_unless_one_was_agreed_apart():
    listed, apart = (
        sold(),
        sold(factories.PlanFactory(code="b", branch=cast.cedarburg()), price=120),
    )
    dearer(listed.plan)
    dearer(apart.plan)

    assert renew_agreement(agreement=listed).price == 199
    assert renew_agreement(agreement=apart).price == 120


def test_terms_of_a_later_day_count_from_that_day():
    plan = spring_check()
    august = dt.date(2027, 8, 1)

    dearer(plan, valid_from=august)

    assert version_on(plan=plan, day=TODAY).price == 146
    assert version_on(plan=plan, day=august).price == 199
    plan.refresh_from_db()
    assert plan.price == 146
    bring_into_force(plan=plan, today=august)
    assert plan.price == 199


def test_what_was_sold_until_now_is_written_down_first():
    plan = spring_check()

    dearer(plan)

    assert list(plan.versions.values_list("number", "price")) == [(1, 146), (2, 199)]


def test_the_screen_writes_a_new_version_and_says_whom_it_concerns():
    agreement = sold()
    address = reverse("agreements:plan-terms", args=[agreement.plan.pk])
    assert "The 1 agreement that runs now keeps" in cast.signed_in(cast.odile()).get(address).text

    assert send(agreement.plan, price="199.00").url == PLANS
    assert agreement.plan.versions.last().price == 199


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"price": "149.999"}, "no more than 2 decimal places"),
        ({"price": "-1"}, "greater than or equal to 0"),
        ({"cooling_checks": "0"}, "at least one check"),
        ({"valid_from": "2027-06-30"}, "The first day lies between July 1, 2027"),
        ({"repair_discount_percent": "101"}, "less than or equal to 100"),
        ({"refund_rule": "price_less_visits"}, "needs the price of this check alone"),
        ({"term_months": "0"}, "greater than or equal to 1"),
    ],
)
def test_wrong_terms_are_named(changes, words):
    plan = spring_check()

    page = send(plan, **changes)

    assert page.status_code == 422
    assert words in page.text
    assert not plan.versions.filter(number=2).exists()


def test_a_new_plan_is_sold_on_its_first_version():
    address = reverse("agreements:plan-new")
    terms = spring_check().terms() | {"name": "Autumn check", "valid_from": "2027-07-01"}

    cast.signed_in(cast.odile()).post(address, {k: v for k, v in terms.items() if v is not False})

    assert Plan.objects.get(code="autumn-check").versions.get().number == 1


def test_a_name_that_the_branch_has_is_refused():
    factories.PlanFactory(branch=cast.cedarburg(), name="Two", code="two")
    terms = spring_check().terms() | {"name": "Two", "valid_from": "2027-07-01"}

    page = cast.signed_in(cast.odile()).post(
        reverse("agreements:plan-new"), {k: v for k, v in terms.items() if v is not False}
    )

    assert "a plan of this name already" in page.text


def test_a_plan_that_is_not_sold_any_more_is_not_offered():
    plan = spring_check()
    cast.signed_in(cast.odile()).post(
        reverse("agreements:plan-name", args=[plan.pk]), {"name": "Old check"}
    )

    assert not Plan.objects.get(pk=plan.pk).active
    page = cast.signed_in(cast.odile()).get(reverse("agreements:enrol"))
    assert "No plan to sell yet" in page.text


def test_the_database_refuses_a_plan_that_keeps_visits_at_no_price():
    with pytest.raises(IntegrityError, match="plan_keeps_visits_at_a_price"), transaction.atomic():
        spring_check(refund_rule="price_less_visits")


def test_the_list_shows_plans_with_few_queries(django_assert_num_queries):
    for number in range(5):
        factories.PlanFactory(branch=cast.cedarburg(), code=f"p{number}", name=f"Plan {number}")
    browser = cast.signed_in(cast.odile())

    # Session, person, branch; plans, versions.
    with django_assert_num_queries(5):
        page = browser.get(PLANS)
    assert page.text.count('<section class="card"') == 5


def test_without_a_plan_it_says_what_to_do():
    assert "No plan yet" in cast.signed_in(cast.odile()).get(PLANS).text
    assert cast.signed_in(cast.odile()).post(PLANS).status_code == 405


def shown_terms(plan: Plan) -> dict[str, object]:
    """What a browser that looks at the form now would send back unchanged."""
    address = reverse("agreements:plan-terms", args=[plan.pk])
    (form,) = cast.signed_in(cast.odile()).get(address).context["forms"]
    sent = {name: form[name].value() for name in form.fields}
    return {name: value for name, value in sent.items() if value not in (False, None)}


def test_who_writes_terms_down_second_is_shown_the_difference_and_loses_nothing():
    plan = sold().plan
    seen = shown_terms(plan)
    dearer(plan, 199)
    answer = send(plan, **seen | {"repair_discount_percent": 15})
    (form,) = answer.context["forms"]
    assert answer.status_code == 409
    assert [(one.label, one.theirs) for one in form.differences] == [("Price a term, $", "199.00")]
    assert form["repair_discount_percent"].value() == "15"
    assert plan.versions.count() == 2


def test_terms_that_begin_later_are_seen_by_who_writes_second_too():
    plan = sold().plan
    dearer(plan, 146)
    seen = shown_terms(plan)
    dearer(plan, 210, valid_from=TODAY + dt.timedelta(days=30))
    answer = send(plan, **seen | {"price": "180"})
    said = {one.label: (one.yours, one.theirs) for one in answer.context["forms"][0].differences}
    assert answer.status_code == 409
    assert said["Price a term, $"] == ("180", "210.00")


def test_who_renamed_a_plan_and_when_stays_on_file():
    plan = sold().plan
    address = reverse("agreements:plan-name", args=[plan.pk])
    office = cast.signed_in(cast.odile())
    was = plan.name
    office.post(address, {"name": "Spring and fall", "active": "on"})
    office.post(address, {"name": "Spring and fall"})
    events = [(event.by, event.words) for event in plan.events.all()]
    assert events == [
        (cast.odile(), "no longer sold"),
        (cast.odile(), f"“{was}” is called “Spring and fall”"),
    ]
    assert "is called “Spring and fall”" in office.get(address).content.decode()
    with pytest.raises(IntegrityError), transaction.atomic():
        plan.events.update(words="nothing")
