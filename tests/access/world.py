"""One of everything in Cedarburg, so that every address can be asked for."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal
from uuid import uuid4

from django.core.files.base import ContentFile

from agreements.actions.outbox import own_link
from agreements.actions.paying import record_payment
from agreements.models import Payment, SpreadsheetImport
from books.models import CapacityRun
from customers.models import Home
from fieldwork.actions.check_lists import current_version
from fieldwork.announcements import report_link
from fieldwork.models import CheckListKind, Entry, PhoneEvent, Photo, Recommendation, Record
from front.actions.interface import make_key
from front.actions.staff import password_link_of
from front.models import InterfaceKey
from letters.links import link_for, token_of
from letters.models import BadAddress
from reminders.actions.outbox import HOME
from reminders.models import NoStart
from reminders.reading import about_home
from scheduling.announcements import answer_link
from scheduling.feeds import feed_link
from scheduling.models import DayOff, Offer, Repair, RepairStep, SeasonRun, State, What
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
    def capacity_run(self) -> CapacityRun:
        return CapacityRun.objects.create(season=self.season, asked_at=NOW, heard_at=NOW)

    @property
    def offer(self) -> Offer:
        starts_at = NOW + dt.timedelta(days=9)
        self.visit.state, self.visit.technician = State.OFFERED, self.technician
        self.visit.starts_at, self.visit.ends_at = starts_at, starts_at + dt.timedelta(hours=1)
        self.visit.save()
        return Offer.objects.create(visit=self.visit, made_at=NOW, answer_by=NOW, call_since=NOW)

    @property
    def step(self) -> RepairStep:
        repair = Repair.objects.create(season=self.season, made_at=NOW, source="forecast")
        return RepairStep.objects.create(
            repair=repair,
            visit=self.visit,
            version=self.visit.version,
            what=What.HOLD,
            from_technician=self.technician,
            from_starts_at=NOW,
            why="Too cold.",
        )

    @property
    def absence(self) -> DayOff:
        day = dt.date(2027, 4, 12)
        return DayOff.objects.create(technician=self.technician, first=day, last=day)

    @property
    def interface_key(self) -> InterfaceKey:
        facts = {"branch": cast.cedarburg(), "by": cast.walter(), "now": NOW}
        return make_key(name="books", scopes=["homes", "money"], **facts)[0]

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
    def payment(self) -> Payment:
        return record_payment(
            agreement=self.agreement, amount=Decimal(10), on=NOW.date(), how="cash", by=cast.odile()
        )

    @property
    def agreement_token(self) -> str:
        return token_of(own_link(agreement=self.agreement, now=NOW))

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
    def record(self) -> Record:
        visit = self.offer.visit
        branch, day = cast.cedarburg(), visit.slot[0].date()
        version = current_version(branch=branch, kind=CheckListKind.COOLING, now=NOW)
        return Record.objects.create(
            visit=visit,
            day=day,
            technician=self.technician,
            version=version,
            signed_name="Nora",
            signed_at=NOW,
            signature=ContentFile(b"a signature", "signature.png"),
        )

    @property
    def finished_record(self) -> Record:
        record = self.record
        record.outcome, record.completed_at = "done", NOW
        record.judgement = {str(self.system.pk): {"test": "warm"}}
        record.save()
        Entry.objects.create(
            record=record, system=self.system, field="outdoor_db_f", typed="80", value=80,
            made_at=NOW, by=self.technician.user, event=self.kept_event,
        )  # fmt: skip
        return record

    @property
    def recommendation(self) -> Recommendation:
        return Recommendation.objects.create(
            record=self.record, words="New contactor", urgency="watch", made_at=NOW,
            changed_at=NOW, event=self.kept_event,
        )  # fmt: skip

    @property
    def report_token(self) -> str:
        return token_of(report_link(self.finished_record, NOW))

    @property
    def photo(self) -> Photo:
        record, event = self.record, self.kept_event
        image = ContentFile(b"a photo", "photo.jpg")
        return Photo.objects.create(
            record=record, image=image, width=1, height=1, taken_at=NOW, event=event
        )

    @property
    def kept_event(self) -> PhoneEvent:
        return PhoneEvent.objects.create(
            client_key=uuid4(),
            technician=self.technician,
            by=self.technician.user,
            kind="order",
            day=NOW.date(),
            phone_at=NOW,
            made_at=NOW,
            received_at=NOW,
            state="conflict",
            words="kept",
        )

    @property
    def stop_token(self) -> str:
        customer = cast.nora()
        about = f"customer:{customer.pk}"
        return token_of(link_for(purpose="stop", about=about, now=NOW, customer=customer))

    @property
    def feed_token(self) -> str:
        return token_of(feed_link(self.technician, NOW))
