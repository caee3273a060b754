"""What a spreadsheet does to an agreement is in its history, and in what is asked for."""

from decimal import Decimal

import pytest

from agreements.accounts import account_of
from agreements.actions.charging import ask_for_term
from agreements.models import Agreement
from tests.agreements.imports.conftest import TODAY
from tests.agreements.sold import history

pytestmark = pytest.mark.django_db


def test_an_agreement_that_comes_in_asks_for_nothing_and_says_where_it_is_from(upload, bring_in):
    bring_in(upload({}))

    agreement = Agreement.objects.get()
    assert history(agreement) == ["made"]
    assert "with a spreadsheet" in agreement.events.get().words
    assert not agreement.charges.exists()
    assert agreement.version.plan == agreement.plan


def test_a_corrected_price_is_in_the_history_and_in_what_is_asked(upload, bring_in):
    bring_in(upload({"Price": "$149.00"}))
    agreement = Agreement.objects.get()
    ask_for_term(agreement=agreement)

    bring_in(upload({"Price": "$129.00"}))

    assert history(agreement) == ["made", "repriced"]
    assert account_of(agreement).asked == Decimal(129)
    assert agreement.charges.get(kind="price").due_on == TODAY
