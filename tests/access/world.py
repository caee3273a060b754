"""One of everything in Cedarburg, so that every address can be asked for."""

from __future__ import annotations

import datetime as dt

from agreements.models import SpreadsheetImport
from customers.models import Home
from front.actions.staff import password_link_of
from letters.links import link_for, token_of
from letters.models import BadAddress
from reminders.actions.outbox import HOME
from reminders.models import NoStart
from reminders.reading import about_home
from scheduling.announcements import answer_link
from scheduling.feeds import feed_link
from scheduling.models import DayOff, Offer, SeasonRun, State
from tests import cast, factories
from weather.actions import set_climate
from weather.backtest_run import BacktestRun
from weather.demonstration import demonstration_climate

NOW = dt.datetime(2027, 4, 1, 17, tzinfo=dt.UTC)


class World:
    """Rows of Cedarburg, made when they are asked for."""

    def __init__(self) -> None:
        cast.letterhead()
        set_climate(branch=cast.cedarburg(), climate=demonstration_climate(), now=NOW)
        self.home = cast.noras_home()
        Home.objects.filter(pk=self.home.pk).update(short_notice=True)
        self.system = self.home.systems.get()
        self.filter = self.system.filters.get()
        self.agreement = factories.AgreementFactory(home=self.home)
        owed = factories.OwedVisitFactory(agreement=self.agreement)
        self.visit = factories.VisitFactory(owed_visit=owed)
        self.season = self.visit.season
        self.technician = cast.ingrid()

    @property
    def run(self) -> SeasonRun:
        return SeasonRun.objects.create(season=self.season, asked_at=NOW, heard_at=NOW)

    @property
    def offer(self) -> Offer:
        starts_at = NOW + dt.timedelta(days=9)
        self.visit.state, self.visit.technician = State.OFFERED, self.technician
        self.visit.starts_at, self.visit.ends_at = starts_at, starts_at + dt.timedelta(hours=1)
        self.visit.save()
        return Offer.objects.create(visit=self.visit, made_at=NOW, answer_by=NOW, call_since=NOW)

    @property
    def absence(self) -> DayOff:
        day = dt.date(2027, 4, 12)
        return DayOff.objects.create(technician=self.technician, first=day, last=day)

    @property
    def letter(self):
        return factories.LetterFactory(customer=cast.nora())

    @property
    def bad_address(self) -> BadAddress:
        factories.LetterFactory(customer=cast.nora())
        return BadAddress.objects.create(email="nora@example.com", since=NOW, why="bounced")

    @property
    def no_start(self) -> NoStart:
        return NoStart.objects.create(home=self.home, asked_at=NOW, outcome="call")

    @property
    def sheet(self) -> SpreadsheetImport:
        return SpreadsheetImport.objects.create(
            branch=cast.cedarburg(),
            file_name="homes.csv",
            content=b"Name\nNora\n",
            created_by=cast.odile(),
        )

    @property
    def home_token(self) -> str:
        about = about_home(self.home.pk)
        return token_of(link_for(purpose=HOME, about=about, now=NOW, customer=cast.nora()))

    @property
    def visit_token(self) -> str:
        self.offer  # noqa: B018  (the page of a visit that is offered)
        return token_of(answer_link(self.visit, NOW))

    @property
    def password_parts(self) -> tuple[str, str]:
        return password_link_of(cast.odile())

    @property
    def backtest(self) -> BacktestRun:
        return BacktestRun.objects.create(
            branch=cast.cedarburg(),
            asked_at=NOW,
            heard_at=NOW,
            file_name="h.csv",
            policy={},
            setup={},
        )

    @property
    def stop_token(self) -> str:
        customer = cast.nora()
        about = f"customer:{customer.pk}"
        return token_of(link_for(purpose="stop", about=about, now=NOW, customer=customer))

    @property
    def feed_token(self) -> str:
        return token_of(feed_link(self.technician, NOW))
