"""An agreement's whole life in the browser: enrolled, paid, changed, renewed, cancelled, refunded.

At each step the page says the same money, to the cent.
"""

import datetime as dt
import json
import re
from decimal import Decimal

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import DESKTOP, PHONE, faults, picture, served, sign_in
from tests.real.services import manage

pytestmark = [pytest.mark.slow, pytest.mark.xdist_group("browser")]

LINK = """
from django.utils import timezone
from agreements.actions.outbox import own_link
from agreements.models import Agreement
from letters.links import address_of
agreement = Agreement.objects.order_by("pk").last()
print(address_of(own_link(agreement=agreement, now=timezone.now()), "agreements:yours"))
"""

# What each agreement asks, and the journal until long after the last month is earned.
BOOKS = """
import datetime as dt, json
from collections import Counter
from agreements.accounts import accounts_of
from agreements.models import Agreement
from agreements.postings import postings
from shop.models import Branch
his = Agreement.objects.filter(home__customer__name="Ben Castellan").order_by("pk")
accounts = accounts_of(his)
ledger = Counter()
for line in postings(Branch.objects.get(), None, dt.date(2100, 1, 1)):
    ledger[line.account] += line.debit - line.credit
rows = [[one.price if one.cancelled_on is None else None, accounts[one.pk].asked,
         accounts[one.pk].paid, accounts[one.pk].refunded] for one in his]
print(json.dumps({"agreements": rows, "ledger": ledger}, default=str))
"""


@pytest.fixture(scope="module")
def shop(tmp_path_factory):
    with served(tmp_path_factory.mktemp("enrolment"), "--without-homes") as shop:
        yield shop


def in_days(days: int) -> str:
    return (dt.datetime.now(tz=dt.UTC).date() + dt.timedelta(days=days)).isoformat()


def figure(page: Page, label: str) -> str:
    box = page.locator("dl.figure", has=page.get_by_text(label, exact=True))
    return box.locator("dd").first.inner_text()


def pay(page: Page, amount: str) -> None:
    page.get_by_role("link", name="Record a payment").click()
    page.get_by_label("Amount, $").fill(amount)
    page.get_by_role("button", name="Record it").click()


class Books:
    """All his agreements, and the journal, as the shop's books have them now."""

    def __init__(self, shop) -> None:
        said = manage("shell", "-v", "0", "-c", BOOKS, **shop.env).stdout.strip().splitlines()[-1]
        facts = json.loads(said)
        self.ledger = {name: Decimal(amount) for name, amount in facts["ledger"].items()}
        self.rows = [[x if x is None else Decimal(x) for x in row] for row in facts["agreements"]]
        self.asked, self.paid, self.refunded = (sum(row[n] for row in self.rows) for n in (1, 2, 3))
        # Always: debits are credits, cash is what came in less what went back, nothing hangs
        # between two agreements, and what still runs asks for its price.
        assert sum(self.ledger.values()) == 0
        assert self.ledger["Cash"] == self.paid - self.refunded
        assert self.ledger.get("Moved between agreements", 0) == 0
        assert self.ledger["Accounts receivable"] == self.asked - self.paid + self.refunded
        assert -self.ledger["Agreement revenue"] == self.asked
        assert self.ledger["Deferred agreement revenue"] == 0
        assert all(price == asked for price, asked, *_ in self.rows if price is not None)


def test_an_agreement_lives_and_ends_with_its_books_in_order(browser, shop):
    page = sign_in(browser, shop, "office", DESKTOP)

    # 1. Enrolled on the telephone; the price is said while one speaks.
    page.goto(f"{shop.url}/agreements/enrol/")
    page.get_by_role("link", name="Somebody new").first.click()
    page.get_by_label("Name").first.fill("Ben Castellan")
    page.get_by_label("Street").fill("9 Birch Lane")
    page.get_by_label("City").fill("Milwaukee")
    page.get_by_label("State").fill("WI")
    page.get_by_label("ZIP").fill("53202")
    page.get_by_label("Air conditioner").check()
    page.get_by_label("Furnace").check()
    page.get_by_label("Plan").select_option(label="Spring check, $149.00")
    page.get_by_label("Paid").select_option("monthly")
    page.get_by_label("First day").fill(in_days(-40))
    expect(page.locator("#price")).to_contain_text("$238.00")
    expect(page.locator("#price")).to_contain_text("in 12 parts: first $19.84")
    picture(page, "enrol")
    assert faults(page) == []
    page.get_by_role("button", name="Make the agreement").click()
    expect(page.get_by_text("Spring check agreed for Ben Castellan.")).to_be_visible()
    assert figure(page, "due now") == "$39.68"  # two parts of twelve
    assert faults(page) == []

    # 2. The customer reads and signs it on a phone.
    phone = browser.new_context(viewport=PHONE).new_page()
    phone.goto(manage("shell", "-v", "0", "-c", LINK, **shop.env).stdout.strip())
    picture(phone, "agreement-own-page")
    assert faults(phone) == []
    phone.get_by_label("Your name, as a signature").fill("Ben Castellan")
    phone.get_by_role("button", name="I accept this agreement").click()
    expect(phone.get_by_text("The agreement is signed")).to_be_visible()

    # 3. Paid: the whole price at once.
    pay(page, "238.00")
    assert (figure(page, "paid"), figure(page, "due now")) == ("$238.00", "$0.00")

    # 4. Changed to the dearer plan from today on: what was paid moves along.
    page.get_by_role("link", name="Change the plan").click()
    page.get_by_role("button", name="See what it costs").click()
    total = page.locator("#costs").inner_text()
    picture(page, "change-plan")
    assert faults(page) == []
    page.get_by_role("button", name=re.compile("Change to")).click()
    expect(page.get_by_text("goes on with Spring and autumn checks")).to_be_visible()
    more = float(re.search(r"\$([\d.,]+) more", total).group(1).replace(",", ""))
    new_price, moved = (
        float(figure(page, name)[1:].replace(",", "")) for name in ("price of the term", "paid")
    )
    assert round(new_price - moved, 2) == more

    # 5. Renewed: the next term is written down.
    page.get_by_role("button", name="Renew it").click()
    expect(page.get_by_text("is renewed")).to_be_visible()
    before = Books(shop)
    assert before.paid == 238
    assert len(before.rows) == 3  # the one that went on with another plan, that one, its next term
    assert before.rows[2][0] > 0

    # 6. Paid in full, then cancelled: the rule says what goes back.
    pay(page, f"{more:.2f}")
    page.get_by_role("link", name="Cancel it").click()
    page.get_by_label("First day without it").fill(in_days(100))
    page.get_by_role("button", name="Compute again").click()
    back = re.search(r"\$([\d.,]+) goes back", page.locator("#settled").inner_text()).group(1)
    picture(page, "cancel")
    assert faults(page) == []
    page.get_by_label("Why").fill("moves away")
    page.get_by_role("button", name=re.compile("Cancel from")).click()
    expect(page.get_by_text(f"${back} is to go back to the customer.")).to_be_visible()

    # 7. The refund is recorded, and nothing is open.
    page.get_by_role("link", name="Record the refund").click()
    expect(page.get_by_label("Amount, $")).to_have_value(back)
    page.get_by_label("How").select_option("check")
    page.get_by_label("Number").fill("1042")
    page.get_by_role("button", name="Record it").click()
    expect(page.get_by_text(f"${back} went back.")).to_be_visible()
    picture(page, "agreement-ended")
    assert faults(page) == []

    # 8. The books: what was asked is what was paid and kept. The next term is called off.
    after = Books(shop)
    assert after.paid == before.paid + Decimal(f"{more:.2f}")
    assert after.refunded == Decimal(back.replace(",", ""))
    assert after.asked == after.paid - after.refunded
    assert after.asked == before.asked - before.rows[2][1] - after.refunded
