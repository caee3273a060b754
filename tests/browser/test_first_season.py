"""From a spreadsheet to an applied season: by mouse, and planned once more by keyboard."""

import re

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import (
    DESKTOP,
    LATE_MAY,
    PHONE,
    ROOT,
    YEAR,
    faults,
    picture,
    sign_in,
)  # fmt: skip

pytestmark = [pytest.mark.slow, pytest.mark.xdist_group("browser")]
SPREADSHEET = ROOT / "fixtures" / "spreadsheet" / "homes.csv"
TWO_MINUTES = 120_000


@pytest.fixture(scope="module")
def planned_shop(browser, new_shop):
    """The shop after the office went from the file to an applied season by mouse."""
    page = sign_in(browser, new_shop, "office", DESKTOP)
    bring_in_by_mouse(page)
    open_season_by_mouse(page)
    plan_by_mouse(page)
    page.context.close()
    return new_shop


def bring_in_by_mouse(page: Page) -> None:
    page.get_by_role("link", name="Import").click()
    page.get_by_label(re.compile("Spreadsheet")).set_input_files(SPREADSHEET)
    picture(page, "import-start")
    page.get_by_role("button", name="Read it").click()
    picture(page, "import-columns")
    page.get_by_role("button", name="See what each row would do").click()
    expect(page.get_by_role("heading", name="Check the rows")).to_be_visible()
    picture(page, "import-check")
    page.get_by_role("button", name=re.compile("Bring in")).click()
    page.wait_for_load_state()


def open_season_by_mouse(page: Page) -> None:
    page.get_by_role("link", name="Season", exact=True).click()
    page.get_by_role("link", name="Open a season").click()
    page.get_by_label(re.compile("Name")).fill(f"Spring {YEAR}")
    page.get_by_label(re.compile("First day")).fill(f"{YEAR}-04-05")
    page.get_by_label(re.compile("Last day")).fill(f"{YEAR}-06-19")
    page.get_by_role("button", name="Open the season").click()
    expect(page.get_by_role("heading", name=f"Spring {YEAR}")).to_be_visible()


def plan_by_mouse(page: Page) -> None:
    page.get_by_label("Search for").select_option("5")
    page.get_by_role("button", name="Plan the season").click()
    put = page.get_by_role("button", name="Put this plan into the season")
    expect(put).to_be_visible(timeout=TWO_MINUTES)
    picture(page, "run-ready")
    put.click()
    expect(page.get_by_text(re.compile(r"The plan is in the season: \d+ visits"))).to_be_visible()


def press_until(page: Page, name: str) -> None:
    """Go on with Tab until the thing of this name has the focus."""
    for _ in range(80):
        page.keyboard.press("Tab")
        label = page.evaluate(
            "(document.activeElement.innerText || document.activeElement.value || '').trim()"
        )
        if label == name:
            return
    raise AssertionError(f"Tab never reached {name}")


def test_the_season_stands_under_its_weather(browser, planned_shop):
    page = sign_in(browser, planned_shop, "office", DESKTOP)
    page.get_by_role("link", name="Season", exact=True).click()
    placed = page.locator("dl.figure", has_text="placed").first
    expect(placed).to_contain_text(re.compile(r"\d{3}"))
    picture(page, "season")
    assert faults(page) == []


def test_the_season_is_planned_again_by_keyboard_alone(browser, planned_shop):
    page = sign_in(browser, planned_shop, "office", DESKTOP)
    press_until(page, "Season")
    page.keyboard.press("Enter")
    page.wait_for_url("**/season/*/")
    press_until(page, "Plan the season")
    page.keyboard.press("Enter")
    put = page.get_by_role("button", name="Put this plan into the season")
    expect(put).to_be_visible(timeout=TWO_MINUTES)
    press_until(page, "Put this plan into the season")
    page.keyboard.press("Enter")
    expect(page.get_by_text(re.compile("The plan is in the season"))).to_be_visible()


def test_a_technician_sees_her_own_day_on_the_phone(browser, planned_shop):
    page = sign_in(browser, planned_shop, "nadia", PHONE)
    page.goto(f"{planned_shop.url}/season/day/{LATE_MAY}/")
    expect(page.get_by_role("heading", name="Nadia Brandt")).to_be_visible()
    assert page.get_by_role("heading", name="Cole Wrennick").count() == 0
    picture(page, "day-phone")
    assert faults(page) == []


@pytest.mark.parametrize("size", [DESKTOP, PHONE], ids=["desktop", "phone"])
@pytest.mark.parametrize(
    "path",
    [
        "/", "/season/", f"/season/day/{LATE_MAY}/", "/season/new/", "/season/technicians/",
        f"/season/offers/?until={YEAR}-06-01", "/season/offers/calls/", "/homes/", "/homes/1/",
        "/agreements/", "/agreements/import/", "/branch/",
    ],
)  # fmt: skip
def test_the_screen_has_no_faults_and_does_not_scroll_sideways(browser, planned_shop, path, size):
    page = sign_in(browser, planned_shop, "office", size)
    page.goto(planned_shop.url + path)
    name = path.strip("/").replace("/", "-").partition("?")[0] or "today"
    picture(page, f"{name}-{size['width']}")
    assert faults(page) == []
    assert page.evaluate("document.documentElement.scrollWidth") <= size["width"]
    page.context.close()


@pytest.mark.parametrize("width", [320, 600, 769, 900, 1024, 1185])
def test_nothing_is_cut_off_at_widths_between_a_telephone_and_a_desk(browser, planned_shop, width):
    page = sign_in(browser, planned_shop, "owner", {"width": width, "height": 900})
    for path in ("/", "/agreements/"):
        page.goto(planned_shop.url + path)
        assert page.evaluate("document.documentElement.scrollWidth") <= width
    page.context.close()
