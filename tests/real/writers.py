"""People who write while servers die: each sends again, under the same key, until it is answered.

What was answered with success is kept in `told`; afterwards the database must hold exactly that.
"""

from __future__ import annotations

import datetime as dt
import threading
import time
from collections.abc import Callable, Iterator
from typing import Any
from uuid import uuid4

import httpx

CSRF = "a" * 32
GIVES_UP_S = 240.0  # on a busy machine a web server is long in coming


class Writers:
    """Three at once: the office takes payments and promises times, a phone sends readings."""

    def __init__(self, url: str, shop: dict[str, Any]) -> None:
        self.url, self.shop = url, shop
        self.told: dict[str, list[str]] = {"payments": [], "promises": [], "entries": []}
        self.sent_again = 0
        self.trouble: list[str] = []
        self._stop = threading.Event()
        self._promises_left = threading.Semaphore(1)
        self._threads = [
            threading.Thread(target=self._write, args=(kind, requests()))
            for kind, requests in (
                ("payments", self._payments), ("promises", self._promises),
                ("entries", self._entries),
            )
        ]  # fmt: skip

    def __enter__(self) -> Writers:
        for thread in self._threads:
            thread.start()
        return self

    def may_promise(self, more: int) -> None:
        """Visits are few and a quick machine promises them all: so many more, then a pause."""
        self._promises_left.release(more)

    def __exit__(self, *_: object) -> None:
        self._stop.set()
        self.may_promise(1)  # who waits sees that it is over
        for thread in self._threads:
            thread.join()

    def _write(self, kind: str, requests: Iterator[tuple[str, Callable[..., bool]]]) -> None:
        person = self.shop["phone" if kind == "entries" else "office"]
        cookies = {"sessionid": person, "csrftoken": CSRF}
        headers = {"X-CSRFToken": CSRF}
        with httpx.Client(base_url=self.url, cookies=cookies, headers=headers, timeout=10) as web:
            for key, send in requests:
                if self._stop.is_set() or not self._until_answered(kind, key, web, send):
                    return

    def _until_answered(
        self, kind: str, key: str, web: httpx.Client, send: Callable[..., bool]
    ) -> bool:
        gives_up = time.monotonic() + GIVES_UP_S
        again = False
        while time.monotonic() < gives_up:
            try:
                if send(web, again):
                    self.told[kind].append(key)
                    return True
            except httpx.TransportError:
                pass
            except Refused as refusal:
                self.trouble.append(f"{kind}: {refusal}")
                return False
            again, self.sent_again = True, self.sent_again + 1
            time.sleep(0.1)
        self.trouble.append(f"{kind}: no answer in {GIVES_UP_S} s")
        return False

    def _payments(self) -> Iterator[tuple[str, Callable[..., bool]]]:
        page = f"/agreements/{self.shop['agreement']}/payment/"
        while True:
            key = uuid4().hex
            form = {"key": key, "amount": "0.01", "on": dt.date.today().isoformat(), "how": "cash"}  # noqa: DTZ011
            form |= {"receipt": "on", "form_key": uuid4().hex}
            yield key, lambda web, _, form=form: done(web.post(page, data=form))

    def _promises(self) -> Iterator[tuple[str, Callable[..., bool]]]:
        first = dt.date.fromisoformat(self.shop["day"])
        days = [first + dt.timedelta(days=n) for n in range(19)]
        slots = [(day, hour) for day in days if day.weekday() < 5 for hour in range(9, 15)]
        for pk, (day, hour) in zip(self.shop["visits"], slots, strict=False):
            self._promises_left.acquire()
            form = {"technician": self.shop["technician"], "day": day.isoformat(), "minutes": "50"}
            form |= {"time": f"{hour}:00", "promised": "on"}

            def send(web: httpx.Client, again: bool, pk: int = pk, form: dict = form) -> bool:
                answer = web.post(f"/season/visit/{pk}/place/", data=form)
                # Sent again after it was done: the page says that it stands there already.
                return (again and answer.status_code == 422) or done(answer)

            yield str(pk), send

    def _entries(self) -> Iterator[tuple[str, Callable[..., bool]]]:
        seq, system = 0, self.shop["system"]
        while True:
            seq, key, now = seq + 1, str(uuid4()), round(time.time() * 1000)
            payload = {"system": system, "field": "outdoor_db_f", "typed": f"{70 + seq % 20}"}
            payload |= {"sure": True}
            event = {"key": key, "seq": seq, "kind": "entry", "visit": self.shop["stop"]}
            event |= {"day": self.shop["day"], "phone_at": now, "payload": payload}
            batch = {"device": "ingrids-phone", "now": now, "events": [event]}

            def send(web: httpx.Client, _: bool, batch: dict = batch) -> bool:
                answer = web.post("/my-day/events/", json=batch)
                if answer.status_code == 200:
                    [one] = answer.json()["answers"]
                    if one["state"] != "applied":
                        raise Refused(str(one))
                return done(answer)

            yield key, send


class Refused(Exception):
    """An answer that sending again would not change."""


def done(answer: httpx.Response) -> bool:
    """True: it is written. False: a server was away, so it is to be sent again."""
    if answer.status_code >= 500:
        return False
    if answer.status_code not in (200, 302):
        raise Refused(f"{answer.status_code} {answer.text[-1500:]}")
    if "/sign-in/" in answer.headers.get("Location", ""):
        raise Refused("signed out")
    return True
