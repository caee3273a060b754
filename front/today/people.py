"""What waits because a person has to be spoken to, or a home put right."""

from __future__ import annotations

import datetime as dt
from collections import Counter
from collections.abc import Iterator

from django.urls import reverse

from customers.forms.home import UNKNOWN_PLACE
from customers.models import Home
from fieldwork.announcements import dangers_untold
from fieldwork.models import PhoneEvent, Recommendation, RecommendationState
from front.today.decision import Decision, first
from reminders.models import NoStart
from scheduling.models import Offer
from shop.models import Branch


def dangers(branch: Branch, today: dt.date) -> Iterator[Decision]:
    """Something dangerous was found, and its report waits for a person to send it."""
    records = dangers_untold(branch, today)
    if records:
        names = tuple(str(record.visit.owed_visit.home.customer) for record in records)
        words = "dangerous finding not reported" if len(records) == 1 else (
            "dangerous findings not reported"
        )  # fmt: skip
        yield Decision(len(records), words, reverse("fieldwork:follow-up"), "Speak and send", names)


def from_the_phones(branch: Branch) -> Iterator[Decision]:
    """What phones sent and something else had changed meanwhile; with whose phone it was."""
    waiting = PhoneEvent.objects.of(branch).conflicts().select_related("technician")
    names = [str(event.technician) for event in waiting]
    if names:
        words = f"{'entry' if len(names) == 1 else 'entries'} from the phones to decide"
        reasons = first([f"{name}: {count}" for name, count in sorted(Counter(names).items())])
        yield Decision(len(names), words, reverse("fieldwork:conflicts"), "Decide", reasons)


def recommended(branch: Branch) -> Iterator[Decision]:
    """Repairs that a technician recommends, and the customer was not told yet."""
    count = Recommendation.objects.filter(
        record__visit__season__branch=branch, state=RecommendationState.OPEN
    ).count()
    if count:
        words = f"recommended {'repair' if count == 1 else 'repairs'} to tell customers of"
        yield Decision(count, words, reverse("fieldwork:follow-up"), "Follow-up")


def no_starts(branch: Branch) -> Iterator[Decision]:
    """Homes that do not start after the safe checks, and nobody has called yet."""
    waiting = NoStart.objects.of(branch).to_call().select_related("home__customer")
    names = [str(no_start.home.customer) for no_start in waiting.order_by("asked_at")]
    if names:
        words = f"{'home does' if len(names) == 1 else 'homes do'} not start: to call"
        yield Decision(len(names), words, reverse("reminders:no-starts"), "Call", first(names))


def calls(branch: Branch) -> Iterator[Decision]:
    """Customers who did not answer their offers, have no e-mail address, or asked for a call."""
    count = Offer.objects.of(branch).to_call().count()
    if count:
        words = f"{'customer' if count == 1 else 'customers'} to telephone about a time"
        yield Decision(count, words, reverse("scheduling:calls"), "Telephone list")


def homes_without_a_place(branch: Branch) -> Iterator[Decision]:
    if count := Home.objects.of(branch).without_a_place().count():
        words = (
            f"{'home' if count == 1 else 'homes'} without a known place, so no visit can be planned"
        )
        url = reverse("customers:list") + f"?place={UNKNOWN_PLACE}"
        yield Decision(count, words, url, "Look at the homes")
