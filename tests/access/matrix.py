"""Who may open which address: every address of Redbud has exactly one row here.

A new address without a row fails tests/access/test_matrix.py.
"""

from __future__ import annotations

from collections.abc import Callable
from enum import Enum
from typing import Any

from tests.access.world import World


class Who(Enum):
    ANYONE = "without signing in"
    LINK = "whoever holds the customer's link"
    STAFF = "everyone of the staff"
    OFFICE = "office and owner"
    OWNER = "the owner"
    OWN_DAY = "office and owner; a technician sees her own"


Arguments = Callable[[World], dict[str, Any]]


def nothing(_: World) -> dict[str, Any]:
    return {}


def pk(name: str, argument: str = "pk", **more: Any) -> Arguments:
    """The key of one of the world's rows."""
    return lambda world: {argument: getattr(world, name).pk, **more}


def password_parts(world: World) -> dict[str, Any]:
    uid, token = world.password_parts
    return {"uidb64": uid, "token": token}


def home_link(**more: Any) -> Arguments:
    return lambda world: {"token": world.home_token, **more}


def visit_link(world: World) -> dict[str, Any]:
    return {"token": world.visit_token}


def stop_link(world: World) -> dict[str, Any]:
    return {"token": world.stop_token}


def feed_token(world: World) -> dict[str, Any]:
    return {"token": world.feed_token}


def days_on(world: World) -> dict[str, Any]:
    return {"pk": world.technician.pk, "absence": world.absence.pk}


def home_filter(world: World) -> dict[str, Any]:
    return {"token": world.home_token, "pk": world.filter.pk}


MATRIX: dict[str, tuple[Who, Arguments]] = {
    # The door.
    "front:sign-in": (Who.ANYONE, nothing),
    "front:sign-out": (Who.ANYONE, nothing),
    "front:health": (Who.ANYONE, nothing),
    "front:ready": (Who.ANYONE, nothing),
    "front:choose-password": (Who.ANYONE, password_parts),
    "front:second-step": (Who.STAFF, nothing),
    "front:set-up-second-step": (Who.STAFF, nothing),
    "front:account": (Who.STAFF, nothing),
    "front:end-session": (Who.STAFF, lambda _: {"number": 0}),
    "front:today": (Who.STAFF, nothing),
    "front:search": (Who.STAFF, nothing),
    "front:branches": (Who.OWNER, nothing),
    "front:staff": (Who.OWNER, nothing),
    "front:invite": (Who.OWNER, nothing),
    "front:staff-change": (Who.OWNER, lambda w: {"pk": w.technician.user.pk, "what": "let"}),
    "shop:branch": (Who.OFFICE, nothing),
    # Homes.
    "customers:list": (Who.OFFICE, nothing),
    "customers:home-new": (Who.OFFICE, nothing),
    "customers:home": (Who.OFFICE, pk("home")),
    "customers:home-edit": (Who.OFFICE, pk("home")),
    "customers:customer-edit": (Who.OFFICE, lambda w: {"pk": w.home.customer.pk}),
    "customers:system-new": (Who.OFFICE, pk("home", "home_pk")),
    "customers:system-edit": (Who.OFFICE, pk("system")),
    "customers:filter-new": (Who.OFFICE, pk("system", "system_pk")),
    "customers:filter-edit": (Who.OFFICE, pk("filter")),
    # Agreements.
    "agreements:list": (Who.OFFICE, nothing),
    "agreements:new": (Who.OFFICE, pk("home", "home_pk")),
    "agreements:renew": (Who.OFFICE, pk("agreement")),
    "agreements:import": (Who.OFFICE, nothing),
    "agreements:import-columns": (Who.OFFICE, pk("sheet")),
    "agreements:import-check": (Who.OFFICE, pk("sheet")),
    "agreements:import-decide": (Who.OFFICE, pk("sheet")),
    "agreements:import-bring-in": (Who.OFFICE, pk("sheet")),
    "agreements:import-refused": (Who.OFFICE, pk("sheet")),
    # Letters.
    "letters:outbox": (Who.OFFICE, nothing),
    "letters:pause": (Who.OFFICE, nothing),
    "letters:letter": (Who.OFFICE, pk("letter")),
    "letters:letter-html": (Who.OFFICE, pk("letter")),
    "letters:letter-act": (Who.OFFICE, pk("letter", act="aside")),
    "letters:bad-addresses": (Who.OFFICE, nothing),
    "letters:bad-address-act": (Who.OFFICE, pk("bad_address", act="seen")),
    "letters:letterhead": (Who.OFFICE, nothing),
    "letters:test-letter": (Who.OFFICE, nothing),
    "letters:samples": (Who.OFFICE, nothing),
    "letters:sample-html": (Who.OFFICE, lambda _: {"kind": "filter", "language": "en"}),
    "letters:stop": (Who.LINK, stop_link),
    "letters:one-click": (Who.LINK, stop_link),
    # The season.
    "scheduling:newest": (Who.OFFICE, nothing),
    "scheduling:new": (Who.OFFICE, nothing),
    "scheduling:season": (Who.OFFICE, pk("season")),
    "scheduling:plan": (Who.OFFICE, pk("season")),
    "scheduling:gather": (Who.OFFICE, pk("season")),
    "scheduling:run": (Who.OFFICE, pk("run")),
    "scheduling:run-cancel": (Who.OFFICE, pk("run")),
    "scheduling:run-apply": (Who.OFFICE, pk("run")),
    "scheduling:run-discard": (Who.OFFICE, pk("run")),
    "scheduling:today": (Who.OWN_DAY, nothing),
    "scheduling:day": (Who.OWN_DAY, lambda w: {"day": w.season.starts_on}),
    "scheduling:offers": (Who.OFFICE, nothing),
    "scheduling:offers-make": (Who.OFFICE, nothing),
    "scheduling:short-notice": (Who.OFFICE, nothing),
    "scheduling:fill": (Who.OFFICE, pk("visit")),
    "scheduling:calls": (Who.OFFICE, nothing),
    "scheduling:call": (Who.OFFICE, pk("offer")),
    "scheduling:technicians": (Who.OFFICE, nothing),
    "scheduling:technician-new": (Who.OFFICE, nothing),
    "scheduling:technician": (Who.OFFICE, pk("technician")),
    "scheduling:renew-feed": (Who.OFFICE, pk("technician")),
    "scheduling:days-off": (Who.OFFICE, pk("technician")),
    "scheduling:days-on": (Who.OFFICE, days_on),
    "scheduling:visit": (Who.OFFICE, pk("visit")),
    "scheduling:visit-place": (Who.OFFICE, pk("visit")),
    "scheduling:visit-hold": (Who.OFFICE, pk("visit")),
    "scheduling:visit-waive": (Who.OFFICE, pk("visit")),
    "scheduling:visit-unplace": (Who.OFFICE, pk("visit")),
    "scheduling:answer": (Who.LINK, visit_link),
    "scheduling:answer-accept": (Who.LINK, visit_link),
    "scheduling:answer-keep": (Who.LINK, visit_link),
    "scheduling:answer-confirm": (Who.LINK, visit_link),
    "scheduling:answer-call": (Who.LINK, visit_link),
    "scheduling:answer-short-notice": (Who.LINK, visit_link),
    "scheduling:feed": (Who.LINK, feed_token),
    # Reminders and the home's own page.
    "reminders:coming": (Who.OFFICE, nothing),
    "reminders:no-starts": (Who.OFFICE, nothing),
    "reminders:no-start-seen": (Who.OFFICE, pk("no_start")),
    "reminders:told": (Who.OFFICE, pk("home")),
    "reminders:home": (Who.LINK, home_link()),
    "reminders:filter-changed": (Who.LINK, home_filter),
    "reminders:cover": (Who.LINK, home_link()),
    "reminders:no-start": (Who.LINK, home_link()),
    "reminders:no-start-check": (Who.LINK, home_link()),
    "reminders:no-start-ended": (Who.LINK, home_link(outcome="call")),
    # The weather.
    "weather:backtest": (Who.OFFICE, nothing),
    "weather:backtest-run": (Who.OFFICE, pk("backtest")),
    "weather:backtest-stop": (Who.OFFICE, pk("backtest")),
    # For whoever changes Redbud.
    "kit:parts": (Who.STAFF, nothing),
}
