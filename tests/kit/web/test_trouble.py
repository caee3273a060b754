"""A page that fails: the right status, plain words, nothing of the inside."""

import errno

import pytest
from django.db import OperationalError
from django.test import Client
from django.urls import reverse

from tests import cast


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("trouble", "status", "words"),
    [
        (OperationalError("the connection is closed"), 503, "A part of the server is away"),
        (OSError(errno.ENOSPC, "No space left on device"), 503, "no room left on its disk"),
        (ValueError("secret inside"), 500, "This page failed"),
    ],
)
def test_a_failed_page_says_what_to_do(monkeypatch, trouble, status, words):
    def fails(*_: object, **__: object):
        raise trouble

    monkeypatch.setattr("customers.views.entry.actions.save_system", fails)
    monkeypatch.setattr("customers.views.entry.actions.save_filter", fails)
    browser = Client(raise_request_exception=False)
    browser.force_login(cast.odile())
    system = cast.noras_home().systems.get()

    answer = browser.post(f"/homes/systems/{system.pk}/filters/new/", {"size": "16x25", "count": 1})

    assert answer.status_code == status
    assert words in answer.text
    assert str(trouble) not in answer.text
    assert ("Retry-After" in answer) == (status == 503)
    assert "Nothing of" in answer.text


def test_the_page_needs_no_database(monkeypatch):
    def away(*_: object):
        raise OperationalError

    monkeypatch.setattr("front.views.health.connection.cursor", away)
    answer = Client(raise_request_exception=False).get("/health/")
    assert answer.status_code == 503


def test_a_customer_by_a_link_is_not_sent_to_the_office_s_today(monkeypatch):
    def away(*_: object, **__: object):
        raise OperationalError

    monkeypatch.setattr("letters.views.customers.read_token", away)
    page = Client(raise_request_exception=False).get(reverse("letters:stop", args=["any-token"]))
    assert page.status_code == 503
    assert "Today" not in page.text
    assert "call the office" in page.text
