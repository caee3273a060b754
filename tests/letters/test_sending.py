"""What goes out, what waits, and what stands in the way."""

import datetime as dt

import pytest
from django.core import mail

from letters.actions.send import BATCH, claim_letters, give_back, settle_abandoned
from letters.actions.stops import EVERYTHING, mark_address, stop_letters
from letters.actions.write import withdraw_letters
from letters.models import Letter, LetterState, Sender
from tests import cast
from tests.letters.outbox import HOUR, MORNING, again, notice, reminder, send_all

pytestmark = pytest.mark.django_db
NIGHT = MORNING + 13 * HOUR  # ten in the evening in Cedarburg
DAY = 24 * HOUR


def test_a_due_letter_is_sent_and_kept_as_it_was_sent():
    letter = reminder()

    assert send_all() == [LetterState.SENT]

    kept = again(letter)
    assert (kept.sent_at, kept.subject, kept.trouble) == (MORNING, mail.outbox[0].subject, "")
    assert kept.body == mail.outbox[0].body


def test_a_sent_letter_is_not_sent_again():
    reminder()
    send_all()

    assert send_all() == []
    assert len(mail.outbox) == 1


def test_a_letter_waits_until_it_is_due():
    reminder(due_at=MORNING + HOUR)

    assert send_all() == []
    assert send_all(MORNING + HOUR) == [LetterState.SENT]


def test_two_senders_never_get_the_same_letter():
    for _ in range(BATCH + 1):
        reminder()

    first, second = claim_letters(now=MORNING), claim_letters(now=MORNING)

    assert (len(first), len(second)) == (BATCH, 1)
    assert not {one.pk for one in first} & {one.pk for one in second}


def test_a_reminder_waits_for_the_end_of_the_night():
    letter = reminder()

    assert send_all(NIGHT) == [LetterState.WAITING]

    waiting = again(letter)
    assert (waiting.due_at, waiting.trouble) == (MORNING + 23 * HOUR, "quiet hours")


def test_who_is_on_the_way_says_so_at_any_hour():
    facts = {"technician": "Ingrid Solberg", "starts_at": (NIGHT + HOUR).isoformat()}
    notice(kind="on_the_way", due_at=NIGHT, facts=facts)

    assert send_all(NIGHT) == [LetterState.SENT]


def test_the_third_reminder_of_a_day_waits_for_tomorrow_morning():
    letters = [reminder() for _ in range(3)]

    states = send_all()

    assert sorted(states) == [LetterState.SENT, LetterState.SENT, LetterState.WAITING]
    late = Letter.objects.get(state=LetterState.WAITING)
    assert (late.due_at, late.trouble) == (MORNING + 23 * HOUR, "enough letters for one day")
    assert late.pk in {letter.pk for letter in letters}


def test_a_letter_about_a_visit_is_not_counted_as_a_reminder():
    reminder()
    reminder()
    notice()

    assert send_all() == [LetterState.SENT] * 3


def test_a_letter_that_is_too_late_to_be_of_use_is_withdrawn():
    letter = reminder()

    send_all(MORNING + 11 * DAY)

    assert (again(letter).state, mail.outbox) == (LetterState.WITHDRAWN, [])


def test_nothing_goes_while_letters_are_paused():
    reminder()
    Sender.objects.update(paused=True)

    assert send_all() == []


def test_a_stopped_kind_of_reminder_is_withdrawn_and_a_visit_is_still_told():
    letter, told = reminder(), notice()
    stop_letters(customer=cast.nora(), kind="rinse", now=MORNING)

    send_all()

    assert again(letter).state == LetterState.WITHDRAWN
    assert again(told).state == LetterState.SENT


def test_who_stopped_everything_gets_nothing():
    letter = notice()
    stop_letters(customer=cast.nora(), kind=EVERYTHING, now=MORNING)

    send_all()

    assert again(letter).trouble == "the customer stopped these letters"


def test_nothing_is_sent_to_a_bad_address_however_it_is_spelt():
    letter = reminder(to_email="Nora@Example.com")
    mark_address(email="nora@example.com", why="bounced", words="550", now=MORNING)

    send_all()

    assert (again(letter).state, mail.outbox) == (LetterState.FAILED, [])


def test_a_missing_fact_is_named_and_the_next_letter_goes():
    broken, whole = reminder(kind="filter", facts={"why": "Two dogs."}), reminder()

    send_all()

    assert again(broken).state == LetterState.FAILED
    assert again(broken).trouble == "the letter lacks size, links.home"
    assert again(whole).state == LetterState.SENT


def test_a_fact_that_cannot_be_read_fails_visibly():
    letter = notice(facts={"check": "cooling", "old_starts_at": "next week"})

    send_all()

    assert again(letter).state == LetterState.FAILED
    assert "next week" in again(letter).trouble


def test_a_letter_withdrawn_in_a_senders_hands_is_not_sent():
    letter = notice()
    claimed = claim_letters(now=MORNING)
    withdraw_letters(about="visit:17", why="the visit was moved")

    assert claimed[0].pk == letter.pk
    assert send_all() == []
    assert again(letter).trouble == "the visit was moved"


def test_a_sender_gives_back_what_it_did_not_get_to():
    reminder()

    give_back(letters=claim_letters(now=MORNING))

    assert send_all() == [LetterState.SENT]


class TestAKilledSender:
    """Its lease runs out, and nobody hears of it any more."""

    LATER = MORNING + dt.timedelta(minutes=5)

    def test_what_it_had_only_claimed_goes_back(self):
        letter = reminder()
        claim_letters(now=MORNING)

        assert settle_abandoned(now=self.LATER) == {"back": 1, "again": 0, "unsure": 0}
        assert again(letter).state == LetterState.WAITING

    def test_a_reminder_that_it_was_sending_becomes_unsure(self):
        letter = self.cut_off(reminder())

        assert settle_abandoned(now=self.LATER)["unsure"] == 1
        assert again(letter).state == LetterState.UNSURE

    def test_a_letter_about_a_visit_goes_again_under_the_same_message_id(self):
        letter = self.cut_off(notice())

        assert settle_abandoned(now=self.LATER)["again"] == 1
        assert send_all(self.LATER) == [LetterState.SENT]
        assert mail.outbox[0].extra_headers["Message-ID"] == letter.message_id

    def test_one_that_still_lives_keeps_its_letters(self):
        self.cut_off(reminder())

        assert settle_abandoned(now=MORNING) == {"back": 0, "again": 0, "unsure": 0}

    def cut_off(self, letter: Letter) -> Letter:
        claim_letters(now=MORNING)
        Letter.objects.filter(pk=letter.pk).update(state=LetterState.SENDING)
        return letter
