"""What a sender does when it is woken, and what the sweep finds."""

import pytest
import time_machine

from letters import tasks
from letters.actions.send import claim_letters
from letters.models import Letter, LetterState
from tests.letters.outbox import MORNING, again, reminder
from tests.letters.sink import mail_server
from tests.real.services import free_port

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("_in_april")]


@pytest.fixture
def _in_april():
    with time_machine.travel(MORNING, tick=True):
        yield


@pytest.fixture
def by_smtp(settings):
    settings.EMAIL_BACKEND, settings.EMAIL_HOST = "letters.mail.SmtpBackend", "127.0.0.1"
    settings.EMAIL_PORT = free_port()
    return settings


def test_a_woken_sender_sends_what_is_due(by_smtp):
    reminder()

    with mail_server() as sink:
        by_smtp.EMAIL_PORT = sink.port
        assert tasks.send_due() == 1

    assert len(sink.taken) == 1


def test_with_the_mail_server_away_one_letter_loses_one_try(by_smtp):
    for _ in range(3):
        reminder()

    assert tasks.send_due() == 0

    assert sorted(Letter.objects.values_list("attempt", flat=True)) == [0, 0, 1]
    assert set(Letter.objects.values_list("state", flat=True)) == {LetterState.WAITING}


def test_a_sender_whose_time_is_up_gives_back_the_rest(monkeypatch):
    monkeypatch.setattr(tasks, "LONGEST_S", -1)
    letter = reminder()

    assert tasks.send_due() == 0
    assert (again(letter).state, again(letter).claim) == (LetterState.WAITING, "")


def test_the_sweep_sends_what_a_killed_sender_had_claimed():
    letter = reminder()
    claim_letters(now=MORNING)

    with time_machine.travel(MORNING.replace(minute=10)):
        tasks.sweep()

    assert again(letter).state == LetterState.SENT
