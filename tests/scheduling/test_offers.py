"""Offers: sent, answered, followed up; two customers who want the same time."""

import datetime as dt

import pytest

from letters.models import Letter
from scheduling.actions.offers import (
    accept_offer,
    ask_for_a_call,
    choose_slot,
    follow_up_offers,
    keep_while_choosing,
    offer_visit,
    offer_visits,
    tell_of_tomorrow,
)
from scheduling.actions.slots import SlotRefused, SlotTaken
from scheduling.actions.visits import hold_visit, pencil_visit, promise_visit, unplace_visit
from scheduling.models import Answer, Offer, State, Visit
from scheduling.openings import free_slots
from tests.scheduling import spring

pytestmark = pytest.mark.django_db
NOW = spring.at(dt.date(2027, 5, 20), 10)
TUESDAY = spring.MONDAY + dt.timedelta(days=1)


def pencilled(season=None, hour=13, **home) -> Visit:
    """A visit pencilled on Tuesday."""
    season = season or spring.season()
    return pencil_visit(
        visit=spring.owed(season, **home),
        technician=spring.technician(),
        starts_at=spring.at(TUESDAY, hour),
        minutes=60,
        now=NOW,
    )


def kinds() -> list[str]:
    return list(Letter.objects.order_by("pk").values_list("kind", flat=True))


def test_an_offer_is_a_letter_with_one_link_and_a_day_to_answer_by():
    offer = offer_visit(visit=pencilled(), now=NOW)
    letter = Letter.objects.get()
    assert (letter.kind, offer.visit.state) == ("offer", State.OFFERED)
    assert list(letter.facts["links"]) == ["answer"]
    assert offer.answer_by == NOW + dt.timedelta(days=3)


def test_a_customer_without_an_address_goes_on_the_telephone_list():
    visit = pencilled()
    customer = visit.owed_visit.home.customer
    customer.email = ""
    customer.save()
    offer_visit(visit=Visit.objects.get(pk=visit.pk), now=NOW)
    assert Offer.objects.to_call().get().why_call == "no e-mail address on file"


def test_who_asked_for_a_call_before_is_offered_a_time_and_still_to_be_called():
    visit = pencilled()
    ask_for_a_call(visit=visit, why="asked for a call", now=NOW)
    offer = offer_visit(visit=visit, now=NOW)
    assert Offer.objects.to_call().get() == offer
    assert Offer.objects.open().get().why_call == "asked for a call"


def test_a_call_about_a_time_that_was_taken_back_ends_with_the_booking():
    visit = pencilled()
    offer_visit(visit=visit, now=NOW)
    ask_for_a_call(visit=visit, why="asked for a call", now=NOW)
    unplace_visit(visit=visit, now=NOW)
    assert Offer.objects.to_call().exists()
    promise_visit(
        visit=visit, technician=spring.technician(), starts_at=spring.at(TUESDAY, 14),
        minutes=60, now=NOW,
    )  # fmt: skip
    assert not Offer.objects.to_call().exists()


def test_accepting_promises_and_confirms_with_an_invitation():
    visit = pencilled()
    offer_visit(visit=visit, now=NOW)
    accept_offer(visit=visit, now=NOW)
    letter = Letter.objects.get(kind="promise_confirmed")
    assert (visit.state, Offer.objects.get().answer) == (State.PROMISED, Answer.ACCEPTED)
    assert (letter.invitation["method"], letter.invitation["sequence"]) == ("REQUEST", 0)


def test_accepting_twice_is_accepting_once():
    visit = pencilled()
    offer_visit(visit=visit, now=NOW)
    accept_offer(visit=visit, now=NOW)
    accept_offer(visit=visit, now=NOW)
    assert kinds().count("promise_confirmed") == 1


def test_an_offer_that_the_office_took_back_cannot_be_accepted():
    visit = pencilled()
    offer_visit(visit=visit, now=NOW)
    unplace_visit(visit=visit, now=NOW)
    with pytest.raises(SlotTaken, match="no longer offered"):
        accept_offer(visit=visit, now=NOW)


def test_an_unsent_letter_is_withdrawn_when_the_visit_changes():
    visit = pencilled()
    offer_visit(visit=visit, now=NOW)
    unplace_visit(visit=visit, now=NOW)
    assert Letter.objects.get().state == "withdrawn"


def test_a_promise_that_moves_raises_its_sequence_and_tells_of_both_times():
    visit = pencilled()
    promise_visit(
        visit=visit, technician=visit.technician, starts_at=visit.starts_at, minutes=60, now=NOW
    )
    old = visit.starts_at
    promise_visit(
        visit=visit,
        technician=visit.technician,
        starts_at=spring.at(TUESDAY, 15),
        minutes=60,
        now=NOW,
    )
    letter = Letter.objects.get(kind="promise_moved")
    assert (letter.invitation["sequence"], letter.facts["old_starts_at"]) == (1, old.isoformat())


def test_a_cancelled_promise_takes_itself_out_of_the_calendar():
    visit = pencilled()
    promise_visit(
        visit=visit, technician=visit.technician, starts_at=visit.starts_at, minutes=60, now=NOW
    )
    hold_visit(visit=visit, why="A cold week is coming", release="A warm day", now=NOW)
    letter = Letter.objects.get(kind="promise_cancelled")
    assert (letter.invitation["method"], letter.invitation["sequence"]) == ("CANCEL", 1)


def test_free_times_are_free_warm_and_in_the_customers_half_days():
    season = spring.season()
    pencilled(season, hour=13)
    slots = free_slots(spring.owed(season), now=NOW)
    assert len(slots) == 6
    assert all(slot.warmth >= season.branch.least_warmth for slot in slots)
    taken = (spring.at(TUESDAY, 13), spring.at(TUESDAY, 14))
    assert not any(s.starts_at < taken[1] and s.ends_at > taken[0] for s in slots)


def test_of_two_customers_who_want_the_same_time_one_gets_it():
    season = spring.season()
    spring.technician()
    first, second = spring.owed(season), spring.owed(season)
    slot = free_slots(first, now=NOW)[0]
    keep_while_choosing(visit=first, slot=slot, now=NOW)
    with pytest.raises(SlotTaken, match="just choosing that time"):
        keep_while_choosing(visit=second, slot=slot, now=NOW)
    assert slot.starts_at not in [s.starts_at for s in free_slots(second, now=NOW)]


def test_a_kept_time_is_promised_when_it_is_confirmed():
    season = spring.season()
    spring.technician()
    visit = spring.owed(season)
    slot = free_slots(visit, now=NOW)[0]
    keep_while_choosing(visit=visit, slot=slot, now=NOW)
    choose_slot(visit=visit, now=NOW + dt.timedelta(minutes=9))
    assert (visit.state, visit.starts_at) == (State.PROMISED, slot.starts_at)


def test_a_time_that_was_kept_too_long_is_free_again():
    season = spring.season()
    spring.technician()
    visit, other = spring.owed(season), spring.owed(season)
    slot = free_slots(visit, now=NOW)[0]
    keep_while_choosing(visit=visit, slot=slot, now=NOW)
    later = NOW + dt.timedelta(minutes=11)
    keep_while_choosing(visit=other, slot=slot, now=later)
    with pytest.raises(SlotTaken, match="ten minutes are over"):
        choose_slot(visit=visit, now=later)


def test_no_answer_brings_a_second_letter_and_then_the_telephone_list():
    visit = pencilled()
    visit.starts_at += dt.timedelta(days=14)
    visit.ends_at += dt.timedelta(days=14)
    visit.save()
    offer_visit(visit=visit, now=NOW)
    assert follow_up_offers(now=NOW + dt.timedelta(days=3, hours=1)) == (1, 0)
    assert follow_up_offers(now=NOW + dt.timedelta(days=6, hours=2)) == (0, 1)
    assert follow_up_offers(now=NOW + dt.timedelta(days=7)) == (0, 0)
    assert kinds() == ["offer", "second_offer"]
    assert Offer.objects.to_call().get().why_call == "no answer to two letters"


def test_a_customer_may_ask_for_a_call():
    visit = pencilled()
    offer_visit(visit=visit, now=NOW)
    ask_for_a_call(visit=visit, why="asked for a call", now=NOW)
    assert Offer.objects.to_call().get().visit == visit


def test_a_promise_on_the_telephone_takes_the_customer_off_the_list():
    visit = pencilled()
    offer_visit(visit=visit, now=NOW)
    ask_for_a_call(visit=visit, why="asked for a call", now=NOW)
    promise_visit(
        visit=visit, technician=visit.technician, starts_at=visit.starts_at, minutes=60, now=NOW
    )
    assert not Offer.objects.to_call().exists()


def test_a_time_in_the_past_is_not_offered():
    visit = pencilled()
    with pytest.raises(SlotRefused, match="time has passed"):
        offer_visit(visit=visit, now=visit.starts_at + dt.timedelta(minutes=1))


def test_a_hundred_offers_leave_out_the_one_that_changed():
    season = spring.season()
    first, second = pencilled(season, 9), pencilled(season, 11)
    stale = Visit.objects.get(pk=second.pk)
    unplace_visit(visit=second, now=NOW)
    assert [offer.visit for offer in offer_visits(visits=[first, stale], now=NOW)] == [first]


def test_the_day_before_is_told_once_in_the_afternoon():
    visit = pencilled()
    promise_visit(
        visit=visit, technician=visit.technician, starts_at=visit.starts_at, minutes=60, now=NOW
    )
    tell_of_tomorrow(now=spring.at(spring.MONDAY, 9))
    assert "day_before" not in kinds()
    for minute in (0, 10):
        tell_of_tomorrow(now=spring.at(spring.MONDAY, 14, minute))
    assert kinds().count("day_before") == 1


def test_the_time_that_a_visit_has_is_not_among_its_other_times():
    visit = pencilled()
    assert visit.starts_at not in [slot.starts_at for slot in free_slots(visit, now=NOW)]


def test_in_a_full_season_pencilled_visits_give_way_to_a_customer_who_chooses():
    season = spring.season(starts_on=TUESDAY, ends_on=TUESDAY)
    others = [pencilled(season, hour) for hour in (8, 9, 10, 11, 13, 14, 15)]
    visit = spring.owed(season)
    slot = free_slots(visit, now=NOW)[0]
    keep_while_choosing(visit=visit, slot=slot, now=NOW)
    choose_slot(visit=visit, now=NOW)
    moved = [v for v in Visit.objects.filter(pk__in=[o.pk for o in others]) if v.state == "owed"]
    assert visit.state == State.PROMISED
    assert 1 <= len(moved) <= 2
    assert moved[0].why == "Its pencilled time went to a customer; plan again."


def test_a_promise_never_gives_way():
    season = spring.season(starts_on=TUESDAY, ends_on=TUESDAY)
    for hour in (8, 9, 10, 11, 12, 13, 14, 15):
        promise_visit(
            visit=spring.owed(season),
            technician=spring.technician(),
            starts_at=spring.at(TUESDAY, hour),
            minutes=60,
            now=NOW,
        )
    assert free_slots(spring.owed(season), now=NOW) == []
