"""A promised day turns cold: from the forecast to the customer's changed invitation.

The shop's clock stands in May; the forecast is a row as the forecast service would leave it.
"""

import datetime as dt
import json
import re
from email import message_from_bytes, policy
from email.message import EmailMessage
from zoneinfo import ZoneInfo

import pytest
from playwright.sync_api import Locator, Page, expect

from kit import words
from tests.browser.conftest import DESKTOP, PHONE, YEAR, faults, picture, served, sign_in
from tests.letters.sink import Sink, mail_server
from tests.outside.calendar_readers import read_by_everyone
from tests.real.services import manage, wait_until

pytestmark = [pytest.mark.slow, pytest.mark.xdist_group("browser")]

# A Monday in May, ten in the morning in Wisconsin: nobody sleeps, and Wednesday is decided on.
MONDAY = next(d for n in range(7) if (d := dt.date(YEAR, 5, 17 + n)).weekday() == 0)
NOW = dt.datetime.combine(MONDAY, dt.time(15), dt.UTC)
ZONE = ZoneInfo("America/Chicago")
PATIENCE_S = 180
WARM_F, SNAP_F = 74.0, 43.0  # twelve degrees under the shop's test temperature

# A check of Wednesday whose customer has an e-mail address and is home at any time.
PROMISE_A_WARM_TIME = f"""
import datetime as dt, json
from kit.when import ALL_HALVES_MASK
from scheduling.actions.visits import promise_visit
from scheduling.models import State, Visit
from scheduling.reading import minutes_of_visit
now = dt.datetime.fromisoformat("{NOW.isoformat()}")
home = "owed_visit__agreement__home__"
visit = Visit.objects.needing_warmth().filter(state=State.PENCILLED, technician__isnull=False,
    starts_at__gt=now + dt.timedelta(hours=36), starts_at__lt=now + dt.timedelta(hours=60),
    **{{home + "customer__email__contains": "@", home + "halves_mask": ALL_HALVES_MASK,
    home + "customer__language": "en"}}).with_home().first()
assert visit, "the plan placed no cooling check on that day"
promise_visit(visit=visit, technician=visit.technician, starts_at=visit.starts_at,
    minutes=minutes_of_visit(visit), now=now)
print(json.dumps([visit.starts_at.isoformat(), visit.owed_visit.home.customer.name]))
"""

FORETELL = """
import datetime as dt
from shop.models import Branch
from weather.actions.forecasts import keep_forecast
from weather.forecast import ForecastHour, forecast_of
now, cold = dt.datetime.fromisoformat("{now}"), dt.date.fromisoformat("{cold}")
branch = Branch.objects.get()
hours = [now + dt.timedelta(hours=number) for number in range(156)]
told = [ForecastHour(at, {snap} if at.astimezone(branch.zone).date() == cold else {warm})
    for at in hours]
forecast, notes = forecast_of("told", now, now, told)
keep_forecast(branch=branch, forecast=forecast, notes=notes, now=now)
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


def wait_for(mailbox: Sink, subject: str) -> EmailMessage:
    """The newest letter whose subject matches."""

    def found() -> list[EmailMessage]:
        mails = [message_from_bytes(m.as_bytes(), policy=policy.default) for m in mailbox.taken]
        return [mail for mail in mails if re.search(subject, mail["Subject"])]

    wait_until(lambda: bool(found()), f"a letter about {subject}", PATIENCE_S)
    return found()[-1]


def invitation(mail: EmailMessage) -> dict:
    (part,) = [p for p in mail.walk() if p.get_content_type() == "text/calendar"]
    return read_by_everyone(part.get_payload(decode=True))


def look_again(office: Page, shop, customer: str) -> Locator:
    """The watch page after a look at the weather; the card of this customer's promise."""
    office.set_default_timeout(PATIENCE_S * 1000)
    office.goto(f"{shop.url}/season/watch/")
    office.get_by_role("button", name="Look again now").click()
    expect(office.get_by_text("New proposals below.")).to_be_visible()
    picture(office, "cold-snap-watch")
    assert faults(office) == []
    return office.locator("section", has_text="Too cold by now").locator(
        "li.card", has_text=customer
    )


def test_the_office_agrees_and_the_customer_s_calendar_moves(browser, shop, mailbox):
    told = manage("shell", "-v", "0", "-c", PROMISE_A_WARM_TIME, **shop.env).stdout
    starts_at, customer = json.loads(told.strip().splitlines()[-1])
    before = invitation(wait_for(mailbox, "[Aa]greed"))

    cold = dt.datetime.fromisoformat(starts_at).astimezone(ZONE).date()
    words_of_it = FORETELL.format(now=NOW.isoformat(), cold=cold, snap=SNAP_F, warm=WARM_F)
    manage("shell", "-v", "0", "-c", words_of_it, **shop.env)

    office = sign_in(browser, shop, "office", DESKTOP)
    card = look_again(office, shop, customer)
    expect(card).to_contain_text("too cold")
    card.get_by_role("button", name="Agree").click()
    expect(office.get_by_text(f"{customer}: ")).to_be_visible()
    picture(office, "cold-snap-agreed")

    letter = wait_for(mailbox, "New time")
    after, text = invitation(letter), letter.get_body(("plain",)).get_content()
    assert "too cold" in text
    assert (after["uid"], after["method"]) == (before["uid"], "REQUEST")
    assert after["sequence"] == before["sequence"] + 1
    becomes = dt.datetime.fromtimestamp(after["start"] * 60, ZONE)
    assert becomes.date() != cold

    phone = browser.new_context(viewport=PHONE).new_page()
    phone.goto(re.search(r"http://\S+/season/answer/\S+", text).group(0))
    expect(phone.get_by_role("heading", name="Agreed")).to_be_visible()
    expect(
        phone.get_by_text(f"{becomes:%A, %B} {becomes.day}, {words.clock(becomes)}")
    ).to_be_visible()
    picture(phone, "cold-snap-answer")
