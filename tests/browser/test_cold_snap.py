"""A promised day turns cold: from the forecast to the customer's changed invitation.

The shop's clock stands in May; the forecast is a row as the forecast service would leave it.
"""

import datetime as dt
import re
from email import message_from_bytes, policy

import pytest
from playwright.sync_api import expect

from tests.browser.conftest import DESKTOP, PHONE, YEAR, faults, picture, served, sign_in
from tests.letters.sink import mail_server
from tests.outside.calendar_readers import read_by_everyone
from tests.real.services import manage, wait_until

pytestmark = [pytest.mark.slow, pytest.mark.xdist_group("browser")]

# A Monday in May, ten in the morning in Wisconsin.
MONDAY = next(d for n in range(7) if (d := dt.date(YEAR, 5, 17 + n)).weekday() == 0)
NOW = dt.datetime.combine(MONDAY, dt.time(15), dt.UTC)

PROMISE_A_WARM_TIME = f"""
import datetime as dt
from scheduling.actions.visits import promise_visit, unplace_visit
from scheduling.models import State, Visit
from scheduling.reading import minutes_of_visit
now = dt.datetime.fromisoformat("{NOW.isoformat()}")
visit = Visit.objects.needing_warmth().filter(state=State.PENCILLED, technician__isnull=False,
    starts_at__gt=now + dt.timedelta(hours=36), starts_at__lt=now + dt.timedelta(hours=60),
    owed_visit__agreement__home__customer__email__contains="@").with_home().first()
assert visit, "the plan placed no cooling check on that day"
promise_visit(visit=visit, technician=visit.technician, starts_at=visit.starts_at,
    minutes=minutes_of_visit(visit), now=now)
print(visit.pk, visit.starts_at.isoformat(), visit.owed_visit.home.customer.name, sep="|")
"""

FORETELL = """
import datetime as dt
from shop.models import Branch
from weather.actions.forecasts import keep_forecast
from weather.forecast import ForecastHour, forecast_of
now, cold = dt.datetime.fromisoformat("{now}"), dt.date.fromisoformat("{cold}")
zone = Branch.objects.get().zone
hours = [now + dt.timedelta(hours=number) for number in range(156)]
told = [ForecastHour(at, 41.0 if at.astimezone(zone).date() == cold else 74.0) for at in hours]
forecast, notes = forecast_of("told", now, now, told)
keep_forecast(branch=Branch.objects.get(), forecast=forecast, notes=notes, now=now)
"""


@pytest.fixture(scope="module")
def mailbox():
    with mail_server() as sink:
        yield sink


@pytest.fixture(scope="module")
def shop(tmp_path_factory, mailbox):
    folder = tmp_path_factory.mktemp("cold-snap")
    clock = folder / "clock"
    clock.write_text(NOW.isoformat())
    mail = f"smtp://127.0.0.1:{mailbox.port}"
    with served(folder, EMAIL_URL=mail, DEMO_CLOCK=str(clock)) as shop:
        manage("plan_season", "--seconds", "5", "--wait", "--apply", **shop.env)
        yield shop


def invitations(mailbox, subject: str) -> list[bytes]:
    """Calendar parts of the letters whose subject matches, the newest last."""
    mails = [message_from_bytes(m.as_bytes(), policy=policy.default) for m in mailbox.taken]
    return [
        part.get_payload(decode=True)
        for mail in mails
        if re.search(subject, mail["Subject"])
        for part in mail.walk()
        if part.get_content_type() == "text/calendar"
    ]


def link_in(mailbox, subject: str) -> str:
    mails = [message_from_bytes(m.as_bytes(), policy=policy.default) for m in mailbox.taken]
    mail = [m for m in mails if re.search(subject, m["Subject"])][-1]
    text = mail.get_body(("plain",)).get_content()
    assert "too cold" in text
    return re.search(r"http://\S+/season/answer/\S+", text).group(0)


def test_the_office_agrees_and_the_customer_s_calendar_moves(browser, shop, mailbox):
    told = manage("shell", "-v", "0", "-c", PROMISE_A_WARM_TIME, **shop.env).stdout.strip()
    _, starts_at, customer = told.splitlines()[-1].split("|")
    wait_until(lambda: invitations(mailbox, "[Aa]greed"), "the agreed time's letter", 60)
    before = read_by_everyone(invitations(mailbox, "[Aa]greed")[-1])

    cold = dt.datetime.fromisoformat(starts_at).date()
    words = FORETELL.format(now=NOW.isoformat(), cold=cold.isoformat())
    manage("shell", "-v", "0", "-c", words, **shop.env)

    office = sign_in(browser, shop, "office", DESKTOP)
    office.goto(f"{shop.url}/season/watch/")
    office.get_by_role("button", name="Look again now").click()
    picture(office, "watch-cold-snap")
    assert faults(office) == []
    card = office.locator("li.card", has_text=customer).first
    expect(card).to_contain_text("too cold")
    card.get_by_role("button", name="Agree").click()

    wait_until(lambda: invitations(mailbox, "New time"), "the letter of the new time", 60)
    after = read_by_everyone(invitations(mailbox, "New time")[-1])
    assert (after["uid"], after["method"]) == (before["uid"], "REQUEST")
    assert after["sequence"] == before["sequence"] + 1
    assert after["start"] != before["start"]

    phone = browser.new_context(viewport=PHONE).new_page()
    phone.goto(link_in(mailbox, "New time"))
    expect(phone.get_by_role("heading", name="Agreed")).to_be_visible()
    picture(phone, "answer-after-cold-snap")
