"""Customers choose which letters they get, from a letter, without an account."""

import pytest
from django.test import Client
from django.utils import timezone

from letters.links import address_of, revoke_links, token_of
from letters.models import Stop
from letters.render import stop_link
from tests import cast
from tests.letters.outbox import reminder

pytestmark = pytest.mark.django_db


@pytest.fixture
def link():
    return stop_link(reminder())


def stop_page(link, view="letters:stop"):
    return address_of(link, view).removeprefix("http://127.0.0.1:8000")


def stopped() -> set[str]:
    return set(Stop.objects.values_list("kind", flat=True))


def test_the_page_shows_every_reminder_and_a_look_changes_nothing(link, client):
    page = client.get(stop_page(link))

    assert "Rinse the outdoor unit" in page.text
    assert stopped() == set()


def test_it_speaks_spanish_to_a_customer_who_does(link, client):
    customer = cast.nora()
    customer.language = "es"
    customer.save()

    page = client.get(stop_page(link))

    assert '<html lang="es">' in page.text
    assert "Enjuagar la unidad exterior" in page.text


def test_what_is_not_ticked_is_stopped_and_can_be_had_again(link, client):
    client.post(stop_page(link), {"kind": ["filter", "returns"]})
    assert stopped() == {"cover_off", "cover_on", "lapsed", "plants", "rinse"}

    everything = ["filter", "returns", "cover_off", "cover_on", "plants", "rinse", "lapsed"]
    client.post(stop_page(link), {"kind": everything})
    assert stopped() == set()


def test_no_letters_at_all_is_kept_apart_from_the_kinds(link, client):
    client.post(stop_page(link), {"kind": ["filter"], "none": "yes"})

    assert "" in stopped()
    assert "filter" not in stopped()


def test_a_mail_program_stops_a_kind_with_one_click_and_no_cookie(link):
    program = Client(enforce_csrf_checks=True)

    answer = program.post(
        stop_page(link, "letters:one-click") + "?kind=rinse", {"List-Unsubscribe": "One-Click"}
    )

    assert (answer.status_code, stopped()) == (200, {"rinse"})
    assert not answer.cookies


def test_one_click_twice_is_one_stop(link, client):
    for _ in range(2):
        client.post(stop_page(link, "letters:one-click") + "?kind=rinse")

    assert Stop.objects.count() == 1


def test_one_click_on_anything_else_stops_everything(link, client):
    client.post(stop_page(link, "letters:one-click") + "?kind=promise_moved")

    assert stopped() == {""}


def test_a_scanner_that_opens_the_one_click_link_changes_nothing(link, client):
    assert client.get(stop_page(link, "letters:one-click")).status_code == 405
    assert stopped() == set()


@pytest.mark.parametrize("view", ["letters:stop", "letters:one-click"])
def test_an_altered_or_unknown_link_is_answered_kindly_and_does_nothing(link, client, view):
    address = stop_page(link, view)
    for altered in (address.replace(token_of(link), token_of(link)[:-1]), "/letters/nobody/"):
        answer = client.post(altered)
        assert answer.status_code == 404
        assert "copy the whole link" in answer.text
    assert stopped() == set()


def test_a_link_that_has_ended_does_nothing(link, client):
    revoke_links(about=link.about, now=timezone.now())

    assert client.post(stop_page(link)).status_code == 404
    assert stopped() == set()


def test_a_link_for_another_purpose_does_not_open_this_page(link, client):
    link.purpose = "answer"
    link.save()

    assert client.get(stop_page(link)).status_code == 404
