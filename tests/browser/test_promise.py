"""From a pencilled slot to a promise: the letter caught, the link opened, moved and cancelled."""

import re
from email import message_from_bytes, policy
from email.message import EmailMessage

import pytest
from playwright.sync_api import expect

from tests.browser.conftest import DESKTOP, PHONE, YEAR, faults, picture, served, sign_in
from tests.letters.sink import Sink, mail_server
from tests.outside.calendar_readers import read_by_everyone
from tests.real.services import manage, wait_until

pytestmark = [pytest.mark.slow, pytest.mark.xdist_group("browser")]


@pytest.fixture(scope="module")
def mailbox():
    with mail_server() as sink:
        yield sink


@pytest.fixture(scope="module")
def shop(tmp_path_factory, mailbox):
    """The demo shop with an applied spring, writing to our mailbox at any hour."""
    folder = tmp_path_factory.mktemp("promise")
    with served(folder, EMAIL_URL=f"smtp://127.0.0.1:{mailbox.port}") as shop:
        manage("plan_season", "--seconds", "5", "--wait", "--apply", **shop.env)
        manage("shell", "-v", "0", "-c", AWAKE, **shop.env)
        yield shop


# Half an hour of quiet, six hours from now: the story may be told at any time of the day.
AWAKE = """
import datetime as dt
from django.utils import timezone
from letters.models import Sender
sender = Sender.objects.select_related("branch").get()
begins = timezone.localtime(timezone=sender.branch.zone) + dt.timedelta(hours=6)
ends = begins + dt.timedelta(minutes=30)
Sender.objects.update(quiet_from=begins.time(), quiet_until=ends.time())
"""


def wait_for(mailbox: Sink, subject: str) -> EmailMessage:
    """The newest letter whose subject matches, read by today's rules."""

    def found() -> list[EmailMessage]:
        mails = [message_from_bytes(m.as_bytes(), policy=policy.default) for m in mailbox.taken]
        return [mail for mail in mails if re.search(subject, mail["Subject"])]

    wait_until(lambda: bool(found()), f"a letter about {subject}", 60)
    return found()[-1]


def invitation(mail: EmailMessage) -> bytes:
    (part,) = [p for p in mail.walk() if p.get_content_type() == "text/calendar"]
    return part.get_payload(decode=True)


def link_in(mail: EmailMessage) -> str:
    text = mail.get_body(("plain",)).get_content()
    return re.search(r"http://\S+/season/answer/\S+", text).group(0)


def test_a_slot_is_offered_accepted_moved_and_cancelled(browser, shop, mailbox):
    office = sign_in(browser, shop, "office", DESKTOP)
    office.goto(f"{shop.url}/season/offers/?until={YEAR}-05-31")
    row = office.locator("tr", has_text="letter").first
    row.locator("input[name=visit]").check()
    office.get_by_role("button", name="Offer the ticked ones").click()
    expect(office.get_by_text("1 time offered by letter.")).to_be_visible()

    offer = wait_for(mailbox, r"\?$")
    phone = browser.new_context(viewport=PHONE).new_page()
    phone.goto(link_in(offer))
    picture(phone, "answer-offered")
    assert faults(phone) == []
    phone.get_by_role("button", name="Accept this time").click()
    expect(phone.get_by_role("heading", name="Agreed")).to_be_visible()

    confirmed = wait_for(mailbox, "^Agreed|agreed")
    first = read_by_everyone(invitation(confirmed))
    assert (first["method"], first["sequence"]) == ("REQUEST", 0)

    phone.get_by_role("link", name="Choose another time").click()
    picture(phone, "answer-times")
    phone.locator("button[name=slot]").first.click()
    picture(phone, "answer-kept")
    phone.get_by_role("button", name="Yes, come at this time").click()
    expect(phone.get_by_role("heading", name="Agreed")).to_be_visible()

    moved = read_by_everyone(invitation(wait_for(mailbox, "New time")))
    assert (moved["uid"], moved["sequence"]) == (first["uid"], 1)
    assert moved["start"] != first["start"]

    pk = re.search(r"visit-(\d+)", first["uid"]).group(1)
    office.goto(f"{shop.url}/season/visit/{pk}/")
    office.get_by_role("button", name="Take it out").click()
    cancelled = read_by_everyone(invitation(wait_for(mailbox, "Cancelled")))
    assert (cancelled["uid"], cancelled["method"], cancelled["sequence"]) == (
        first["uid"], "CANCEL", 2,
    )  # fmt: skip
    phone.reload()
    expect(phone.get_by_role("heading", name="No time agreed")).to_be_visible()
