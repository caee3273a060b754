"""A spring played day by day on the demo shop: real hours, made-up forecasts, customers who answer.

Everything is done by the verbs that the screens use. What is invented is chance alone: how far a
forecast misses (as real ones do, weather.backtest.forecasts), and what customers answer.
"""

from __future__ import annotations

import csv
import datetime as dt
import math
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from random import Random

from front.played_drives import PlayedDrives
from front.played_homes import PlayedHomes
from front.played_records import play_record
from kit.when import moment_at
from scheduling.actions.apply import apply_run
from scheduling.actions.offers import (
    accept_offer,
    ask_for_a_call,
    choose_slot,
    follow_up_offers,
    keep_while_choosing,
    offer_visits,
)
from scheduling.actions.repairs import agree_all
from scheduling.actions.runs import RunRefused, ask_for_run
from scheduling.actions.slots import SlotRefused, SlotTaken
from scheduling.actions.visits import complete_visit, leave_test_owed, miss_visit, unplace_visit
from scheduling.actions.watch import propose_repairs
from scheduling.models import Offer, RunState, Season, State, Visit, What
from scheduling.notice import promised_until
from scheduling.openings import free_slots
from scheduling.planning import carry_out
from scheduling.states import StepRefused
from scheduling.waiting import until_over
from weather.actions.forecasts import keep_forecast
from weather.actions.learning import learn_skill
from weather.actions.observations import observe_hours
from weather.backtest.forecasts import forecast_errors
from weather.forecast import Forecast, ForecastHour, forecast_of

SOURCE = "played"
AHEAD_H = 156  # as long as an hourly forecast of the National Weather Service reaches
TEST_LASTS = dt.timedelta(hours=2)
HOUR, DAY = dt.timedelta(hours=1), dt.timedelta(days=1)
REFUSALS = (SlotTaken, SlotRefused, StepRefused)
# What customers do with an offer (invented): in order, and the rest stays silent.
ACCEPTS, WANTS_ANOTHER, WANTS_A_CALL = 0.82, 0.08, 0.05
NOBODY_HOME = 0.02
PATIENCE_S = 60.0
# How a step of a repair is told in the day's line.
WORDS_OF = {
    What.LATER: "moved to later that day",
    What.SWAP: "swapped",
    What.ANOTHER_DAY: "moved to another day",
    What.HOLD: "held",
    What.MAKE_ROOM: "made room",
    What.RELEASE: "released",
    What.FILL: "filled at short notice",
}


@dataclass(frozen=True)
class PlayedWeather:
    """Real hours of one spring, moved to another year; keys are aware UTC hours, values °F."""

    hours: dict[dt.datetime, float]
    first: dt.date
    errors: list[list[float]]  # [days ahead][day since `first`], °F

    @classmethod
    def read(cls, file: Path, year: int, first: dt.date, days: int, seed: int) -> PlayedWeather:
        """From lines of `time,temperature_f` with an offset; day and hour stay, the year goes."""
        with file.open() as lines:
            moments = [
                (dt.datetime.fromisoformat(row["time"]), float(row["temperature_f"]))
                for row in csv.DictReader(lines)
            ]
        hours = {at.replace(year=year).astimezone(dt.UTC): value for at, value in moments}
        return cls(hours, first, forecast_errors(days + 10, (seed,)).tolist())

    def forecast_at(self, now: dt.datetime, today: dt.date) -> tuple[Forecast, tuple[str, ...]]:
        """What a service might have said at `now`: the truth, missed as real forecasts miss."""
        begin = now.replace(minute=0, second=0, microsecond=0)
        foretold = [
            ForecastHour(at, round(self.hours[at] + self._error(at, now, today), 1))
            for at in (begin + step * HOUR for step in range(AHEAD_H))
            if at in self.hours
        ]
        return forecast_of(SOURCE, now, now, foretold)

    def _error(self, at: dt.datetime, now: dt.datetime, today: dt.date) -> float:
        ahead = min((at - now) // DAY, len(self.errors) - 1)
        return self.errors[ahead][(today - self.first).days + ahead]

    def coldest_f(self, starts_at: dt.datetime) -> float:
        """The coldest hour that a test begun then would touch."""
        first = starts_at.astimezone(dt.UTC).replace(minute=0, second=0, microsecond=0)
        touched = [first + step * HOUR for step in range(3) if first + step * HOUR in self.hours]
        return min(self.hours[at] for at in touched)


@dataclass
class PlayedDay:
    """What happened on one day, for the line that is printed."""

    day: dt.date
    high_f: float
    counts: dict[str, int] = field(default_factory=dict)

    def note(self, what: str, how_many: int = 1) -> None:
        if how_many:
            self.counts[what] = self.counts.get(what, 0) + how_many

    def __str__(self) -> str:
        told = ", ".join(f"{count} {what}" for what, count in self.counts.items())
        return f"{self.day:%a %b %-d}  {self.high_f:3.0f} °F  {told or 'nothing'}"


class Play:
    """One season under one spring's weather. `set_clock` lets every process know the moment.

    `records`: technicians type readings on their phones too, which takes longer to play.
    """

    def __init__(
        self,
        season: Season,
        weather: PlayedWeather,
        set_clock: Callable[[dt.datetime], None],
        seed: int,
        plan_seconds: float,
        records: bool = False,
    ) -> None:
        self.season, self.branch, self.weather = season, season.branch, weather
        self.records = records
        self.set_clock, self.plan_seconds = set_clock, plan_seconds
        self.chance = Random(seed)  # noqa: S311  (repeatable, not secret)
        self.homes = PlayedHomes(self.branch, seed)
        self.drives = PlayedDrives(seed)

    def day(self, day: dt.date, *, decide: bool = True) -> PlayedDay:
        """From six in the morning to six in the evening. `decide`: the office agrees to repairs."""
        played = PlayedDay(day, self._high_f(day))
        self._weather_comes(day, played)
        if day.weekday() == 0:
            self._plan_again(self._at(day, 6), played)
        if decide:
            done, _ = agree_all(season=self.season, by=None, now=self._at(day, 7))
            for step in done:
                played.note(WORDS_OF[What(step.what)])
        if self.branch.works_on(day.weekday()):
            self._office(day, played)
            self._drive(day, played)
            self.homes.afternoon(self._at(day, 17), played.high_f, played.note)
        self.set_clock(self._at(day, 18))
        if not decide:  # what is left to the office stands on the evening's forecast
            self._foretell(self._at(day, 18), day)
        return played

    def _at(self, day: dt.date, hour: int) -> dt.datetime:
        return moment_at(day, hour * 60, self.branch.zone)

    def _high_f(self, day: dt.date) -> float:
        first = self._at(day, 0)
        return max(f for at, f in self.weather.hours.items() if first <= at < first + DAY)

    def _weather_comes(self, day: dt.date, played: PlayedDay) -> None:
        """Yesterday's hours, what they teach, the morning's forecast, and what it asks for."""
        now = self._at(day, 6)
        self.set_clock(now)
        known = {at: f for at, f in self.weather.hours.items() if now - DAY <= at < now}
        observe_hours(branch=self.branch, hours=known, source=SOURCE)
        learn_skill(branch=self.branch, now=now)
        self._foretell(now, day)

    def _foretell(self, now: dt.datetime, day: dt.date) -> None:
        """A new forecast, and what it asks for."""
        forecast, notes = self.weather.forecast_at(now, day)
        keep_forecast(branch=self.branch, forecast=forecast, notes=notes, now=now)
        propose_repairs(season=self.season, now=now)

    def _plan_again(self, now: dt.datetime, played: PlayedDay) -> None:
        """The week's plan: what no customer knows of yet moves to where it is warm now."""
        try:
            run = ask_for_run(season=self.season, by=None, seconds=self.plan_seconds, now=now)
            carry_out(run.pk)
            until_over(run, PATIENCE_S)  # a worker of the served shop may have been quicker
            if run.state == RunState.READY:
                played.note("placed anew", apply_run(run=run, now=now))
        except RunRefused:
            played.note("plan refused")

    def _office(self, day: dt.date, played: PlayedDay) -> None:
        """Offers of the coming days go out, and yesterday's are answered."""
        now = self._at(day, 9)
        self.set_clock(now)
        self.homes.morning(now, played.note)
        follow_up_offers(now=now)
        for offer in Offer.objects.of(self.branch).open().select_related("visit"):
            self._answer(offer, now, played)
        until = promised_until(day, self.branch.promise_days, self.branch.works_on)
        first = now + self.branch.notice_days * DAY
        wave = Visit.objects.for_season(self.season).filter(
            state=State.PENCILLED, starts_at__gt=first, starts_at__lt=self._at(until + DAY, 0)
        )
        made = offer_visits(visits=wave.with_home().select_related("season__branch"), now=now)
        played.note("offered", len(made))

    def _answer(self, offer: Offer, now: dt.datetime, played: PlayedDay) -> None:
        visit = Visit.objects.with_home().select_related("season__branch").get(pk=offer.visit_id)
        luck = self.chance.random()
        try:
            if offer.call_since or luck < ACCEPTS:
                accept_offer(visit=visit, now=now)
                played.note("promised")
            elif luck < ACCEPTS + WANTS_ANOTHER:
                slots = free_slots(visit, now=now)
                if slots:
                    keep_while_choosing(visit=visit, slot=self.chance.choice(slots), now=now)
                    choose_slot(visit=visit, now=now)
                    played.note("chose another time")
            elif luck < ACCEPTS + WANTS_ANOTHER + WANTS_A_CALL:
                ask_for_a_call(visit=visit, why="asked for a call", now=now)
                played.note("to call")
        except REFUSALS:
            played.note("answered too late")

    def _drive(self, day: dt.date, played: PlayedDay) -> None:
        """The day's visits, in the weather that came."""
        todays = Visit.objects.on(day, self.season).with_home().select_related("season__branch")
        for visit in todays.order_by("starts_at"):
            starts_at, ends_at = visit.slot
            if visit.state in (State.PENCILLED, State.OFFERED):
                unplace_visit(visit=visit, now=starts_at, why="Nobody agreed to it in time.")
                played.note("given up, not agreed")
            elif visit.state == State.PROMISED:
                self.set_clock(ends_at)
                self._carry_out(visit, ends_at, played)

    def _carry_out(self, visit: Visit, now: dt.datetime, played: PlayedDay) -> None:
        found_f = self.weather.coldest_f(visit.slot[0])
        drive_min = self.drives.minutes_to(visit)
        if self.chance.random() < NOBODY_HOME:
            miss_visit(visit=visit, now=now, why="Nobody was home.")
            played.note("nobody home")
            return
        cold = visit.needs_warmth and found_f < self.branch.test_temperature_f
        played.note("too cold to test" if cold else "done")
        if self.records and visit.needs_warmth:
            play_record(visit, found_f, self.chance, cold=cold, drive_min=drive_min)
        elif cold:
            leave_test_owed(visit=visit, now=now, why=_too_cold(found_f))
        else:
            complete_visit(visit=visit, now=now)


def _too_cold(found_f: float) -> str:
    """As a technician would write it; never rounded up to what would have been warm enough."""
    return f"Cleaned, and too cold to test: {math.floor(found_f)} °F outdoors."
