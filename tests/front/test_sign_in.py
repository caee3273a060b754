"""Signing in and out, the branch one works in, and the health of the machine."""

import pytest
from django.urls import reverse

from tests import cast, factories

pytestmark = pytest.mark.django_db
TODAY, SIGN_IN = reverse("front:today"), reverse("front:sign-in")
BRANCHES = reverse("front:branches")


def sign_in(client, password: str = factories.PASSWORD, **more: str):
    return client.post(SIGN_IN, {"username": cast.odile().username, "password": password, **more})


def test_signing_in_leads_to_today(client):
    assert sign_in(client).url == TODAY
    assert client.get(TODAY).status_code == 200


def test_it_leads_on_to_the_page_that_was_asked_for(client):
    wanted = reverse("customers:list")
    page = client.get(client.get(wanted).url)

    assert f'name="next" value="{wanted}"' in page.text
    assert sign_in(client, next=wanted).url == wanted


def test_it_leads_to_no_foreign_address(client):
    assert sign_in(client, next="https://example.com/").url == TODAY


def test_a_wrong_password_says_so_and_keeps_the_name(client):
    page = sign_in(client, password="not this")

    assert "do not belong together" in page.text
    assert 'value="odile"' in page.text


def test_signing_out_takes_a_press_of_the_button():
    browser = cast.signed_in(cast.odile())
    sign_out = reverse("front:sign-out")

    assert browser.get(sign_out).status_code == 405
    assert browser.post(sign_out).url == SIGN_IN
    assert browser.get(TODAY).url.startswith(SIGN_IN)


def test_the_owner_chooses_the_branch_to_work_in():
    cast.cedarburg(), cast.sheboygan()
    browser = cast.signed_in(cast.walter())
    assert "Larkspur, Cedarburg" in browser.get(TODAY).text

    browser.post(BRANCHES, {"branch": "sheboygan"})

    assert "Larkspur, Sheboygan" in browser.get(TODAY).text


def test_a_branch_that_is_none_is_not_found():
    browser = cast.signed_in(cast.walter())

    assert browser.post(BRANCHES, {"branch": "atlantis"}).status_code == 404
    assert browser.delete(BRANCHES).status_code == 405


@pytest.mark.parametrize("person", [cast.odile, lambda: cast.ingrid().user])
def test_who_belongs_to_a_branch_stays_in_it(person):
    cast.sheboygan()
    browser = cast.signed_in(person())

    assert browser.get(BRANCHES).status_code == 404
    assert browser.post(BRANCHES, {"branch": "sheboygan"}).status_code == 404


def test_many_branches_cost_one_query(django_assert_num_queries):
    factories.BranchFactory.create_batch(20)
    browser = cast.signed_in(cast.walter())

    # Session, person, the branch chosen, else the first; the branches.
    with django_assert_num_queries(5):
        assert browser.get(BRANCHES).status_code == 200


def test_the_search_of_the_page_head_looks_through_the_homes():
    found = cast.signed_in(cast.odile()).get(reverse("front:search"), {"q": "nora"})

    assert found.url == reverse("customers:list") + "?q=nora"


def test_health_answers_without_signing_in(client, django_assert_num_queries):
    with django_assert_num_queries(1):
        page = client.get(reverse("front:health"))

    assert (page.text, page.headers["Content-Type"]) == ("ok", "text/plain")
    assert client.post(reverse("front:health")).status_code == 405
