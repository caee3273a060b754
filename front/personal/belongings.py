"""Every row that is about one customer, by room. Copying and taking out go by this one list."""

from __future__ import annotations

from django.db.models import Q, QuerySet

from agreements.models import (
    Agreement,
    AgreementEvent,
    Charge,
    HomeSpelling,
    OwedVisit,
    Payment,
    Refund,
)
from customers.models import Customer, Filter, Home, System
from fieldwork.models import Entry, PartUsed, PhoneEvent, Photo, Recommendation, Record, Stamp
from letters.models import BadAddress, Letter, Link, Stop
from reminders.models import HomeEvent, NoStart
from scheduling.models import Offer, RepairStep, Trip, Visit, VisitEvent


class Belongings:
    """Querysets, asked when used. Of a home that was sold only what its new owner does not hold."""

    def __init__(self, customer: Customer) -> None:
        self.customer = customer
        at_home = Q(home__customer=customer)
        self.homes: QuerySet[Home] = Home.objects.filter(customer=customer)
        self.systems: QuerySet[System] = System.objects.filter(at_home)
        self.filters: QuerySet[Filter] = Filter.objects.filter(system__home__customer=customer)
        self.spellings: QuerySet[HomeSpelling] = HomeSpelling.objects.filter(at_home)
        self.home_events: QuerySet[HomeEvent] = HomeEvent.objects.filter(at_home)
        self.no_starts: QuerySet[NoStart] = NoStart.objects.filter(at_home)
        self._letters()
        self._agreements()
        self._visits()
        self._fieldwork()

    def _letters(self) -> None:
        self.letters = Letter.objects.filter(customer=self.customer)
        self.links = Link.objects.filter(customer=self.customer)
        self.stops = Stop.objects.filter(customer=self.customer)
        self.bad_addresses = BadAddress.objects.filter(email=self.customer.email.lower())

    def _agreements(self) -> None:
        hers = Q(agreement__home__customer=self.customer)
        self.agreements = Agreement.objects.filter(home__customer=self.customer)
        self.passed_on = Agreement.objects.filter(acquired_from=self.customer)
        self.agreement_events = AgreementEvent.objects.filter(
            hers | Q(agreement__acquired_from=self.customer)
        )
        self.charges = Charge.objects.filter(hers)
        self.payments = Payment.objects.filter(hers)
        self.refunds = Refund.objects.filter(hers)
        self.owed_visits = OwedVisit.objects.filter(hers)

    def _visits(self) -> None:
        self.visits = Visit.objects.filter(owed_visit__agreement__home__customer=self.customer)
        self.visit_events = VisitEvent.objects.filter(visit__in=self.visits)
        self.offers = Offer.objects.filter(visit__in=self.visits)
        self.repair_steps = RepairStep.objects.filter(visit__in=self.visits)
        self.trips = Trip.objects.filter(visit__in=self.visits)

    def _fieldwork(self) -> None:
        # A home that was sold: what the seller signed and what was photographed in her time.
        of_hers = Q(visit__in=self.visits) | Q(
            visit__owed_visit__agreement__acquired_from=self.customer,
            signed_name__iexact=self.customer.name,
        )
        self.records = Record.objects.filter(of_hers)
        self.entries = Entry.objects.filter(record__in=self.records)
        self.photos = Photo.objects.filter(record__in=self.records)
        self.parts = PartUsed.objects.filter(record__in=self.records)
        self.recommendations = Recommendation.objects.filter(record__in=self.records)
        self.stamps = Stamp.objects.filter(record__in=self.records)
        self.phone_events = PhoneEvent.objects.filter(
            Q(visit__in=self.visits) | Q(visit__records__in=self.records)
        ).distinct()
