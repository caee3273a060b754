"""Letters are written in the caller's transaction, once an occasion, and can be taken back."""

import re

import pytest

from letters.actions import write
from letters.actions.write import (
    believe_unsure_letter,
    retry_failed_letter,
    send_unsure_letter,
    set_failed_letter_aside,
    withdraw_letters,
    write_letter,
)
from letters.models import Letter, LetterState
from tests import cast, factories
from tests.letters.outbox import HOUR, MORNING, VISIT_FACTS, again, reminder, send_all

pytestmark = pytest.mark.django_db


@pytest.fixture
def woken(monkeypatch) -> list[str]:
    tasks: list[str] = []
    monkeypatch.setattr(write, "wake", lambda task: tasks.append(task))
    return tasks


def written(**fields) -> Letter | None:
    kept = {"kind": "promise_cancelled", "about": "visit:17", "occasion": "2", "now": MORNING}
    return write_letter(**{"customer": cast.nora(), "facts": VISIT_FACTS, **kept} | fields)


def test_a_letter_waits_and_wakes_a_sender_once_it_is_committed(
    woken, django_capture_on_commit_callbacks
):
    with django_capture_on_commit_callbacks(execute=True):
        letter = written()
        assert woken == []

    assert (letter.state, woken) == (LetterState.WAITING, ["letters.send_due"])


def test_many_letters_of_one_commit_wake_one_sender(woken, django_capture_on_commit_callbacks):
    with django_capture_on_commit_callbacks(execute=True):
        for number in range(5):
            written(occasion=f"{number}")

    assert woken == ["letters.send_due"]


def test_a_letter_for_later_wakes_nobody(woken, django_capture_on_commit_callbacks):
    with django_capture_on_commit_callbacks(execute=True):
        written(due_at=MORNING + HOUR)

    assert woken == []


def test_the_same_letter_is_written_once():
    first, second = written(), written()

    assert first == second
    assert Letter.objects.count() == 1


def test_the_next_occasion_is_another_letter():
    written()
    written(occasion="3")

    assert Letter.objects.count() == 2


def test_who_has_no_address_gets_no_letter():
    nobody = factories.CustomerFactory(branch=cast.cedarburg(), email="")

    assert written(customer=nobody) is None


def test_an_unknown_kind_is_refused():
    with pytest.raises(ValueError, match="no letter kind"):
        written(kind="advert")


def test_a_letters_name_tells_nothing_about_it():
    first, second = written(), written(occasion="3")

    assert first.message_id != second.message_id
    assert re.fullmatch(r"<letter\.[\w-]{20}@127\.0\.0\.1>", first.message_id)


def test_what_is_not_sent_can_be_withdrawn_and_what_is_sent_cannot():
    cast.letterhead()
    sent = written()
    send_all()
    waiting = written(occasion="3")

    assert withdraw_letters(about="visit:17", why="moved") == 1
    assert (again(sent).state, again(waiting).state) == ("sent", "withdrawn")


def test_only_one_kind_and_its_occasions_can_be_withdrawn():
    about = {"about": "home:1", "why": "done"}
    one = reminder(kind="filter", about="home:1", occasion="filter:1:2027-04-01")
    other = reminder(kind="filter", about="home:1", occasion="filter:11:2027-04-01")

    assert withdraw_letters(**about, kind="cover_off") == 0
    assert withdraw_letters(**about, kind="filter", occasions="filter:1:") == 1
    assert (again(one).state, again(other).state) == ("withdrawn", "waiting")


class TestTheOfficeSettles:
    def test_an_unsure_letter_that_is_to_go_goes_however_late(self):
        letter = reminder(state=LetterState.UNSURE)

        assert send_unsure_letter(letter=letter, now=MORNING + 500 * HOUR)
        assert send_all(MORNING + 504 * HOUR) == [LetterState.SENT]

    def test_an_unsure_letter_that_arrived_counts_as_sent(self):
        letter = reminder(state=LetterState.UNSURE)

        assert believe_unsure_letter(letter=letter, now=MORNING)
        assert (again(letter).state, again(letter).sent_at) == (LetterState.SENT, MORNING)

    def test_a_second_press_changes_nothing(self):
        letter = reminder(state=LetterState.UNSURE)
        believe_unsure_letter(letter=letter, now=MORNING)

        assert not send_unsure_letter(letter=letter, now=MORNING)
        assert again(letter).state == LetterState.SENT

    def test_a_letter_given_up_is_tried_at_the_address_that_the_customer_has_now(self):
        letter = reminder(state=LetterState.FAILED, to_email="old@example.com", attempt=6)

        assert retry_failed_letter(letter=letter, now=MORNING)
        assert (again(letter).to_email, again(letter).attempt) == ("nora@example.com", 0)

    def test_a_letter_given_up_can_be_set_aside(self):
        letter = reminder(state=LetterState.FAILED)

        assert set_failed_letter_aside(letter=letter, now=MORNING)
        assert again(letter).state == LetterState.WITHDRAWN
