"""From a spreadsheet to an applied season: by mouse, and the whole way again by keyboard."""

import re

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import DESKTOP, ROOT, picture, sign_in

pytestmark = [pytest.mark.slow, pytest.mark.xdist_group("browser")]
SPREADSHEET = ROOT / "fixtures" / "spreadsheet" / "homes.csv"
A_MINUTE = 60_000


def test_the_office_goes_from_the_file_to_an_applied_season_by_mouse(browser, new_shop):
    page = sign_in(browser, new_shop, "office", DESKTOP)
    import_by_mouse(page)
    page.get_by_role("link", name="Season").click()
    page.get_by_role("link", name="Open a season").click()
    page.get_by_label(re.compile("Name")).fill("Spring 2027")
    page.get_by_label(re.compile("First day")).fill("2027-04-05")
    page.get_by_label(re.compile("Last day")).fill("2027-06-26")
    page.get_by_role("button", name="Open the season").click()
    expect(page.get_by_role("heading", name="Spring 2027")).to_be_visible()
    page.get_by_label(re.compile("Search for")).select_option("5")
    page.get_by_role("button", name="Plan the season").click()
    put = page.get_by_role("button", name="Put this plan into the season")
    expect(put).to_be_visible(timeout=2 * A_MINUTE)
    picture(page, "run-ready")
    put.click()
    expect(page.get_by_text(re.compile(r"The plan is in the season: \d+ visits"))).to_be_visible()
    picture(page, "season-applied")


def import_by_mouse(page: Page) -> None:
    page.get_by_role("link", name="Import").click()
    page.get_by_label(re.compile("file", re.IGNORECASE)).set_input_files(SPREADSHEET)
    page.get_by_role("button", name=re.compile("Upload|Read")).click()
    page.get_by_role("button", name=re.compile("Check|Look|Try")).click()
    page.get_by_role("button", name=re.compile("Import|Commit|Bring")).click(timeout=A_MINUTE)
