"""Pages instead of a bare answer: an unknown address, a form that is too old, no request at all."""

import pytest
from django.test import Client
from django.urls import reverse

from tests import cast, factories

pytestmark = pytest.mark.django_db


def test_an_unknown_address_keeps_the_rooms_of_who_is_signed_in():
    page = cast.signed_in(cast.odile()).get("/homes/987654/")
    assert page.status_code == 404
    assert "Nothing is here" in page.text
    assert 'aria-label="Rooms"' in page.text


def test_a_stranger_is_told_of_the_letter_in_both_languages(client):
    page = client.get("/nowhere/")
    assert page.status_code == 404
    assert "open it again" in page.text
    assert "ábrala otra vez" in page.text
    assert reverse("front:sign-in") in page.text


def test_a_form_of_a_page_that_is_too_old_says_what_to_do():
    person = {"username": cast.odile().username, "password": factories.PASSWORD}
    page = Client(enforce_csrf_checks=True).post(reverse("front:sign-in"), person)
    assert page.status_code == 403
    assert "open too long" in page.text
    assert "Nothing of it was saved" in page.text


def test_what_cannot_be_read_is_no_bare_answer(settings, client):
    settings.DATA_UPLOAD_MAX_NUMBER_FIELDS = 2
    page = client.post(reverse("front:sign-in"), {"a": 1, "b": 2, "c": 3})
    assert page.status_code == 400
    assert "could not read this" in page.text
