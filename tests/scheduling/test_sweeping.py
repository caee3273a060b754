"""Visits follow their agreements: let go, owed again, passed on with a sold home."""

import datetime as dt

import pytest
import time_machine
from django.urls import reverse

from agreements.actions.changing import transfer
from agreements.actions.ending import cancel
from agreements.actions.owing import owe_visits
from customers.models import Customer
from letters.models import Letter
from letters.render import message_of
from scheduling.actions.offers import offer_visit
from scheduling.actions.sweeping import follow_agreements
from scheduling.actions.visits import pencil_visit, promise_visit
from scheduling.models import Answer, Offer, State, Visit
from tests import cast, factories
from tests.scheduling import spring

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("_on_may_20")]
NOW = spring.at(dt.date(2027, 5, 20), 10)
LATER = NOW + dt.timedelta(minutes=10)
TEN = spring.at(spring.MONDAY, 10)


@pytest.fixture
def _on_may_20():
    cast.letterhead()
    with time_machine.travel(NOW, tick=False):
        yield


def promised(language: str = "en") -> Visit:
    """Monday at ten, promised to the customer."""
    visit = spring.owed(spring.season())
    customer = visit.owed_visit.home.customer
    customer.language = language
    customer.save()
    return promise_visit(
        visit=visit, technician=spring.technician(), starts_at=TEN, minutes=60, now=NOW
    )


def cancelled(visit: Visit) -> Visit:
    cancel(agreement=visit.owed_visit.agreement, ends=NOW.date(), why="moves away", by=cast.odile())
    return visit


def swept(visit: Visit) -> Visit:
    follow_agreements(now=LATER)
    visit.refresh_from_db()
    return visit


def last_letter() -> Letter:
    return Letter.objects.order_by("-pk")[0]


def test_a_visit_of_a_cancelled_agreement_gives_its_slot_back():
    visit = swept(cancelled(promised()))

    assert (visit.state, visit.technician, visit.starts_at) == (State.WAIVED, None, None)
    assert visit.why == "the agreement cancelled"


def test_the_customer_is_told_and_her_calendar_too():
    swept(cancelled(promised()))

    letter = last_letter()
    message = message_of(letter)
    assert (letter.kind, letter.invitation["method"]) == ("promise_cancelled", "CANCEL")
    assert "The agreement for this home has ended." in message.body
    assert "still owed" not in message.body
    assert "METHOD:CANCEL" in message.attachments[0].get_payload(decode=True).decode()


def test_who_has_no_e_mail_address_is_to_be_telephoned():
    visit = promised()
    Customer.objects.update(email="")
    swept(cancelled(visit))

    call = Offer.objects.to_call().get()
    office, where = cast.signed_in(cast.odile()), reverse("scheduling:call", args=[call.pk])
    page = office.get(where).content.decode()
    assert "we do not come at the time we agreed on" in page
    assert "No other time of the season" not in page
    office.post(where, {"told": "yes"})
    assert not Offer.objects.to_call().exists()


def test_who_was_only_offered_a_time_or_has_an_address_is_not_telephoned():
    swept(cancelled(promised()))
    offered = spring.owed(Visit.objects.get().season)
    pencil_visit(visit=offered, technician=cast.ingrid(), starts_at=TEN, minutes=60, now=NOW)
    offer_visit(visit=offered, now=NOW)
    swept(cancelled(offered))

    assert not Offer.objects.to_call().exists()


def test_she_is_told_in_her_language():
    swept(cancelled(promised("es")))

    assert "El acuerdo de esta casa ha terminado." in message_of(last_letter()).body


def test_the_time_is_free_for_another():
    visit = cancelled(promised())
    other = spring.owed(visit.season)

    swept(visit)

    again = promise_visit(
        visit=other, technician=cast.ingrid(), starts_at=TEN, minutes=60, now=LATER
    )
    assert again.starts_at == TEN


def test_an_offer_that_waits_is_taken_back_without_a_cancelled_promise():
    visit = spring.owed(spring.season())
    pencil_visit(visit=visit, technician=spring.technician(), starts_at=TEN, minutes=60, now=NOW)
    offer = offer_visit(visit=visit, now=NOW)

    swept(cancelled(visit))

    offer.refresh_from_db()
    assert offer.answer == Answer.TAKEN_BACK
    assert last_letter().kind == "offer"


def test_a_second_sweep_changes_nothing_and_writes_nothing():
    visit = swept(cancelled(promised()))
    letters = Letter.objects.count()

    assert follow_agreements(now=LATER) == 0
    assert (swept(visit).version, Letter.objects.count()) == (visit.version, letters)


def test_what_was_carried_out_stays():
    visit = promised()
    Visit.objects.filter(pk=visit.pk).update(state=State.DONE)
    visit.owed_visit.closed, visit.owed_visit.closed_on = "done", NOW.date()
    visit.owed_visit.save()

    assert swept(visit).state == State.DONE


def test_a_term_that_lives_on_owes_its_visit_again():
    visit = swept(cancelled(promised()))
    owed = visit.owed_visit
    owed.closed, owed.closed_on, owed.why_waived = "", None, ""
    owed.save()

    assert swept(visit).state == State.OWED


def sold(visit: Visit) -> Customer:
    """The home of the visit passes to somebody new, an hour after she was promised the time."""
    buyer = factories.CustomerFactory(branch=cast.cedarburg(), name="Ben Castellan")
    with time_machine.travel(NOW + dt.timedelta(hours=1), tick=False):
        transfer(
            agreement=visit.owed_visit.agreement, to=buyer, on=NOW.date(), now=NOW, by=cast.odile()
        )
    return buyer


def test_who_sold_the_home_is_told_and_the_new_owner_is_owed_the_visit():
    visit = promised()
    seller = visit.owed_visit.home.customer

    buyer = sold(visit)

    assert swept(visit).state == State.OWED
    letter = last_letter()
    assert (letter.customer, letter.kind) == (seller, "promise_cancelled")
    assert "have passed to a new owner" in message_of(letter).body
    assert letter.facts["links"] == {}
    assert not buyer.letters.exists()


def test_a_time_that_the_new_owner_agreed_to_stays_hers():
    visit = promised()
    sold(visit)
    swept(visit)
    after = NOW + dt.timedelta(hours=2)
    visit = Visit.objects.get(pk=visit.pk)
    promise_visit(visit=visit, technician=cast.ingrid(), starts_at=TEN, minutes=60, now=after)

    assert swept(visit).state == State.PROMISED


def test_visits_of_running_agreements_are_left_alone():
    visit = promised()
    owe_visits(agreements=[visit.owed_visit.agreement])

    assert swept(visit).state == State.PROMISED
