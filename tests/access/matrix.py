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
    KEY = "a program with a key of the interface"
    LINK = "whoever holds the customer's link"
    STAFF = "everyone of the staff"
    OFFICE = "office and owner"
    OWNER = "the owner"
    OWN_DAY = "office and owner; a technician sees her own"
    TECHNICIAN = "the technician whose day it is"
    OWN_RECORD = "office and owner; a technician what she recorded"


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


def agreement_link(world: World) -> dict[str, Any]:
    return {"token": world.agreement_token}


def stop_link(world: World) -> dict[str, Any]:
    return {"token": world.stop_token}


def feed_token(world: World) -> dict[str, Any]:
    return {"token": world.feed_token}


def days_on(world: World) -> dict[str, Any]:
    return {"pk": world.technician.pk, "absence": world.absence.pk}


def home_filter(world: World) -> dict[str, Any]:
    return {"token": world.home_token, "pk": world.filter.pk}


def report_link(world: World) -> dict[str, Any]:
    return {"token": world.report_token}


def books_list(**more: str) -> Arguments:
    return lambda world: {"pk": world.season.pk, "name": "owed", **more}


def own_visit(world: World) -> dict[str, Any]:
    visit = world.offer.visit
    return {"pk": visit.pk, "day": visit.slot[0].date()}


MATRIX: dict[str, tuple[Who, Arguments]] = {
    # The door.
    "front:sign-in": (Who.ANYONE, nothing),
    "front:sign-out": (Who.ANYONE, nothing),
    "front:admin-sign-in": (Who.ANYONE, nothing),
    "front:health": (Who.ANYONE, nothing),
    "front:ready": (Who.ANYONE, nothing),
    "front:metrics": (Who.ANYONE, nothing),  # tests/front/test_metrics.py: this machine alone
    "front:choose-password": (Who.ANYONE, password_parts),
    "front:second-step": (Who.STAFF, nothing),
    "front:set-up-second-step": (Who.STAFF, nothing),
    "front:history": (Who.OFFICE, pk("home")),
    "front:personal": (Who.OWNER, lambda w: {"pk": w.home.customer.pk}),
    "front:personal-copy": (Who.OWNER, lambda w: {"pk": w.home.customer.pk}),
    "front:personal-take-out": (Who.OWNER, lambda w: {"pk": w.home.customer.pk}),
    "front:account": (Who.STAFF, nothing),
    "front:change-password": (Who.STAFF, nothing),
    "front:end-session": (Who.STAFF, lambda _: {"number": 0}),
    "front:today": (Who.STAFF, nothing),
    "front:search": (Who.STAFF, nothing),
    "front:branches": (Who.OWNER, nothing),
    "front:staff": (Who.OWNER, nothing),
    "front:invite": (Who.OWNER, nothing),
    "front:staff-change": (Who.OWNER, lambda w: {"pk": w.technician.user.pk, "what": "let"}),
    "shop:branch": (Who.OFFICE, nothing),
    "front:files": (Who.OFFICE, nothing),
    "front:company": (Who.OWNER, nothing),
    "front:keys": (Who.OWNER, nothing),
    "front:key-revoke": (Who.OWNER, pk("interface_key")),
    "front:openapi": (Who.ANYONE, nothing),
    "front:interface-rows": (Who.KEY, lambda _: {"name": "homes"}),
    "front:interface-one": (Who.KEY, lambda w: {"name": "homes", "pk": w.home.pk}),
    "front:interface-revenue": (Who.KEY, nothing),
    "front:list-file": (Who.OFFICE, lambda _: {"name": "homes", "ending": "csv"}),
    # Homes.
    "customers:list": (Who.OFFICE, nothing),
    "customers:looks": (Who.OWNER, nothing),
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
    "agreements:enrol": (Who.OFFICE, nothing),
    "agreements:enrol-price": (Who.OFFICE, nothing),
    "agreements:plans": (Who.OFFICE, nothing),
    "agreements:plan-new": (Who.OFFICE, nothing),
    "agreements:plan-terms": (Who.OFFICE, lambda w: {"pk": w.agreement.plan_id}),
    "agreements:plan-name": (Who.OFFICE, lambda w: {"pk": w.agreement.plan_id}),
    "agreements:due": (Who.OFFICE, nothing),
    "agreements:revenue": (Who.OFFICE, nothing),
    "agreements:bookkeeping": (Who.OFFICE, nothing),
    "agreements:lapse": (Who.OFFICE, nothing),
    "agreements:agreement": (Who.OFFICE, pk("agreement")),
    "agreements:pdf": (Who.OFFICE, pk("agreement")),
    "agreements:send": (Who.OFFICE, pk("agreement")),
    "agreements:complaint": (Who.OFFICE, pk("agreement")),
    "agreements:decline": (Who.OFFICE, pk("agreement")),
    "agreements:change-plan": (Who.OFFICE, pk("agreement")),
    "agreements:cancel": (Who.OFFICE, pk("agreement")),
    "agreements:pause": (Who.OFFICE, pk("agreement")),
    "agreements:resume": (Who.OFFICE, pk("agreement")),
    "agreements:transfer": (Who.OFFICE, pk("agreement")),
    "agreements:payment": (Who.OFFICE, pk("agreement")),
    "agreements:refund": (Who.OFFICE, pk("agreement")),
    "agreements:reverse": (Who.OFFICE, pk("payment")),
    "agreements:yours": (Who.LINK, agreement_link),
    "agreements:yours-sign": (Who.LINK, agreement_link),
    "agreements:yours-yes": (Who.LINK, agreement_link),
    "agreements:yours-no": (Who.LINK, agreement_link),
    "agreements:yours-pdf": (Who.LINK, agreement_link),
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
    "scheduling:run-finish": (Who.OFFICE, pk("run")),
    "scheduling:run-undo": (Who.OFFICE, pk("run")),
    "scheduling:branches": (Who.OWNER, nothing),
    "scheduling:branches-plan": (Who.OWNER, nothing),
    "scheduling:branches-cancel": (Who.OWNER, nothing),
    "scheduling:plans": (Who.OFFICE, pk("season")),
    "scheduling:compare": (Who.OFFICE, pk("season")),
    "scheduling:what-if": (Who.OFFICE, pk("season")),
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
    "scheduling:watch": (Who.OFFICE, nothing),
    "scheduling:watch-look": (Who.OFFICE, nothing),
    "scheduling:watch-agree-all": (Who.OFFICE, nothing),
    "scheduling:watch-agree": (Who.OFFICE, pk("step")),
    "scheduling:watch-refuse": (Who.OFFICE, pk("step")),
    "scheduling:technicians": (Who.OFFICE, nothing),
    "scheduling:technician-new": (Who.OFFICE, nothing),
    "scheduling:technician": (Who.OFFICE, pk("technician")),
    "scheduling:renew-feed": (Who.OFFICE, pk("technician")),
    "scheduling:days-off": (Who.OFFICE, pk("technician")),
    "scheduling:days-on": (Who.OFFICE, days_on),
    "scheduling:visit": (Who.OFFICE, pk("visit")),
    "scheduling:visit-why": (Who.OFFICE, pk("visit")),
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
    "weather:almanac": (Who.OFFICE, nothing),
    "weather:backtest": (Who.OFFICE, nothing),
    "weather:backtest-run": (Who.OFFICE, pk("backtest")),
    "weather:backtest-stop": (Who.OFFICE, pk("backtest")),
    # The technician's day.
    "fieldwork:my-day": (Who.TECHNICIAN, nothing),
    "fieldwork:other-day": (Who.TECHNICIAN, lambda w: {"day": w.season.starts_on}),
    "fieldwork:visit": (Who.TECHNICIAN, own_visit),
    "fieldwork:verdicts": (Who.TECHNICIAN, own_visit),
    "fieldwork:stamp": (Who.TECHNICIAN, own_visit),
    "fieldwork:events": (Who.TECHNICIAN, nothing),
    "fieldwork:pictures": (Who.TECHNICIAN, nothing),
    "fieldwork:worker": (Who.ANYONE, nothing),
    "fieldwork:manifest": (Who.ANYONE, nothing),
    "fieldwork:offline": (Who.ANYONE, nothing),
    "fieldwork:photo": (Who.OWN_RECORD, pk("photo")),
    "fieldwork:signature": (Who.OWN_RECORD, pk("record")),
    "fieldwork:sheet": (Who.OWN_DAY, lambda w: {"day": w.season.starts_on}),
    "fieldwork:sheet-pdf": (Who.OWN_DAY, lambda w: {"day": w.season.starts_on}),
    "fieldwork:home-work": (Who.STAFF, pk("home")),
    "fieldwork:follow-up": (Who.OFFICE, nothing),
    "fieldwork:settle-follow-up": (Who.OFFICE, pk("recommendation")),
    "fieldwork:report": (Who.OWN_RECORD, pk("finished_record")),
    "fieldwork:report-pdf": (Who.OWN_RECORD, pk("finished_record")),
    "fieldwork:report-send": (Who.OFFICE, pk("finished_record")),
    "fieldwork:report-end-link": (Who.OFFICE, pk("finished_record")),
    "fieldwork:customer-report": (Who.LINK, report_link),
    "fieldwork:customer-report-pdf": (Who.LINK, report_link),
    "fieldwork:conflicts": (Who.OFFICE, nothing),
    "fieldwork:settle": (Who.OFFICE, pk("kept_event", act="leave")),
    "fieldwork:check-lists": (Who.OFFICE, nothing),
    "fieldwork:check-list": (Who.OFFICE, lambda _: {"kind": "cooling"}),
    # For whoever changes Redbud.
    "kit:parts": (Who.STAFF, nothing),
    # Books.
    "books:newest": (Who.OFFICE, nothing),
    "books:season": (Who.OFFICE, pk("season")),
    "books:season-pdf": (Who.OFFICE, pk("season")),
    "books:list": (Who.OFFICE, books_list()),
    "books:list-file": (Who.OFFICE, books_list(ending="csv")),
    "books:capacity": (Who.OFFICE, pk("season")),
    "books:capacity-ask": (Who.OFFICE, pk("season")),
    "books:capacity-run": (Who.OFFICE, pk("capacity_run")),
    "books:capacity-stop": (Who.OFFICE, pk("capacity_run")),
    "books:driving": (Who.OFFICE, pk("season")),
    "books:driving-plan-at": (Who.OFFICE, pk("season")),
    "books:worth": (Who.OWNER, pk("season")),
    "books:worth-file": (Who.OWNER, books_list(name="plan", ending="csv")),
    "books:costs": (Who.OWNER, nothing),
}
