"""The plan room: a plan is watched, stopped when good enough, compared, applied and undone."""

import re

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import DESKTOP, PASSWORD, PHONE, faults, picture, served, sign_in

pytestmark = [pytest.mark.slow, pytest.mark.xdist_group("browser")]
PATIENCE = 120_000


@pytest.fixture(scope="module")
def shop(tmp_path_factory):
    """The demo shop with its season, nothing planned yet."""
    with served(tmp_path_factory.mktemp("plan-room")) as shop:
        yield shop


@pytest.fixture(scope="module")
def room(browser, shop) -> Page:
    """The room after a plan was watched and stopped when it was good enough."""
    page = sign_in(browser, shop, "office", DESKTOP)
    page.get_by_role("link", name="Season", exact=True).click()
    page.get_by_role("link", name="All plans, and what if").click()
    picture(page, "plan-room-empty")
    page.get_by_label("Search for").select_option("60")
    page.get_by_role("button", name="Plan the season").click()
    expect(page.get_by_role("heading", name="Score over time")).to_be_visible(timeout=PATIENCE)
    picture(page, "plan-room-searching")
    page.get_by_role("button", name=re.compile("Good enough")).click()
    put = page.get_by_role("button", name="Put this plan into the season")
    expect(put).to_be_visible(timeout=PATIENCE)
    return page


def enter(page: Page, shop) -> None:
    page.goto(f"{shop.url}/season/")
    page.get_by_role("link", name="All plans, and what if").click()


def test_the_plan_is_compared_applied_and_undone(room, shop):
    enter(room, shop)
    room.get_by_role("button", name="Show side by side").click()
    expect(room.get_by_role("heading", name=re.compile("Two plans of"))).to_be_visible()
    assert room.locator(".picture--ribbon").count() == 2
    picture(room, "plan-room-compare")
    room.get_by_role("link", name="All plans of this season").click()
    room.get_by_role("button", name="Put this plan into the season").click()
    expect(room.get_by_text(re.compile(r"The plan is in the season: \d+ visits"))).to_be_visible()
    room.get_by_role("link", name="All plans, and what if").click()
    picture(room, "plan-room-applied")
    room.get_by_role("button", name="Undo").click()
    expect(room.get_by_text(re.compile(r"Undone: \d+ visits stand again"))).to_be_visible()


def test_a_what_if_is_shown_beside_the_season_as_it_is(room, shop):
    enter(room, shop)
    room.get_by_role("combobox", name="What if").select_option("saturdays")
    room.get_by_role("button", name="Try it").click()
    expect(room.get_by_role("heading", name="Side by side")).to_be_visible(timeout=PATIENCE)
    expect(room.get_by_role("columnheader", name="Work on Saturdays too")).to_be_visible()
    picture(room, "plan-room-what-if")
    assert faults(room) == []


@pytest.mark.parametrize("size", [DESKTOP, PHONE], ids=["desktop", "phone"])
def test_no_screen_of_it_has_faults_or_scrolls_sideways(browser, shop, room, size):
    page = sign_in(browser, shop, "office", size)
    page.goto(f"{shop.url}/season/")
    season = page.url
    why = f"{shop.url}/season/visit/1/why/"
    places = {"room": f"{season}plans/", "compare": f"{season}plans/compare/", "why": why}
    for name, address in places.items():
        page.goto(address)
        picture(page, f"plan-{name}-{size['width']}")
        assert faults(page) == []
        assert page.evaluate("document.documentElement.scrollWidth") <= size["width"], name
    page.context.close()


def test_it_works_without_javascript_by_loading_again(browser, shop, room):
    page = browser.new_context(java_script_enabled=False).new_page()
    page.goto(shop.url)
    page.get_by_label("Username").fill("office")
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name="Sign in").click()
    page.get_by_role("link", name="Season", exact=True).click()
    page.get_by_label("Search for").select_option("5")
    page.get_by_role("button", name="Plan the season").click()
    put = page.get_by_role("button", name="Put this plan into the season")
    for _ in range(200):
        if put.count():
            break
        page.get_by_role("link", name="Look again").click()
    expect(put).to_be_visible()
    page.context.close()
