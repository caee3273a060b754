"""Send made-up requests at a shop with one of everything, and note whatever must not happen.

Each request stands in a transaction that is taken back, so that each meets the same shop.
"""

from __future__ import annotations

import re
import traceback
from collections import Counter
from dataclasses import dataclass, field
from http.cookies import SimpleCookie
from io import BytesIO
from typing import Any
from urllib.parse import quote, urlencode

from django.core.cache import cache
from django.db import transaction
from django.http import HttpResponse
from django.test import Client
from django.urls import reverse
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests import cast
from tests.access.matrix import MATRIX, Who
from tests.access.test_matrix import ALLOWED
from tests.access.world import World
from tests.fieldwork import day_of_checks as story
from tests.fuzz.inputs import Sent, requests
from tests.kit.web.forms_sent import FormsOfPage

SECRETS = ("Whitfield", "Alder Court", "nora@example.com")
"""Of Cedarburg: nobody of Sheboygan may read these."""
LINKS = ("home_token", "visit_token", "agreement_token", "stop_token", "feed_token", "report_token")


class OneWorld(World):
    """Each of its rows is made once, however many addresses name it."""

    def __getattribute__(self, name: str) -> Any:
        made = object.__getattribute__(self, "__dict__")
        if name not in made and isinstance(getattr(World, name, None), property):
            made[f"_{name}"] = made.get(f"_{name}") or super().__getattribute__(name)
            return made[f"_{name}"]
        return super().__getattribute__(name)


@dataclass
class Found:
    """What came of it: how many requests, which answers, and each fault once with its request."""

    tried: int = 0
    statuses: Counter[int] = field(default_factory=Counter)
    faults: dict[str, str] = field(default_factory=dict)

    def note(self, fault: str, sent: Sent) -> None:
        self.faults.setdefault(fault, f"{fault}\n  by {sent}")


class Shop:
    """The world, who is signed in, every address, and what the forms on its pages hold."""

    def __init__(self) -> None:
        world = OneWorld()
        self.handler = Client().handler
        self.addresses = {name: reverse(name, kwargs=MATRIX[name][1](world)) for name in MATRIX}
        people = {
            "a technician": cast.ingrid().user, "the office": cast.odile(),
            "the owner": cast.walter(), "a stranger": cast.priya(),
        }  # fmt: skip
        self.sessions = {name: cast.signed_in(user).cookies for name, user in people.items()}
        self.sessions["nobody"] = SimpleCookie()
        self.allowed = {
            name: sorted(ALLOWED.get(who, {"nobody"})) for name, (who, _) in MATRIX.items()
        }
        self.posted = {name for name in MATRIX if self._takes_only_posts(name)}
        self.forms: dict[str, dict[str, list[str]]] = {}
        for name in MATRIX:
            self._read_forms(name)
        visit = world.visit
        self.events = [
            story.entry(visit, "outdoor_db_f", "74"), story.stamp(visit, "there"),
            story.event("part", visit, words="capacitor", quantity=1, system=1),
            story.event("recommendation", visit, words="contactor", urgency="watch"),
            story.event("signed", visit, name="Nora", present=True),
            story.event("order", None, visits=[visit.pk], why="nearer"),
            story.event("removal", visit, of="0" * 32, words="wrong"),
            story.event("certificate", visit, number="608"),
        ]  # fmt: skip

    def _takes_only_posts(self, name: str) -> bool:
        with transaction.atomic():
            answer = self.browser(self.allowed[name][0]).get(self.addresses[name])
            transaction.set_rollback(True)
        return answer.status_code == 405

    def _read_forms(self, name: str) -> None:
        """Remember under each address what a browser would send there."""
        role = "a technician" if MATRIX[name][0] is Who.TECHNICIAN else "the owner"
        with transaction.atomic():
            page = self.browser(role).get(self.addresses[name])
            transaction.set_rollback(True)
        if page.status_code != 200 or "html" not in page.get("Content-Type", ""):
            return
        reader = FormsOfPage()
        reader.feed(page.text)
        here = {self.addresses[name]: name}
        here |= {address: other for other, address in self.addresses.items()}
        for form, action in zip(reader.forms, reader.actions, strict=True):
            target = here.get(action or self.addresses[name])
            if target and len(form) > len(self.forms.get(target, {})):
                self.forms[target] = form
                self.posted.add(target)

    def browser(self, who: str) -> Client:
        browser = Client()
        browser.handler = self.handler  # its middleware reads every static file once
        browser.cookies = SimpleCookie(
            {name: cookie.value for name, cookie in self.sessions[who].items()}
        )
        return browser

    def fields_of(self, name: str) -> list[str]:
        return sorted(self.forms.get(name, ()))


def try_all(count: int) -> Found:
    """Send so many requests."""
    with transaction.atomic():
        shop, found = Shop(), Found()
        names = sorted(set(MATRIX) - {"kit:parts"})
        # The ones that print take half a second; one in four of their turns is enough.
        weighed = [name for name in names for _ in range(1 if "pdf" in name else 4)]

        @settings(
            max_examples=count, database=None, deadline=None,
            suppress_health_check=list(HealthCheck),
        )  # fmt: skip
        @given(st.lists(
            requests(weighed, sorted(shop.sessions), shop, shop.events),
            min_size=1, max_size=1,
        ))  # fmt: skip
        def send_it(sent: list[Sent]) -> None:
            _try(shop, sent[0], found)

        send_it()
        transaction.set_rollback(True)
    return found


def _try(shop: Shop, sent: Sent, found: Found) -> None:
    found.tried += 1
    try:
        with transaction.atomic():
            cache.clear()
            answer = _sent(shop, sent)
            text = _text_of(answer)
            transaction.set_rollback(True)
    except Exception as trouble:
        last = traceback.extract_tb(trouble.__traceback__)[-1]
        ours = [
            frame for frame in traceback.extract_tb(trouble.__traceback__)
            if "/.venv/" not in frame.filename and "/tests/" not in frame.filename
        ]  # fmt: skip
        where = ours[-1] if ours else last
        found.note(
            f"{type(trouble).__name__}: {str(trouble)[:120]} at {where.filename}:{where.lineno}",
            sent,
        )
        return
    found.statuses[answer.status_code] += 1
    if answer.status_code >= 500:
        found.note(f"{answer.status_code} of {sent.name}", sent)
    if "Traceback (most recent" in text:
        found.note(f"a trace on {sent.name}", sent)
    if sent.who == "a stranger" and MATRIX[sent.name][0] is not Who.LINK:
        typed = str(sent.fields) + str(sent.query) + str(shop.forms.get(sent.name)) * sent.keep
        for secret in SECRETS:
            if secret in text and secret not in typed:
                found.note(f"{sent.name} tells a stranger of {secret}", sent)


def _text_of(answer: HttpResponse) -> str:
    body = b"".join(answer.streaming_content) if answer.streaming else answer.content
    return body.decode(errors="replace")


def _sent(shop: Shop, sent: Sent) -> HttpResponse:
    path = shop.addresses[sent.name]
    if sent.path_part:
        parts = path.split("/")
        place = sent.path_part[0] % len(parts) or 1
        parts[place] = quote(sent.path_part[1], safe="")
        path = "/".join(parts)
        path = "/" + path.lstrip("/")
    if sent.query:
        path += "?" + urlencode(sent.query)
    headers = {name: _on_the_wire(value) for name, value in sent.headers.items()}
    browser = shop.browser(sent.who)
    if "HTTP_COOKIE" in headers:
        browser.cookies = SimpleCookie()
    act: Any = getattr(browser, sent.method)
    if sent.method != "post":
        return act(path, **headers)
    content_type = headers.pop("CONTENT_TYPE", sent.content_type)
    fields = (shop.forms.get(sent.name, {}) if sent.keep else {}) | sent.fields
    if sent.body is not None or sent.file is None:
        body = sent.body if sent.body is not None else urlencode(fields, doseq=True).encode()
        # As bytes: the client itself would stumble over an encoding that does not exist.
        return browser.generic("POST", path, body, content_type=content_type, **headers)
    files = {name: _named(sent.file) for name in ("file", "picture", "hours")}
    return act(path, fields | files, **headers)


def _on_the_wire(value: str) -> str:
    """One line of bytes, which the server's interface hands on as if they were latin-1."""
    return re.sub(r"[\r\n]", " ", value).encode(errors="replace").decode("latin-1")


def _named(content: bytes) -> BytesIO:
    file = BytesIO(content)
    file.name = "homes.xlsx" if content[:2] == b"PK" else "homes.csv"
    return file
