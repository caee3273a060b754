"""Every address, every role, own and foreign: written once in matrix.py, tried in full here."""

from __future__ import annotations

import pytest
import time_machine
from django.test import Client
from django.urls import URLPattern, get_resolver, reverse

from front.actions.interface import make_key, revoke_key
from tests import cast
from tests.access.matrix import MATRIX, Who, nothing
from tests.access.world import NOW, World

pytestmark = pytest.mark.django_db
SIGN_IN = "/sign-in/"
PEOPLE = {
    "a technician": lambda: cast.ingrid().user,
    "the office": cast.odile,
    "the owner": cast.walter,
}
ALLOWED = {
    Who.STAFF: {"a technician", "the office", "the owner"},
    Who.OWN_DAY: {"a technician", "the office", "the owner"},
    Who.OWN_RECORD: {"a technician", "the office", "the owner"},
    Who.TECHNICIAN: {"a technician"},
    Who.OFFICE: {"the office", "the owner"},
    Who.OWNER: {"the owner"},
}
STAFF_PAGES = sorted(name for name, (who, _) in MATRIX.items() if who in ALLOWED)
KEY_PAGES = sorted(name for name, (who, _) in MATRIX.items() if who is Who.KEY)
LINK_PAGES = sorted(name for name, (who, _) in MATRIX.items() if who is Who.LINK)
OPENED = {200, 302, 400, 405, 409, 422}
# Where in its path an address of a customer's link carries the token.
LINK_PART = {"agreements": 3, "letters": 2, "home": 2, "season": 3, "my-day": 4}
# Addresses that name a row, but for those about the asking person or the whole shop.
OF_ROWS = {name for name, (_, arguments) in MATRIX.items() if arguments is not nothing} - {
    "front:end-session", "front:staff-change", "letters:sample-html", "scheduling:day",
    "fieldwork:other-day", "fieldwork:sheet", "fieldwork:sheet-pdf", "fieldwork:check-list",
    "front:list-file",
}  # fmt: skip


@pytest.fixture(autouse=True)
def _at_noon():
    with time_machine.travel(NOW, tick=False):
        yield


def address(name: str) -> str:
    return reverse(name, kwargs=MATRIX[name][1](World()))


def both(browser: Client, path: str) -> list:
    """The answers to looking and to sending; what a view raises is a failed test, no status."""
    return [browser.get(path), browser.post(path, {"branch": "cedarburg"})]


def names_of(resolver, space: str = "") -> set[str]:
    """The names of all addresses but the admin's own."""
    found = set()
    for pattern in resolver.url_patterns:
        if isinstance(pattern, URLPattern):
            found.add(f"{space}:{pattern.name}")
        elif pattern.namespace != "admin":
            found |= names_of(pattern, pattern.namespace or space)
    return found


def test_every_address_has_a_row_and_every_row_an_address():
    assert names_of(get_resolver()) == set(MATRIX)


@pytest.mark.parametrize("name", STAFF_PAGES)
def test_nobody_comes_in_without_signing_in(client, name):
    for answer in both(client, address(name)):
        assert answer.status_code == 302
        assert answer.url.startswith(SIGN_IN)


@pytest.mark.parametrize("person", PEOPLE)
@pytest.mark.parametrize("name", STAFF_PAGES)
def test_each_role_opens_its_own_pages_and_no_others(name, person):
    browser = cast.signed_in(PEOPLE[person]())
    answers = both(browser, address(name))
    if person in ALLOWED[MATRIX[name][0]]:
        assert {answer.status_code for answer in answers} <= OPENED
        assert not any(answer.status_code == 302 and SIGN_IN in answer.url for answer in answers)
    else:
        assert_hidden(answers)


@pytest.mark.parametrize("name", sorted(set(STAFF_PAGES) & OF_ROWS))
def test_another_branch_s_rows_do_not_exist(name):
    browser = cast.signed_in(cast.priya())
    assert_hidden(both(browser, address(name)))


@pytest.mark.parametrize("name", LINK_PAGES)
def test_a_link_opens_without_signing_in_and_an_altered_one_does_not(client, name):
    right = address(name)
    assert {answer.status_code for answer in both(client, right)} <= OPENED
    token = right.split("/")[LINK_PART[right.split("/")[1]]].removesuffix(".ics")
    altered = right.replace(token, token[:-1] + ("A" if token[-1] != "A" else "B"))
    assert_hidden(both(client, altered))


@pytest.mark.parametrize("name", KEY_PAGES)
def test_the_interface_opens_by_a_key_and_by_no_session(name):
    path = address(name)
    for browser in (Client(), *(cast.signed_in(person()) for person in PEOPLE.values())):
        assert [answer.status_code for answer in both(browser, path)] == [401, 401]

    row, key = make_key(
        branch=cast.cedarburg(), name="books", scopes=["homes", "money"], by=cast.walter(), now=NOW
    )
    program = Client(headers={"Authorization": f"Bearer {key}"})
    assert [answer.status_code for answer in both(program, path)] == [200, 405]
    revoke_key(key=row, now=NOW)
    assert program.get(path).status_code == 401


def assert_hidden(answers) -> None:
    """Not found; by the method that the address does not take, not even that."""
    statuses = {answer.status_code for answer in answers}
    assert statuses <= {404, 405}
    assert 404 in statuses
