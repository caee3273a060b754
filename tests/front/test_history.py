"""What happened at a home: agreements, prices and promises in one list."""

import datetime as dt

import pytest
import time_machine
from django.db import IntegrityError, transaction
from django.urls import reverse

from agreements.actions.changing import note_complaint
from agreements.models import AgreementEvent, PlanVersion
from kit.web.append_only import ERASED
from scheduling.actions.visits import pencil_visit
from tests import cast
from tests.scheduling import spring

pytestmark = pytest.mark.django_db
NOW = spring.at(dt.date(2027, 5, 20), 10)


@pytest.fixture(autouse=True)
def _in_may():
    with time_machine.travel(NOW, tick=False):
        yield


def home_with_a_history():
    visit = spring.owed(spring.season())
    pencil_visit(
        visit=visit, technician=spring.technician(), starts_at=spring.at(spring.MONDAY, 9),
        minutes=60, now=NOW, by=cast.odile(),
    )  # fmt: skip
    note_complaint(agreement=visit.owed_visit.agreement, words="Came late", by=cast.walter())
    return visit.owed_visit.home


def page_of(home, user=None, **more):
    return cast.signed_in(user or cast.odile()).get(
        reverse("front:history", args=[home.pk]), **more
    )


def test_it_joins_visits_and_agreements_and_names_who_did_it():
    words = page_of(home_with_a_history()).text
    for said in ("Pencilled, was owed", "Odile Marsh", "Complaint", "Came late", "Walter Pell"):
        assert said in words


def test_the_home_s_page_fetches_the_newest_lines():
    home = home_with_a_history()
    page = cast.signed_in(cast.odile()).get(reverse("customers:home", args=[home.pk])).text
    assert f'hx-get="{reverse("front:history", args=[home.pk])}"' in page
    part = page_of(home, headers={"HX-Request": "true"}).text
    assert "<html" not in part
    assert "Came late" in part


def test_a_home_where_nothing_happened_says_so():
    assert "Nothing was changed so far" in page_of(cast.noras_home()).text


def test_only_the_office_of_the_branch_reads_it():
    home = cast.noras_home()
    assert page_of(home, cast.ingrid().user).status_code == 404
    assert page_of(home, cast.priya()).status_code == 404
    address = reverse("front:history", args=[home.pk])
    assert cast.signed_in(cast.odile()).post(address).status_code == 405


def test_a_long_history_costs_no_more_queries(django_assert_num_queries):
    home = home_with_a_history()
    for number in range(60):
        note_complaint(agreement=home.agreements.get(), words=f"No. {number}", by=cast.odile())
    browser = cast.signed_in(cast.odile())
    with django_assert_num_queries(6):
        assert browser.get(reverse("front:history", args=[home.pk])).status_code == 200


def test_the_database_keeps_agreements_histories_and_the_terms_that_were_sold():
    home_with_a_history()
    refused = [
        lambda: AgreementEvent.objects.update(by=None),
        lambda: AgreementEvent.objects.update(words="Came early"),
        lambda: AgreementEvent.objects.all().delete(),
        lambda: PlanVersion.objects.update(price=1),
        lambda: PlanVersion.objects.all()._raw_delete("default"),
    ]
    for change in refused:
        with pytest.raises(IntegrityError), transaction.atomic():
            change()
    AgreementEvent.objects.update(words=ERASED)
    assert set(AgreementEvent.objects.values_list("words", flat=True)) == {ERASED}
