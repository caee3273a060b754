"""The JSON interface: what a program may read, page by page, and how it is refused."""

import datetime as dt
from decimal import Decimal
from functools import cache

import pytest
import schemathesis
import time_machine
from django.core.cache import caches
from django.core.signals import request_finished, request_started
from django.db import close_old_connections
from django.test import Client
from django.urls import reverse
from hypothesis import HealthCheck, Phase, assume, given, settings
from hypothesis import strategies as st

from agreements.actions.agreeing import sell_agreement
from agreements.actions.paying import record_payment, refund
from config.wsgi import application
from customers.models import Home
from front.actions.interface import make_key, revoke_key
from front.interface.resources import RESOURCES, SCOPES
from front.models import InterfaceKey
from tests import cast, factories
from tests.access.world import NOW

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("_in_april")]
BASE = "/interface/v1"


@pytest.fixture
def _in_april():
    with time_machine.travel(NOW, tick=False):
        yield


def key_for(*scopes: str, branch=None) -> tuple[InterfaceKey, str]:
    return make_key(
        branch=branch or cast.cedarburg(), name="books", scopes=scopes or list(SCOPES),
        by=cast.walter(), now=NOW,
    )  # fmt: skip


def program(key: str) -> Client:
    return Client(headers={"Authorization": f"Bearer {key}"})


def ask(path: str, *scopes: str, **asked: object):
    return program(key_for(*scopes)[1]).get(f"{BASE}/{path}", asked)


def sold(name: str = "Nora Whitfield"):
    home = factories.HomeFactory(customer__branch=cast.cedarburg(), customer__name=name)
    return sell_agreement(
        home=home, plan=cast.spring_check(), systems=[factories.SystemFactory(home=home)],
        starts_on=cast.FIRST_DAY, rhythm="yearly", by=cast.odile(),
    )  # fmt: skip


def paid_and_given_back(agreement) -> None:
    facts = {"agreement": agreement, "on": dt.date(2027, 2, 1), "how": "cash", "by": cast.odile()}
    record_payment(amount=Decimal(149), **facts)
    refund(amount=Decimal("9.50"), why="kind", **facts)


def test_a_home_is_read_without_what_opens_its_gate():
    home = sold().home
    Home.objects.filter(pk=home.pk).update(gate_code="4711", access_notes="key at 12")

    answer = ask("homes")

    (found,) = answer.json()["data"]
    assert (found["id"], found["customer"], found["city"]) == (
        home.pk,
        "Nora Whitfield",
        "Cedarburg",
    )
    assert "4711" not in answer.text
    assert "key at 12" not in answer.text
    assert answer["Cache-Control"] == "no-store, private"


def test_money_is_said_as_text_to_the_cent():
    paid_and_given_back(sold())

    assert ask("charges").json()["data"][0]["amount"] == "149.00"
    assert ask("payments").json()["data"][0]["how"] == "cash"
    assert ask("refunds").json()["data"][0]["amount"] == "9.50"


def test_one_row_is_found_by_its_number():
    agreement = sold()

    found = ask(f"agreements/{agreement.pk}").json()["data"]

    assert (found["price"], found["starts_on"], found["systems"]) == ("149.00", "2027-01-01", 1)
    assert found["ended_on"] is None


def test_revenue_comes_by_month_until_today():
    sold()

    assert ask("revenue", first="2027-03-01").json() == {"data": [
        {"month": "2027-03-01", "billed": "0.00", "earned": "12.66", "deferred": "112.25"},
    ]}  # fmt: skip


def test_every_page_is_followed_to_the_end_without_a_row_twice():
    numbers = {sold(f"Customer {n}").pk for n in range(5)}
    browser, address, seen = program(key_for()[1]), f"{BASE}/agreements?limit=2", []

    while address:
        answer = browser.get(address).json()
        seen += [row["id"] for row in answer["data"]]
        address = answer["next"]

    assert sorted(seen) == sorted(numbers)
    assert len(seen) == 5


def test_a_row_that_comes_meanwhile_hides_none():
    first, second = sold("Ana Ortiz").pk, sold("Ben Castellan").pk
    browser = program(key_for()[1])
    following = browser.get(f"{BASE}/agreements?limit=1").json()["next"]

    third = sold("Aaron First").pk

    rest = browser.get(following.replace("limit=1", "limit=9")).json()["data"]
    assert [row["id"] for row in rest] == [second, third]
    assert first < second < third


def test_days_narrow_what_has_a_day():
    sold()

    assert len(ask("charges", first="2027-01-01", last="2027-01-01").json()["data"]) == 1
    assert ask("charges", first="2027-01-02").json()["data"] == []


@pytest.mark.parametrize(
    ("path", "asked", "words"),
    [
        ("homes", {"colour": "red"}, "“colour” is not asked here"),
        ("homes", {"first": "2027-01-01"}, "“first” is not asked here"),
        ("homes", {"limit": "0"}, "from 1 to 500"),
        ("homes", {"limit": "²"}, "from 1 to 500"),
        ("homes", {"cursor": "nonsense"}, "cursor is a whole number"),
        ("charges", {"first": "April"}, "a day like 2027-04-01"),
        ("charges", {"first": "2027-02-01", "last": "2027-01-01"}, "on or after first"),
        ("homes", {"limit": ["1", "2"]}, "asked twice"),
    ],
)
def test_a_question_that_is_not_understood_is_refused_in_words(path, asked, words):
    answer = ask(path, **asked)

    assert (answer.status_code, answer["Content-Type"]) == (400, "application/problem+json")
    assert words in answer.json()["detail"]
    assert answer.json()["type"] == "about:blank"


@pytest.mark.parametrize("path", ["secrets", "homes/0", "homes/x", "homes/99999999999999999999"])
def test_what_is_not_there_is_said_to_be_missing(path):
    assert ask(path).status_code == 404


@pytest.mark.parametrize("header", ["", "Bearer", "Bearer rbk_wrong", "Basic b2RpbGU6cmVk"])
def test_without_a_live_key_nothing_opens(header):
    answer = Client(headers={"Authorization": header}).get(f"{BASE}/homes")

    assert answer.status_code == 401
    assert answer["WWW-Authenticate"] == 'Bearer realm="Redbud"'


def test_a_key_opens_only_what_it_was_made_for():
    assert ask("homes", "money").status_code == 403
    assert ask("revenue", "homes").status_code == 403
    assert ask("payments", "money").status_code == 200


def test_a_key_reads_its_own_branch_alone():
    agreement = sold()
    stranger = program(key_for(branch=cast.sheboygan())[1])

    assert stranger.get(f"{BASE}/agreements").json()["data"] == []
    assert stranger.get(f"{BASE}/agreements/{agreement.pk}").status_code == 404


def test_a_revoked_key_opens_nothing():
    row, key = key_for()
    revoke_key(key=row, now=NOW)

    assert program(key).get(f"{BASE}/homes").status_code == 401


def test_nothing_can_be_changed():
    answer = program(key_for()[1]).delete(f"{BASE}/homes")

    assert (answer.status_code, answer["Allow"]) == (405, "GET, HEAD")


def test_too_many_questions_are_told_to_wait(settings):
    settings.RATELIMIT_ENABLE, settings.INTERFACE_RATE = True, "2/m"
    caches["visitors"].clear()
    browser = program(key_for()[1])

    statuses = [browser.get(f"{BASE}/homes").status_code for _ in range(3)]

    assert statuses == [200, 200, 429]
    assert browser.get(f"{BASE}/homes")["Retry-After"] == "60"
    assert program(key_for()[1]).get(f"{BASE}/homes").status_code == 200


def test_the_key_itself_is_not_kept_and_its_use_is():
    row, key = key_for()

    program(key).get(f"{BASE}/homes")

    row.refresh_from_db()
    assert key not in f"{vars(row)}"
    assert row.last_used_at == NOW


@pytest.mark.parametrize("name", RESOURCES)
def test_a_long_page_costs_no_more_queries_than_a_short_one(name, django_assert_max_num_queries):
    for number in range(8):
        agreement = sold(f"Customer {number}")
        paid_and_given_back(agreement)
        factories.VisitFactory(owed_visit=agreement.owed_visits.get())
    browser = program(key_for()[1])

    with django_assert_max_num_queries(5):  # the key, its use, its branch's rows, their systems
        assert len(browser.get(f"{BASE}/{name}").json()["data"]) == 8


def test_the_document_describes_every_resource_and_needs_no_key(client):
    document = client.get(reverse("front:openapi")).json()

    assert document["openapi"] == "3.1.0"
    assert {f"{BASE}/{name}" for name in RESOURCES} <= set(document["paths"])
    assert f"{BASE}/revenue" in document["paths"]


@cache
def questions() -> list:
    """For each path of the document, what may be asked there, and what may not."""
    schema = schemathesis.openapi.from_wsgi("/interface/openapi.json", application)
    return [found.ok().as_strategy() for found in schema.get_all_operations()]


@pytest.fixture
def _connection_kept():
    """Whoever asks past Django's test client must keep the test's connection open himself."""
    for signal in (request_started, request_finished):
        signal.disconnect(close_old_connections)
    yield
    for signal in (request_started, request_finished):
        signal.connect(close_old_connections)


@pytest.mark.usefixtures("_connection_kept")
@given(data=st.data())
@settings(
    max_examples=40, phases=[Phase.generate], deadline=None,
    suppress_health_check=list(HealthCheck),
)  # fmt: skip
def test_the_interface_does_what_its_document_says(data):
    """Questions made from the document, right and wrong ones, are answered as it says."""
    if not Home.objects.exists():
        paid_and_given_back(sold())
        factories.VisitFactory(owed_visit=factories.OwedVisitFactory())
    case = data.draw(st.one_of(questions()))
    asked = case.query or {}
    assume(f"{asked.get('first', '')}" <= f"{asked.get('last', '9')}")  # refused, in words

    case.call_and_validate(headers={"Authorization": f"Bearer {key_for()[1]}"})
