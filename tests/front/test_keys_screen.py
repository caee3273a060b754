"""The owner makes, sees and revokes keys of the interface."""

import pytest
import time_machine
from django.test import Client
from django.urls import reverse

from front.actions.interface import make_key
from front.models import InterfaceKey
from tests import cast
from tests.access.world import NOW

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("_in_april")]
KEYS = reverse("front:keys")


@pytest.fixture
def _in_april():
    with time_machine.travel(NOW, tick=False):
        yield


def send(**changed: object):
    entry = {"name": "Bookkeeping", "scopes": ["money"]} | changed
    return cast.signed_in(cast.walter()).post(KEYS, entry)


def test_a_key_is_shown_once_and_works():
    cast.cedarburg()
    key = send().text.split("<code>rbk_")[1].split("</code>")[0]

    program = Client(headers={"Authorization": f"Bearer rbk_{key}"})
    assert program.get("/interface/v1/payments").status_code == 200
    assert key not in cast.signed_in(cast.walter()).get(KEYS).text


def test_the_list_says_what_each_key_reads_and_when_it_was_used():
    make_key(branch=cast.cedarburg(), name="Books", scopes=["money"], by=cast.walter(), now=NOW)

    page = cast.signed_in(cast.walter()).get(KEYS).text

    for words in ("Books", "Charges, payments, refunds and revenue", "Walter Pell", "never"):
        assert words in page


@pytest.mark.parametrize(
    ("changed", "words"),
    [({"name": " "}, "required"), ({"scopes": []}, "Choose at least one."),
     ({"scopes": ["all"]}, "not one of the available choices")],
)  # fmt: skip
def test_a_key_says_what_it_is_for_and_what_it_reads(changed, words):
    cast.cedarburg()
    refused = send(**changed)

    assert refused.status_code == 422
    assert words in refused.text
    assert not InterfaceKey.objects.exists()


def test_a_revoked_key_says_since_when():
    facts = {"branch": cast.cedarburg(), "by": cast.walter(), "now": NOW}
    row, _ = make_key(name="Books", scopes=["money"], **facts)
    browser = cast.signed_in(cast.walter())

    page = browser.post(reverse("front:key-revoke", args=[row.pk]), follow=True).text

    assert "Books opens nothing any more." in page
    assert "revoked Apr 1, 2027" in page
    assert browser.get(reverse("front:key-revoke", args=[row.pk])).status_code == 405


def test_only_the_owner_makes_keys():
    for user in (cast.odile(), cast.ingrid().user):
        assert cast.signed_in(user).get(KEYS).status_code == 404
    assert Client().get(KEYS).url.startswith("/sign-in/")


def test_many_keys_cost_no_more_queries_than_one(django_assert_num_queries):
    for _ in range(20):
        make_key(branch=cast.cedarburg(), name="x", scopes=["money"], by=cast.walter(), now=NOW)
    browser = cast.signed_in(cast.walter())

    with django_assert_num_queries(5):  # session, person, the owner's branch (two), keys
        browser.get(KEYS)
