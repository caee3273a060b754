"""A form that is sent twice has one effect; the second is led where the first was."""

import datetime as dt

import pytest
from django.urls import reverse
from django.utils import timezone

from agreements.models import Agreement, AgreementEvent, PlanVersion
from customers.models import Customer, Filter, Home, System
from kit.web.models import SentForm
from reminders.models import HomeEvent
from scheduling.models import DayOff, Technician
from tests import cast
from tests.agreements.sold import sold
from tests.customers.test_entry import NEW_HOME, an_entry
from tests.kit.web.forms_sent import opened, send

pytestmark = pytest.mark.django_db


def sent_twice(address: str, **fields: object):
    form = opened(cast.signed_in(cast.odile()), address)
    first, second = (send(form, **fields) for _ in range(2))
    assert (first.status_code, second.status_code) == (302, 302), first.text[-3000:]
    assert second.url == first.url
    return first


def test_a_new_home_and_its_customer():
    sent_twice(NEW_HOME, **an_entry())
    assert (Home.objects.count(), Customer.objects.count()) == (1, 1)


def test_another_home_a_system_and_a_filter():
    home = cast.noras_home()
    systems, filters = System.objects.count(), Filter.objects.count()
    sent_twice(f"{NEW_HOME}?customer={home.customer_id}", **an_entry(street="9 Elm Street"))
    sent_twice(reverse("customers:system-new", args=[home.pk]), kind="furnace")
    sent_twice(reverse("customers:filter-new", args=[home.systems.first().pk]), size="16x25x1")

    assert Home.objects.count() == 2
    assert System.objects.count() == systems + 1
    assert Filter.objects.count() == filters + 1


def test_somebody_new_enrolled_on_the_telephone():
    plan = cast.spring_check()
    today = timezone.localdate()
    sent_twice(
        reverse("agreements:enrol") + "?new=yes", **an_entry(), plan=str(plan.pk),
        starts_on=today.isoformat(), new_systems=["air_conditioner"], rhythm="yearly",
    )  # fmt: skip
    assert (Agreement.objects.count(), Customer.objects.count()) == (1, 1)


def test_terms_of_a_plan_a_technician_and_days_off():
    plan, ingrid = cast.spring_check(), cast.ingrid()
    sent_twice(reverse("agreements:plan-terms", args=[plan.pk]), price="160")
    sent_twice(reverse("scheduling:technician-new"), name="Tomas Birch", skills=["cooling"])
    page = reverse("scheduling:technician", args=[ingrid.pk])
    form = opened(cast.signed_in(cast.odile()), page, holding="first")
    form.address = reverse("scheduling:days-off", args=[ingrid.pk])
    for _ in range(2):
        assert send(form, first="2027-05-03", last="2027-05-04").status_code == 302

    assert PlanVersion.objects.count() == 2
    assert Technician.objects.filter(name="Tomas Birch").count() == 1
    assert DayOff.objects.count() == 1


def test_a_complaint_a_payment_and_what_was_told():
    agreement = sold()
    page = reverse("agreements:agreement", args=[agreement.pk])
    form = opened(cast.signed_in(cast.odile()), page, holding="why")
    form.address = reverse("agreements:complaint", args=[agreement.pk])
    for _ in range(2):
        assert send(form, why="The dog got out.").status_code == 302
    today = timezone.localdate()
    sent_twice(
        reverse("agreements:payment", args=[agreement.pk]), amount="10", how="cash",
        on=today.isoformat(),
    )  # fmt: skip
    told = reverse("reminders:told", args=[cast.noras_home().pk])
    sent_twice(told, done=f"filter:{Filter.objects.get().pk}", on=today.isoformat())
    assert AgreementEvent.objects.filter(what="complaint").count() == 1
    assert agreement.payments.count() == 1
    assert HomeEvent.objects.count() == 1


def test_what_was_refused_may_be_sent_again():
    form = opened(cast.signed_in(cast.odile()), NEW_HOME)
    refused = send(form, **an_entry(zip="12"))
    assert refused.status_code == 422
    assert form.fields["form_key"][0] in refused.text
    assert send(form, **an_entry()).status_code == 302
    assert Home.objects.count() == 1


def test_a_form_shown_anew_counts_anew_and_old_keys_go():
    now = timezone.now()
    SentForm.objects.create(key="0" * 32, sent_at=now - dt.timedelta(days=8))
    home = cast.noras_home()
    address = reverse("customers:system-new", args=[home.pk])
    for _ in range(2):
        sent_twice(address, kind="furnace")
    assert home.systems.filter(kind="furnace").count() == 2
    assert not SentForm.objects.filter(key="0" * 32).exists()


@pytest.mark.parametrize("key", ["", "x", "A" * 32, "٣" * 32, "\x00" * 32])
def test_a_key_that_is_none_is_passed_over(key):
    browser = cast.signed_in(cast.odile())
    assert browser.post(NEW_HOME, an_entry(form_key=key)).status_code == 302
    assert not SentForm.objects.exists()
