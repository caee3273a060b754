"""The customer's page of an agreement: read, sign, yes or no. No account."""

import datetime as dt

import pytest
import time_machine
from django.urls import reverse

from agreements.actions.outbox import own_link
from agreements.actions.signing import accept_agreement
from agreements.models import Agreement
from letters.links import revoke_links, token_of
from tests import cast
from tests.agreements.sold import NOON, history, sold

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("_in_november")]
NOVEMBER = dt.datetime(2027, 11, 20, 17, tzinfo=dt.UTC)


@pytest.fixture
def _in_november():
    cast.letterhead()
    with time_machine.travel(NOVEMBER, tick=False):
        yield


def own(agreement: Agreement, act: str = "") -> str:
    token = token_of(own_link(agreement=agreement, now=NOVEMBER))
    return reverse(f"agreements:yours{act}", args=[token])


def test_looking_changes_nothing_and_says_all(client):
    agreement = sold()

    page = client.get(own(agreement))

    for words in ("1 cooling check a term", "$146.00", "Yes, go on", "I accept this agreement"):
        assert words in page.text
    assert history(agreement) == ["made"]


def test_it_is_signed_with_a_name(client):
    agreement = sold(renews=False)

    client.post(own(agreement, "-sign"), {"name": "Nora Whitfield", "renews": "on"})
    client.post(own(agreement, "-sign"), {"name": "Somebody Else"})

    agreement.refresh_from_db()
    assert (agreement.signed_by, agreement.signed_at) == ("Nora Whitfield", NOVEMBER)
    assert agreement.renews
    assert "Signed by Nora Whitfield" in client.get(own(agreement)).text


def test_without_a_name_nothing_is_signed(client):
    agreement = sold()

    answer = client.post(own(agreement, "-sign"), {"name": " "})

    assert (answer.status_code, history(agreement)) == (422, ["made"])


def test_renewal_by_itself_has_to_be_ticked():
    agreement = accept_agreement(agreement=sold(), name="Nora", renews=False, now=NOON)

    assert not agreement.renews


def test_yes_begins_the_next_term_once(client):
    agreement = sold()

    for _ in range(2):
        client.post(own(agreement, "-yes"))

    assert Agreement.objects.count() == 2
    assert "It is agreed" in client.get(own(agreement)).text


def test_no_lets_it_end_with_the_reason_and_yes_is_still_possible(client):
    agreement = sold()

    client.post(own(agreement, "-no"), {"why": "we move"})
    agreement.refresh_from_db()
    assert (agreement.renews, agreement.why_declined) == (False, "we move")

    client.post(own(agreement, "-yes"))
    agreement.refresh_from_db()
    assert agreement.declined_on is None
    assert Agreement.objects.count() == 2


def test_no_needs_no_reason(client):
    agreement = sold()

    client.post(own(agreement, "-no"))

    agreement.refresh_from_db()
    assert agreement.declined_on == dt.date(2027, 11, 20)


def test_long_before_and_long_after_nobody_asks(client):
    agreement = sold(starts_on=dt.date(2027, 10, 1))

    assert client.post(own(agreement, "-yes")).status_code == 409
    assert "Yes, go on" not in client.get(own(agreement)).text
    assert Agreement.objects.count() == 1


def test_it_reads_in_spanish(client):
    agreement = sold()
    cast.nora().__class__.objects.update(language="es")

    words = client.get(own(agreement)).text

    for phrase in ("Qué prometemos", "revisión de enfriamiento", "Aire acondicionado"):
        assert phrase in words
    for phrase in ("What we promise", "The next term", "Paid so far", "Air conditioner"):
        assert phrase not in words


def test_a_revoked_or_altered_link_leads_nowhere(client):
    agreement = sold()
    address = own(agreement)
    revoke_links(about=f"agreement:{agreement.pk}", now=NOVEMBER)

    assert client.get(address).status_code == 404
    assert client.get(address[:-2] + "x/").status_code == 404


def test_the_page_takes_one_method_and_few_queries(client, django_assert_num_queries):
    agreement = sold()
    address = own(agreement)

    assert client.post(address).status_code == 405
    assert client.get(own(agreement, "-yes")).status_code == 405
    # Link; agreement; charges, payments, refunds; the next term; its terms; how many systems;
    # the systems.
    with django_assert_num_queries(9):
        client.get(address)
