"""The office sets up its letterhead, tries it out, and reads what will be sent."""

import re
from pathlib import Path

import pytest
from playwright.sync_api import expect

from tests.browser.conftest import DESKTOP, PHONE, faults, picture, sign_in

pytestmark = [pytest.mark.slow, pytest.mark.xdist_group("browser")]
ENTRY = {
    "Name of the sender": "Harrow & Finch",
    "E-mail of the sender": "office@example.com",
    "Postal address": "1 Mill Street, West Allis, WI 53214",
    "Phone": "(414) 555-0100",
}


def test_the_office_enters_a_letterhead_and_gets_a_sample(browser, new_shop):
    page = sign_in(browser, new_shop, "office", DESKTOP)
    page.get_by_role("link", name="Letters").click()
    page.get_by_role("link", name="Letterhead", exact=True).click()
    for label, value in ENTRY.items():
        page.get_by_label(re.compile(label)).fill(value)
    page.get_by_role("button", name="Save").click()
    page.get_by_role("button", name="Send me a sample").click()

    expect(page.get_by_text("A sample is on its way")).to_be_visible()
    files = (Path(new_shop.env["REDBUD_VAR"]) / "letters").iterdir()
    assert any("From: Harrow & Finch" in file.read_text() for file in files)


@pytest.mark.parametrize(("size", "name"), [(DESKTOP, "desktop"), (PHONE, "phone")])
def test_every_letters_screen_can_be_read_by_everybody(browser, new_shop, size, name):
    page = sign_in(browser, new_shop, "office", size)
    for screen in ("", "letterhead/", "addresses/"):
        page.goto(f"{new_shop.url}/letters/office/{screen}")
        picture(page, f"letters-{screen.strip('/') or 'outbox'}-{name}")
        assert faults(page) == []
        assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
