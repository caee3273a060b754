"""Fifty at desks and a hundred with phones, each in turn looking, thinking and writing."""

from __future__ import annotations

import asyncio
import datetime as dt
import random
import statistics
import time
from collections import defaultdict
from dataclasses import dataclass, field
from typing import Any
from uuid import uuid4

import httpx

from benchmarks.crowd.rows import Crowd

CSRF = "a" * 32
OFFICE_THINKS_S, PHONE_THINKS_S = (5.0, 15.0), (10.0, 30.0)
TRIES = 4
PARTS = {"HX-Request": "true"}


@dataclass
class Course:
    """How long each page took, what went wrong, and what was answered with success."""

    times_ms: dict[str, list[float]] = field(default_factory=lambda: defaultdict(list))
    errors: dict[str, list[str]] = field(default_factory=lambda: defaultdict(list))
    payments: list[str] = field(default_factory=list)
    complaints: list[str] = field(default_factory=list)
    entries: list[str] = field(default_factory=list)
    promises: list[int] = field(default_factory=list)
    gate_codes: dict[int, str] = field(default_factory=dict)

    def pages(self) -> dict[str, dict[str, float]]:
        return {
            name: {
                "p50_ms": round(statistics.median(times), 1),
                "p95_ms": round(_p95(times), 1),
                "requests": len(times),
                "errors": len(self.errors[name]),
            }
            for name, times in sorted(self.times_ms.items())
        }


def _p95(times: list[float]) -> float:
    return statistics.quantiles(times, n=20)[18] if len(times) > 1 else times[0]


class Person:
    """One browser, signed in."""

    def __init__(self, url: str, session: str, course: Course, seed: int) -> None:
        self.course, self.chance = course, random.Random(seed)
        self.web = httpx.AsyncClient(
            base_url=url, timeout=30, cookies={"sessionid": session, "csrftoken": CSRF},
            headers={"X-CSRFToken": CSRF},
        )  # fmt: skip

    async def live(self, until: float, thinks_s: tuple[float, float], acts: list[Any]) -> None:
        await asyncio.sleep(self.chance.uniform(0, thinks_s[1]))
        weights = [weight for weight, _ in acts]
        while time.monotonic() < until:
            [(_, act)] = self.chance.choices(acts, weights)
            await act()
            await asyncio.sleep(self.chance.uniform(*thinks_s))
        await self.web.aclose()

    async def look(self, name: str, path: str, **headers: str) -> None:
        await self._asked(name, "GET", path, headers=headers)

    async def write(self, name: str, path: str, **sent: Any) -> httpx.Response | None:
        """Send it until it is answered, as a person or a phone would, with the same key."""
        for _ in range(TRIES):
            answer = await self._asked(name, "POST", path, **sent)
            if answer is not None:
                return answer
            await asyncio.sleep(1)
        return None

    async def _asked(self, name: str, method: str, path: str, **more: Any) -> httpx.Response | None:
        begun = time.perf_counter()
        try:
            answer = await self.web.request(method, path, **more)
        except httpx.TransportError as trouble:
            self.course.errors[name].append(repr(trouble))
            return None
        finally:
            self.course.times_ms[name].append((time.perf_counter() - begun) * 1000)
        # A look that is sent elsewhere, say to the sign-in, showed nothing.
        if answer.status_code not in ((200,) if method == "GET" else (200, 302)):
            self.course.errors[name].append(f"{answer.status_code} {path}")
            return None
        return answer


class Office(Person):
    def __init__(self, *args: Any, crowd: Crowd, number: int) -> None:
        super().__init__(*args)
        self.crowd = crowd
        # Each has homes of her own, so that what she was told last is what must stand.
        self.homes = crowd.homes[number :: len(crowd.office)]
        season, day = f"/season/{crowd.season}/", self.chance.choice
        words = ["hollis maple", "ada", "53214", "larch 12", "nobody", "kessel oak", "0142"]
        self.acts = [
            (8, lambda: self.look("today", "/")),
            (8, lambda: self.look("homes", "/homes/")),
            (10, lambda: self.look("home search", f"/homes/?q={self.chance.choice(words)}")),
            (14, lambda: self.look("home", f"/homes/{self.chance.choice(self.homes)}/")),
            (4, lambda: self.look("season", season)),
            (4, lambda: self.look("part: ribbon", season, **PARTS)),
            (8, lambda: self.look("day", f"/season/day/{day(crowd.days)}/")),
            (6, lambda: self.look("visit", f"/season/visit/{self._visit()}/")),
            (8, lambda: self.look("agreement", f"/agreements/{self._agreement()}/")),
            (5, lambda: self.look("agreements", "/agreements/")),
            (4, lambda: self.look("due", "/agreements/due/")),
            (5, lambda: self.look("outbox", "/letters/office/")),
            (3, lambda: self.look("almanac", "/weather/")),
            (4, lambda: self.look("part: found", f"/agreements/enrol/?q={day(words)}", **PARTS)),
            (6, self.pay), (4, self.complain), (6, self.change_home), (6, self.promise),
        ]  # fmt: skip

    def _agreement(self) -> int:
        return self.chance.choice(self.crowd.agreements)

    def _visit(self) -> str:
        return self.chance.choice(self.crowd.visits)

    async def pay(self) -> None:
        key = uuid4().hex
        form = {"key": key, "amount": "1.00", "how": "cash", "on": _today(), "form_key": key}
        path = f"/agreements/{self._agreement()}/payment/"
        if await self.write("write: payment", path, data=form):
            self.course.payments.append(key)

    async def complain(self) -> None:
        key = uuid4().hex
        path = f"/agreements/{self._agreement()}/complaint/"
        form = {"why": f"The dog got out, {key}.", "form_key": key}
        if await self.write("write: note", path, data=form):
            self.course.complaints.append(form["why"])

    async def change_home(self) -> None:
        pk, code = self.chance.choice(self.homes), uuid4().hex[:8]
        path = f"/homes/{pk}/change/"
        await self.look("home form", path)
        form: dict[str, Any] = {
            "street": f"{pk} Alder Street", "city": "Mequon", "state": "WI", "zip": "53092",
            "gate_code": code, "halves_mask": [str(bit) for bit in range(14)],
        }  # fmt: skip
        if await self.write("write: home", path, data=form):
            self.course.gate_codes[pk] = code

    async def promise(self) -> None:
        if self.crowd.pencilled:
            form = dict(self.crowd.pencilled.pop())  # nobody else gets this visit
            pk = int(form.pop("pk"))
            path = f"/season/visit/{pk}/place/"
            if await self.write("write: promise", path, data=form):
                self.course.promises.append(pk)


class Phone(Person):
    def __init__(self, *args: Any, stops: list[tuple[int, int, str]]) -> None:
        super().__init__(*args)
        # Before and while the season is planned it is one phone, and what it counts rises.
        self.stops, self.device, self.seq = stops, f"phone-{stops[0][0]}", round(time.time())
        self.acts = [
            (3, lambda: self.look("my day", f"/my-day/{self._stop()[2]}/")),
            (3, lambda: self.look("check list", self._page(self._stop()))),
            (3, lambda: self.look("part: verdicts", self._page(self._stop()) + "verdicts/")),
            (6, self.enter),
        ]

    def _stop(self) -> tuple[int, int, str]:
        return self.chance.choice(self.stops)

    def _page(self, stop: tuple[int, int, str]) -> str:
        return f"/my-day/{stop[2]}/visit/{stop[0]}/"

    async def enter(self) -> None:
        visit, system, day = self._stop()
        self.seq, key, now = self.seq + 1, str(uuid4()), round(time.time() * 1000)
        typed = f"{self.chance.randrange(70, 95)}"
        payload = {"system": system, "field": "outdoor_db_f", "typed": typed, "sure": True}
        event = {
            "key": key, "seq": self.seq, "kind": "entry", "visit": visit, "day": day,
            "phone_at": now, "payload": payload,
        }  # fmt: skip
        batch = {"device": self.device, "now": now, "events": [event]}
        answer = await self.write("write: entry", "/my-day/events/", json=batch)
        if answer is None:
            return
        said = answer.json()["answers"][0]
        if said["state"] == "applied":
            self.course.entries.append(key)
        else:
            self.course.errors["write: entry"].append(f"{said}")


def _today() -> str:
    return dt.datetime.now(tz=dt.UTC).astimezone().date().isoformat()


def live(url: str, crowd: Crowd, seconds: float, course: Course) -> None:
    """Everybody at once, for so many seconds."""

    async def all_of_them() -> None:
        until = time.monotonic() + seconds
        office = [
            Office(url, session, course, n, crowd=crowd, number=n)
            for n, session in enumerate(crowd.office)
        ]
        phones = [
            Phone(url, session, course, 1000 + n, stops=stops)
            for n, (session, stops) in enumerate(crowd.phones)
        ]
        await asyncio.gather(
            *(person.live(until, OFFICE_THINKS_S, person.acts) for person in office),
            *(person.live(until, PHONE_THINKS_S, person.acts) for person in phones),
        )

    asyncio.run(all_of_them())
