"""A technician's day of six stops on a phone: without signal in the middle, the tab killed, the
phone's clock an hour wrong; nothing is lost, nothing is doubled."""

import json
import re
from datetime import UTC, datetime, timedelta
from io import BytesIO

import pytest
from PIL import Image
from playwright.sync_api import Page, expect

from tests.browser.conftest import DESKTOP, PHONE, faults, picture, served, sign_in
from tests.real.services import manage

pytestmark = [pytest.mark.slow, pytest.mark.xdist_group("browser")]

# Nadia drives six homes today, Cole one; each has one R-410A system whose gauges can be judged.
SIX_STOPS = """
import datetime as dt
from django.utils import timezone
from customers.models import Nameplate, System
from kit.when import moment_at
from scheduling.actions.visits import promise_visit
from scheduling.models import Technician, Visit
nadia = Technician.objects.select_related("branch").get(name="Nadia Brandt")
now = timezone.now()
today = timezone.localdate(now, nadia.branch.zone)
kinds = ["air_conditioner", "heat_pump"]
open_ = Visit.objects.filter(state="owed", owed_visit__kind="cooling")
few = open_.filter(owed_visit__agreement__home__systems__kind__in=kinds).distinct().order_by("pk")
for number, visit in enumerate(few[:7]):
    driver = nadia if number < 6 else Technician.objects.get(name="Cole Wrennick")
    home = visit.owed_visit.home
    system = home.systems.filter(kind__in=kinds).first()
    visit.owed_visit.agreement.systems.set([system])
    refrigerant = "R-454B" if number == 5 else "R-410A"
    System.objects.filter(pk=system.pk).update(
        kind="air_conditioner", refrigerant=refrigerant, metering="fixed", tons=3)
    Nameplate.objects.create(system=system, capacitor_compressor_uf=40, capacitor_fan_uf=5)
    type(home).objects.filter(pk=home.pk).update(
        gate_code="4471#", dog="Bruno, friendly", access_notes="Side gate sticks: lift it.")
    start = moment_at(today, (8 + number) * 60, nadia.branch.zone)
    promise_visit(visit=visit, technician=driver, starts_at=start, minutes=50, now=now)
"""
FOUND = """
import json
from fieldwork.models import Entry, PhoneEvent, Record, RouteOrder, Stamp
from scheduling.models import Visit
events = PhoneEvent.objects.filter(technician__name="Nadia Brandt")
records = Record.objects.order_by("visit__trips__starts_at")
stamps = Stamp.objects.order_by("pk")
print(json.dumps({
    "outcomes": [r.outcome for r in records],
    "states": [r.visit.state for r in records],
    "tests": [next(iter(r.judgement.values()))["test"] for r in records],
    "entries": [r.entries.count() for r in records],
    "photos": sum(r.photos.count() for r in records),
    "signed": [r.signed_name for r in records if r.signature],
    "parts": [str(p) for r in records for p in r.parts.standing()],
    "removed": [f"{p}, {p.removed.by}" for r in records for p in r.parts.removed()],
    "orders": list(RouteOrder.objects.values_list("why", flat=True)),
    "recommended": [str(p) for r in records for p in r.recommendations.all()],
    "clock_ahead_min": [round((s.phone_at - s.made_at).total_seconds() / 60) for s in stamps],
    "late_min": max((s.received_at - s.made_at).total_seconds() / 60 for s in stamps),
    "states_of_events": sorted(set(events.values_list("state", flat=True))),
    "typed": dict(Entry.objects.filter(record=records[0]).values_list("field", "typed")),
}))
"""
WARM = {
    "outdoor_db_f": "90", "minutes_running": "20", "return_db_f": "76", "return_wb_f": "66",
    "supply_db_f": "58.5", "suction_psig": "118", "suction_line_f": "53", "liquid_psig": "365",
    "liquid_line_f": "100",
}  # fmt: skip
STARVED = WARM | {
    "suction_psig": "95", "suction_line_f": "70", "liquid_psig": "310", "liquid_line_f": "92",
    "supply_db_f": "64",
}  # fmt: skip


@pytest.fixture(scope="module")
def shop(tmp_path_factory):
    with served(tmp_path_factory.mktemp("technicians-day")) as shop:
        manage("shell", "-v", "0", "-c", SIX_STOPS, **shop.env)
        yield shop


def found(shop) -> dict:
    """What stands in the shop's database."""
    run = manage("shell", "-v", "0", "-c", FOUND, **shop.env)
    return json.loads(run.stdout.strip().splitlines()[-1])


def open_stop(page: Page, number: int) -> None:
    """The check list of a stop, counted from one; its part of the day stands open or is opened."""
    stop = page.locator("[data-stop]").nth(number - 1)
    if stop.locator("> details").get_attribute("open") is None:
        stop.locator("summary").first.click()
    stop.get_by_role("link", name="Open the check list").click()
    open_parts(page)


def open_parts(page: Page) -> None:
    page.wait_for_selector("#visit")
    closed = page.locator(".part:not([open]) > summary")
    while closed.count():
        closed.first.click()


def type_readings(page: Page, readings: dict[str, str]) -> None:
    for field, typed in readings.items():
        box = page.locator(f'[data-field="{field}"] input[inputmode]')
        box.fill(typed)
        box.blur()
        yes = page.locator(f'[data-field="{field}"]').get_by_role("button", name=re.compile("Yes"))
        mark = page.locator(f'[data-field="{field}"] [data-kept]')
        expect(yes.or_(mark.filter(has_text=re.compile("Kept|Sent"))).first).to_be_visible()
        if yes.is_visible():
            yes.click()


def choose(page: Page, field: str, word: str) -> None:
    page.locator(f'[data-field="{field}"]').get_by_role("radio", name=word, exact=True).check()


def photo() -> dict[str, object]:
    out = BytesIO()
    Image.effect_noise((2400, 1800), 60).convert("RGB").save(out, "JPEG")
    return {"name": "coil.jpg", "mimeType": "image/jpeg", "buffer": out.getvalue()}


def add_part(page: Page, words: str) -> None:
    page.get_by_label("Part", exact=True).fill(words)
    page.get_by_role("button", name="Add the part").click()
    expect(page.locator('[data-list="part"] li').filter(has_text=words)).to_be_visible()


def take_back(page: Page, words: str) -> None:
    """Two presses: the first one only asks."""
    line = page.locator('[data-list="part"] li').filter(has_text=words)
    line.get_by_role("button", name="Remove").click()
    line.get_by_role("button", name="Press again to remove").click()
    expect(line.get_by_role("button")).to_have_text(re.compile("^Removed"))


def sign(page: Page) -> None:
    page.get_by_label("Name of who signs").fill("Nora Whitfield")
    canvas = page.locator("canvas[data-signature]")
    canvas.scroll_into_view_if_needed()
    box = canvas.bounding_box()
    page.mouse.move(box["x"] + 40, box["y"] + 50)
    page.mouse.down()
    page.mouse.move(box["x"] + 200, box["y"] + 80, steps=8)
    page.mouse.up()
    page.get_by_role("button", name="Keep the signature").click()


def end(page: Page, button: str, why: str = "") -> None:
    if button != "Done":
        page.get_by_text("It cannot be finished").click()
        if why:
            page.get_by_label("Why (for the office)").fill(why)
    page.get_by_role("button", name=button, exact=True).click()
    page.wait_for_selector("[data-stops]")


def everything_sent(page: Page) -> None:
    expect(page.locator("#unsent")).to_have_text("Everything is sent", timeout=30_000)


def outcome(page: Page, number: int):
    return page.locator("[data-stop]").nth(number - 1).locator("[data-outcome]")


def stops_of(page: Page) -> list[str | None]:
    return [stop.get_attribute("data-stop") for stop in page.locator("[data-stop]").all()]


def kept_in_the_morning(page: Page) -> None:
    page.wait_for_selector("html[data-kept-pages='7']", timeout=30_000)


def wrong_clock(page: Page) -> Page:
    page.clock.install(time=datetime.now(tz=UTC) + timedelta(hours=1))
    return page


def test_a_whole_day_loses_and_doubles_nothing(browser, shop):
    page = sign_in(browser, shop, "nadia", PHONE)
    wrong_clock(page)
    page.goto(f"{shop.url}/my-day/")
    context = page.context
    kept_in_the_morning(page)
    expect(page.get_by_text("4471#").first).to_be_visible()
    picture(page, "my-day-phone")
    assert faults(page) == []

    # The second stop first, with a reason; without signal, and kept over a new start.
    context.set_offline(True)
    planned = stops_of(page)
    page.locator("[data-stop]").nth(1).get_by_role("button", name="earlier").click()
    page.get_by_label("Why another order?").fill("It is warm there sooner")
    picture(page, "my-day-order")
    page.get_by_role("button", name="Drive in this order").click()
    expect(page.locator("#unsent")).to_have_text("1 entry waits for signal")
    page.reload()
    expect(page.locator("#unsent")).to_have_text("1 entry waits for signal")
    assert stops_of(page) == [planned[1], planned[0], *planned[2:]]
    context.set_offline(False)
    everything_sent(page)
    page.reload()
    expect(page.get_by_text("your own order: It is warm there sooner")).to_be_visible()
    assert stops_of(page) == [planned[1], planned[0], *planned[2:]]

    # 1: all within limits, with a photo and a signature.
    page.get_by_role("button", name="On the way").first.click()
    page.get_by_role("button", name="There").first.click()
    open_stop(page, 1)
    type_readings(page, WARM)
    choose(page, "outdoor_coil", "Good")
    expect(page.locator("#verdicts")).to_contain_text("Cooling test satisfied")
    page.locator("[data-photos] input[type=file]").set_input_files(photo())
    sign(page)
    everything_sent(page)
    picture(page, "visit-phone")
    assert faults(page) == []
    end(page, "Done")
    expect(outcome(page, 1)).to_have_text("✓ Done")

    # 2: no signal; the tab is killed in the middle and opened again.
    open_stop(page, 2)
    type_readings(page, {"outdoor_db_f": "88"})
    everything_sent(page)
    context.set_offline(True)
    type_readings(page, {name: WARM[name] for name in ("minutes_running", "return_db_f")})
    expect(page.locator("#unsent")).to_have_text("2 entries wait for signal")
    expect(page.get_by_text("Verdict when there is signal.")).to_be_visible()
    page.locator('[data-field="return_wb_f"] input').press_sequentially("6")
    address = page.url
    page.close()
    page = wrong_clock(context.new_page())
    page.goto(address)
    open_parts(page)
    expect(page.locator('[data-field="return_db_f"] input')).to_have_value("76")
    expect(page.locator('[data-field="return_wb_f"] input')).to_have_value("6")
    expect(page.locator("#unsent")).to_have_text("2 entries wait for signal")
    picture(page, "visit-offline")
    rest = {name: typed for name, typed in WARM.items() if name not in (
        "outdoor_db_f", "minutes_running", "return_db_f",
    )}  # fmt: skip
    type_readings(page, rest)
    end(page, "Done")
    expect(outcome(page, 2)).to_have_text("✓ Done")

    # 3: still no signal; typos are caught, a photo waits, the charge is low.
    open_stop(page, 3)
    box = page.locator('[data-field="suction_psig"]')
    box.locator("input").fill("1180")
    box.locator("input").blur()
    expect(box.get_by_role("alert")).to_contain_text("cannot be")
    picture(page, "visit-typo")
    # What is typed over something that waits is not called sent when that is.
    outdoors = page.locator('[data-field="outdoor_db_f"]')
    for typed in ("88", "880"):
        outdoors.locator("input").fill(typed)
        outdoors.locator("input").blur()
    expect(outdoors.get_by_role("alert")).to_contain_text("cannot be")
    expect(outdoors).not_to_contain_text("Kept on this phone")
    page.reload()
    expect(outdoors).to_contain_text("typed before, not sent")
    open_parts(page)
    type_readings(page, STARVED)
    choose(page, "indoor_coil", "Must be put right")
    page.locator('[data-field="indoor_coil"] input[type=file]').set_input_files(photo())
    page.get_by_label("What should be done").fill("Find the leak before adding refrigerant")
    page.get_by_role("radio", name="Act", exact=True).check()
    page.get_by_role("button", name="Recommend it").click()
    add_part(page, "Contactor, 2 pole")
    add_part(page, "Capacitor 45/5")
    take_back(page, "Capacitor 45/5")
    picture(page, "visit-removed")
    expect(page.locator("#unsent")).to_have_text(re.compile(r"\d\d entries wait for signal"))
    context.set_offline(False)
    everything_sent(page)
    expect(page.locator("#verdicts")).to_contain_text("Act")
    page.locator("#verdicts").scroll_into_view_if_needed()
    picture(page, "visit-act")
    end(page, "Done")

    # 4: cleaned, but too cold: the test stays owed.
    open_stop(page, 4)
    type_readings(page, {"outdoor_db_f": "48"})
    choose(page, "outdoor_coil", "Good")
    end(page, "Too cold", "48 °F at ten")

    # 5: nobody home.
    open_stop(page, 5)
    end(page, "Nobody home")

    # 6: danger takes over the screen, also without a signal.
    open_stop(page, 6)
    context.set_offline(True)
    choose(page, "leak_sensor_alarm", "Yes")
    expect(page.get_by_role("dialog")).to_contain_text("Stop: refrigerant is leaking")
    picture(page, "danger-phone")
    assert faults(page) == []
    page.get_by_role("button", name="Everybody is safe").click()
    context.set_offline(False)
    expect(page.locator("[data-emergency]")).to_be_visible()  # the office knows it too
    expect(page.get_by_role("dialog")).to_have_count(0)  # what was read is not said again
    end(page, "Could not finish", "Refrigerant leak, unit off")
    everything_sent(page)
    picture(page, "my-day-evening")

    end_of_day = found(shop)
    assert end_of_day["outcomes"] == [
        "done", "done", "done", "too_cold", "nobody_home", "not_finished",
    ]  # fmt: skip
    assert end_of_day["states"][:5] == ["done", "done", "done", "held", "missed"]
    assert end_of_day["tests"][:5] == ["warm", "warm", "warm", "owed", "owed"]
    # The second home was driven first; at the third the outdoor air was typed once more.
    assert end_of_day["entries"] == [9, 10, 11, 2, 0, 1]
    assert end_of_day["typed"] == WARM | {"outdoor_db_f": "88"}
    assert (end_of_day["photos"], end_of_day["signed"]) == (2, ["Nora Whitfield"])
    assert end_of_day["parts"] == ["1 x Contactor, 2 pole"]
    assert end_of_day["removed"] == ["1 x Capacitor 45/5, nadia"]
    assert end_of_day["orders"] == ["It is warm there sooner"]
    assert end_of_day["recommended"] == ["Find the leak before adding refrigerant"]
    assert set(end_of_day["clock_ahead_min"]) == {60}
    assert end_of_day["states_of_events"] == ["applied"]

    # Signing out leaves nothing on the phone.
    page.locator(".menu > summary").click()
    page.get_by_role("button", name="Sign out").click()
    page.wait_for_url("**/sign-in/**")
    left = page.evaluate("caches.open('my-day-pages').then((c) => c.keys()).then((k) => k.length)")
    assert left == 0


OFFICE_TAKES_IT_OUT = """
from django.utils import timezone
from scheduling.actions.visits import unplace_visit
from scheduling.models import Visit
visit = Visit.objects.get(technician__name="Cole Wrennick", state="promised")
unplace_visit(visit=visit, now=timezone.now())
"""


def test_what_met_the_offices_change_is_said_on_the_phone_until_it_was_read(browser, shop):
    page = sign_in(browser, shop, "cole", PHONE)
    page.goto(f"{shop.url}/my-day/")
    expect(page.locator("[data-stop]")).to_have_count(1)
    manage("shell", "-v", "0", "-c", OFFICE_TAKES_IT_OUT, **shop.env)
    page.get_by_role("button", name="There").click()
    kept = page.locator("[data-needs]")
    expect(kept).to_contain_text("The office took this visit out of the day")
    picture(page, "my-day-kept")
    assert faults(page) == []
    kept.get_by_role("button", name="Understood").click()
    expect(page.locator("#unsent")).to_have_text("Everything is sent")
    page.reload()
    expect(page.get_by_text("Kept for the office to decide")).to_be_visible()
    page.context.close()

    office = sign_in(browser, shop, "office", PHONE)
    office.get_by_role("link", name="Decide").click()
    office.wait_for_url("**/office/conflicts/")
    expect(office.get_by_text("Button “There”").first).to_be_visible()
    picture(office, "conflicts-390-waiting")
    assert faults(office) == []
    assert office.evaluate("document.documentElement.scrollWidth") <= PHONE["width"]
    office.get_by_role("button", name="Leave aside").click()
    expect(office.get_by_text("Nothing to decide")).to_be_visible()
    office.context.close()


@pytest.mark.parametrize("size", [DESKTOP, PHONE], ids=["desktop", "phone"])
@pytest.mark.parametrize(
    ("person", "path"),
    [
        ("cole", "/my-day/"), ("office", "/my-day/office/conflicts/"),
        ("office", "/my-day/office/check-lists/"), ("office", "/my-day/office/check-lists/both/"),
        ("office", "/my-day/follow-up/"),
    ],
)  # fmt: skip
def test_the_screen_has_no_faults_and_does_not_scroll_sideways(browser, shop, person, path, size):
    page = sign_in(browser, shop, person, size)
    page.goto(shop.url + path)
    picture(page, f"{path.strip('/').replace('/', '-')}-{size['width']}")
    assert faults(page) == []
    assert page.evaluate("document.documentElement.scrollWidth") <= size["width"]
    page.context.close()
