"""What one types into the search box, and what it is compared with."""

import pytest

from customers.models import Home
from customers.search import folded, searched
from tests import cast, factories

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("written", "kept"),
    [("Núñez", "nunez"), ("O'Brien", "obrien"), ("O’BRIEN", "obrien"), ("Straße", "strasse")],
)
def test_names_are_compared_without_accents_and_apostrophes(written, kept):
    assert folded(written) == kept


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ("+1 (414) 555-0123", "414 5550123"),
        ("+14145550123", "4145550123"),
        ("1-414-555-0123", "4145550123"),
        ("414.555.0123", "4145550123"),
        ("12-14 Oak St.", "12-14 oak st"),
        ("nora@example.com", "nora@example.com"),
        ("   ", ""),
    ],
)
def test_a_telephone_number_is_compared_by_its_digits(typed, words):
    assert searched(typed) == words


@pytest.mark.parametrize(
    "typed", ["whitfield", "WHIT nora", "alder", "(414) 555-0123", "nora@", "53012"]
)
def test_every_word_must_be_found_in_name_address_phone_or_email(typed):
    home = cast.noras_home()
    factories.HomeFactory(
        customer__branch=cast.cedarburg(), street="9 Quarry Road", city="Grafton", zip="53024"
    )

    assert list(Home.objects.of(cast.cedarburg()).matching(searched(typed))) == [home]


def test_a_per_cent_sign_finds_itself_and_not_everything():
    cast.noras_home()

    assert not Home.objects.matching(searched("100%")).exists()
