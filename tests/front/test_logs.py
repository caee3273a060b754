"""What is written into logs and error pages: enough to find a fault, and nobody's data."""

import io
import json
import logging

import pytest
from django.test import Client
from django.urls import reverse

from customers.models import Customer
from front.views import personal
from kit.web.logs import JsonLines
from letters.links import link_for, token_of
from tests import cast
from tests.access.world import NOW

pytestmark = pytest.mark.django_db
HERS = ("Whitfield", "nora@example.com", "4145550123", "555-0123", "Alder Court", "4471#")


@pytest.fixture
def lines():
    """Everything that is logged meanwhile, as a server writes it."""
    paper = io.StringIO()
    handler = logging.StreamHandler(paper)
    handler.setFormatter(JsonLines())
    root, level = logging.getLogger(), logging.getLogger().level
    root.addHandler(handler)
    root.setLevel(logging.INFO)
    yield lambda: [json.loads(line) for line in paper.getvalue().splitlines()]
    root.removeHandler(handler)
    root.setLevel(level)


def test_a_request_leaves_one_line_with_number_view_and_person(lines):
    answer = cast.signed_in(cast.odile()).get(reverse("customers:list") + "?q=Whitfield")
    line = next(line for line in lines() if line["logger"] == "redbud.request")
    assert line["view"] == "customers:list"
    assert (line["status"], line["user"]) == (200, cast.odile().pk)
    assert answer.headers["X-Request-ID"] == line["request"]


def test_what_is_typed_searched_and_linked_is_in_no_log(lines, client):
    home = cast.noras_home()
    browser = cast.signed_in(cast.odile())
    browser.get(reverse("customers:list"), {"q": "Nora Whitfield 414-555-0123"})
    facts = {"name": "Nora Whitfield", "phone": "4145550123x", "email": "nora@example.com.",
             "street": "14 Alder Court", "gate_code": "4471#"}  # fmt: skip
    for name in ("customers:home-edit", "customers:customer-edit"):
        browser.post(reverse(name, args=[home.pk]), facts)
    token = token_of(link_for(purpose="stop", about="customer:1", now=NOW, customer=cast.nora()))
    client.get(reverse("letters:stop", args=[token + "x"]))
    client.post("/sign-in/", {"username": "nora@example.com", "password": "Alder Court 14"})
    client.get("/nowhere/Nora Whitfield/?email=nora@example.com")
    words = json.dumps(lines())
    assert [one for one in (*HERS, token) if one in words] == []


def test_an_error_tells_its_kind_and_place_and_not_what_it_quoted(lines, monkeypatch):
    def broken(*_: object, **__: object) -> None:
        raise ValueError("14 Alder Court of Nora Whitfield is no number")

    monkeypatch.setattr(personal, "inventory_of", broken)
    browser = Client(raise_request_exception=False)
    browser.force_login(cast.walter())
    answer = browser.get(reverse("front:personal", args=[cast.nora().pk]))
    assert answer.status_code == 500
    error = next(line["error"] for line in lines() if "error" in line)
    assert error["kind"] == "ValueError"
    assert error["places"][-1].endswith(" broken")
    everything = json.dumps(lines()) + answer.text
    assert [one for one in (*HERS, "Traceback") if one in everything] == []


def test_a_line_break_in_what_is_logged_stays_one_line(lines):
    logging.getLogger("redbud").warning("name: %s", 'Nora\n{"level": "CRITICAL"}')
    assert len(lines()) == 1
    assert Customer.objects.count() == 0
