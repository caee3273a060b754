"""What the database keeps of each agreement's money is always the sum of it, whoever writes."""

import datetime as dt
from contextlib import suppress
from decimal import Decimal

import pytest
from django.core.management import CommandError, call_command
from django.db import connection, transaction
from hypothesis import given, settings
from hypothesis import strategies as st

from agreements.accounts import accounts_of
from agreements.actions.changing import change_plan
from agreements.actions.ending import cancel
from agreements.actions.events import AgreementRefused
from agreements.actions.paying import refund, reverse_payment
from agreements.balances import uneven
from agreements.debts import debts_of, overdue
from agreements.keeping import COUNTED, differing, trigger_names
from agreements.models import Agreement, Balance, Charge, Payment
from tests import cast
from tests.agreements.sold import TODAY, paid, sold, two_checks

pytestmark = pytest.mark.django_db
LISTED = {
    "sqlite": "SELECT name FROM sqlite_master WHERE type = 'trigger'",
    "postgresql": "SELECT tgname FROM pg_trigger WHERE NOT tgisinternal",
}
LATER = dt.date(2027, 9, 1)


@pytest.mark.parametrize("table", COUNTED)
def test_the_triggers_stand(table):
    """SQLite drops a table's triggers when a migration rebuilds it; the migration puts them up."""
    with connection.cursor() as cursor:
        cursor.execute(LISTED[connection.vendor])
        found = {name for (name,) in cursor.fetchall()}
    assert set(trigger_names(table, connection.vendor)) <= found


def give_back(agreement, amount) -> None:
    refund(
        agreement=agreement, amount=amount, on=TODAY, how="cash", why="too much", by=cast.odile()
    )


def take_back(agreement, amount) -> None:
    if payment := agreement.payments.filter(reverses=None).exclude(how="moved").first():
        reverse_payment(payment=payment, why="bounced", on=TODAY, by=cast.odile())


def end(agreement, amount) -> None:
    day = TODAY if amount < 50 else LATER
    cancel(agreement=agreement, ends=day, why="moves away", by=cast.odile())


def go_on(agreement, amount) -> None:
    """The first agreement with another plan; its money moves along."""
    plan = agreement.home.customer.branch.plans.filter(code="two").first() or two_checks()
    change_plan(agreement=agreement, plan=plan, on=TODAY, by=cast.odile())


def ask(agreement, amount) -> None:
    """The same charge again is none."""
    Charge.objects.bulk_create(
        [Charge(agreement=agreement, due_on=LATER, amount=amount)] * 2, ignore_conflicts=True
    )


ACTS = {
    "pay": paid, "give back": give_back, "take back": take_back, "end": end, "go on": go_on,
    "ask": ask, "erase": lambda agreement, amount: Payment.objects.exclude(reverses=None).delete(),
    "let go": lambda agreement, amount: agreement.charges.update(withdrawn_on=TODAY),
    "revive": lambda agreement, amount: agreement.charges.update(withdrawn_on=None),
    "correct": lambda agreement, amount: agreement.payments.update(amount=amount, reverses=None),
}  # fmt: skip
STEPS = st.tuples(
    st.sampled_from(sorted(ACTS)), st.decimals(Decimal("0.01"), 200, places=2), st.integers(0, 2)
)


@settings(max_examples=25, deadline=None)
@given(st.sampled_from(["yearly", "monthly"]), st.lists(STEPS, min_size=1, max_size=8))
def test_whatever_is_done_the_kept_balance_is_the_sum_and_says_who_owes(rhythm, steps):
    with transaction.atomic():
        sold(rhythm=rhythm)
        for name, amount, which in steps:
            everyone = list(Agreement.objects.order_by("pk"))
            with suppress(AgreementRefused), transaction.atomic():
                ACTS[name](everyone[which % len(everyone)], amount)
            assert differing() == []
        _says_the_same()
        transaction.set_rollback(True)


def _says_the_same() -> None:
    """As the accounts, which are summed from all rows."""
    accounts = accounts_of(Agreement.objects.all())
    for day in (TODAY, LATER - dt.timedelta(days=1), LATER, dt.date(2029, 1, 1)):
        found = uneven(cast.cedarburg(), day)
        owed = {key: owes for key, one in accounts.items() if (owes := one.due_now(day))}
        assert found.owed == owed
        assert all(accounts[key].to_go_back == back for key, back in found.too_much.items())


def test_a_credit_of_a_later_day_that_was_paid_out_is_no_debt_until_then():
    agreement = sold()
    paid(agreement)
    settled = cancel(agreement=agreement, ends=LATER, why="moves away", by=cast.odile())
    give_back(agreement, settled.refund)

    assert debts_of(cast.cedarburg(), TODAY).rows == []
    assert overdue(cast.cedarburg(), TODAY).agreements == 0


def test_a_settled_agreement_is_not_looked_at(django_assert_num_queries):
    paid(sold())
    branch = cast.cedarburg()

    with django_assert_num_queries(1):
        found = uneven(branch, dt.date(2029, 1, 1))

    assert found.owed == found.too_much == {}
    assert Balance.objects.get().cents == 0


def test_a_recount_finds_what_differs_and_puts_it_right(capsys):
    agreement = sold()
    Balance.objects.update(cents=1)

    with pytest.raises(CommandError, match="1 balances differ"):
        call_command("recount_balances")
    assert f"Agreement {agreement.pk}: $0.01 kept, $146.00 summed" in capsys.readouterr().out
    call_command("recount_balances", write=True)

    assert Balance.objects.get().cents == 14600
    call_command("recount_balances")
