"""The report on screens: the office's, the technician's, the customer's from her letter."""

import pytest
from django.urls import reverse
from django.utils import timezone

from fieldwork.announcements import end_report_link, report_link
from letters.links import link_for, token_of
from letters.models import Letter, Link
from reminders.actions.outbox import HOME
from reminders.reading import about_home
from tests import cast, factories
from tests.fieldwork.reported import alarmed, finished

pytestmark = pytest.mark.django_db


def page_of(record, name="report") -> str:
    return reverse(f"fieldwork:{name}", args=[record.pk])


def link_of(record, name="customer-report") -> str:
    return reverse(f"fieldwork:{name}", args=[token_of(report_link(record, timezone.now()))])


def shown(user, page) -> str:
    return cast.signed_in(user).get(page).text


def test_the_office_reads_what_the_customer_reads_and_that_it_was_sent():
    record = finished()
    page = shown(cast.odile(), page_of(record))
    assert "A real test" in page
    assert Letter.objects.get(kind="report").to_email in page


def test_a_technician_reads_her_own_and_nobody_elses():
    record = finished()
    user = factories.UserFactory(username="bo", role="technician", branch=cast.cedarburg())
    factories.TechnicianFactory(branch=cast.cedarburg(), name="Bo Larsen", user=user)
    assert "A real test" in shown(cast.ingrid().user, page_of(record))
    assert cast.signed_in(user).get(page_of(record)).status_code == 404


@pytest.mark.parametrize("name", ["report", "report-pdf", "report-send", "report-end-link"])
def test_another_branch_does_not_know_it(name):
    page = page_of(finished(), name)
    priya = cast.signed_in(cast.priya())
    assert {priya.get(page).status_code, priya.post(page).status_code} <= {404, 405}


def test_a_look_sends_nothing():
    record = finished()
    before = Letter.objects.count()
    office = cast.signed_in(cast.odile())
    assert office.get(page_of(record, "report-send")).status_code == 405
    assert office.post(page_of(record)).status_code == 405
    assert Letter.objects.count() == before


def test_what_is_dangerous_waits_for_the_offices_click():
    record = alarmed(finished())
    office = cast.signed_in(cast.odile())
    assert "was not sent by itself" in office.get(page_of(record)).text
    office.post(page_of(record, "report-send"))
    assert Letter.objects.get(kind="report").facts["danger"] is True


def test_the_pdf_opens_in_the_browser_under_the_visits_day():
    answer = cast.signed_in(cast.odile()).get(page_of(finished(), "report-pdf"))
    assert answer["Content-Type"] == "application/pdf"
    assert answer["Content-Disposition"] == 'inline; filename="report-2027-05-24.pdf"'
    assert answer.content.startswith(b"%PDF")


def test_the_customer_opens_it_from_her_letter(client):
    record = finished()
    page = client.get(link_of(record)).text
    assert "A real test" in page
    assert "garden hose" in page
    assert client.get(link_of(record, "customer-report-pdf")).content.startswith(b"%PDF")


def test_the_customer_reads_her_language(client):
    record = finished()
    customer = record.visit.owed_visit.home.customer
    customer.language = "es"
    customer.save()
    page = client.get(link_of(record)).text
    assert "Una prueba de verdad" in page
    assert '<html lang="es">' in page


def test_opening_it_changes_nothing(client):
    record = finished()
    address, before = link_of(record), Link.objects.count()
    client.get(address)
    assert (Link.objects.count(), client.post(address).status_code) == (before, 405)


def test_an_ended_link_opens_nothing_and_the_next_letter_brings_another(client):
    record = finished()
    old = link_of(record)
    end_report_link(record=record, now=timezone.now())
    assert client.get(old).status_code == 404
    assert client.get(link_of(record)).status_code == 200


def test_a_home_that_changed_hands_keeps_its_old_reports_to_itself(client):
    record = finished()
    address = link_of(record)
    home = record.visit.owed_visit.home
    home.customer = factories.CustomerFactory(branch=cast.cedarburg())
    home.save()
    assert client.get(address).status_code == 404


def test_the_homes_own_page_lists_it(client):
    record = finished()
    home, now = record.visit.owed_visit.home, timezone.now()
    link = link_for(purpose=HOME, about=about_home(home.pk), now=now, customer=home.customer)
    page = client.get(reverse("reminders:home", args=[token_of(link)])).text
    assert "Reports of our visits" in page
    assert link_of(record) in page


def test_it_costs_few_queries(django_assert_max_num_queries):
    page = page_of(finished())
    office = cast.signed_in(cast.odile())
    with django_assert_max_num_queries(13):
        office.get(page)
