"""The mail server goes and comes back; the server's clock jumps: each letter still goes once."""

import datetime as dt

import pytest
import time_machine

from letters import tasks
from letters.actions.send import claim_letters
from letters.models import Letter, LetterState
from reminders.tasks import decide_branch
from tests import cast, factories
from tests.access.world import World
from tests.letters.outbox import MORNING, reminder
from tests.letters.sink import mail_server
from tests.real.services import free_port

pytestmark = pytest.mark.django_db
DAY = dt.timedelta(days=1)


@pytest.fixture
def by_smtp(settings):
    settings.EMAIL_BACKEND, settings.EMAIL_HOST = "letters.mail.SmtpBackend", "127.0.0.1"
    settings.EMAIL_PORT = free_port()
    return settings


def states() -> set[str]:
    return set(Letter.objects.values_list("state", flat=True))


def test_letters_wait_for_a_mail_server_that_is_away_and_then_go_once(by_smtp):
    cast.letterhead()
    for number in range(5):
        email = f"c{number}@example.com"
        reminder(customer=factories.CustomerFactory(branch=cast.cedarburg(), email=email))
    with time_machine.travel(MORNING, tick=False):
        assert tasks.send_due() == 0
        assert states() == {LetterState.WAITING}

    with mail_server() as sink, time_machine.travel(MORNING + dt.timedelta(hours=2), tick=False):
        by_smtp.EMAIL_PORT = sink.port
        sent = [tasks.send_due() for _ in range(3)]

    assert sum(sent) == len(sink.taken) == 5
    assert len({mail["Message-ID"] for mail in sink.taken}) == 5
    assert states() == {LetterState.SENT}


def test_what_a_killed_sender_held_is_not_lost_when_the_clock_is_put_back():
    reminder()
    claim_letters(now=MORNING + 3 * DAY)  # its clock ran ahead; then it was killed

    with time_machine.travel(MORNING, tick=False):
        tasks.sweep()

    assert states() == {LetterState.SENT}


def test_a_living_sender_s_letters_stay_its_own_through_small_steps_of_the_clock():
    reminder()
    claim_letters(now=MORNING)

    for seconds in (-30, 30):
        with time_machine.travel(MORNING + dt.timedelta(seconds=seconds), tick=False):
            tasks.sweep()

    assert states() == {LetterState.CLAIMED}


def test_reminders_decided_on_a_clock_that_jumped_are_not_decided_twice():
    world = World()
    moments = [MORNING, MORNING + 2 * DAY, MORNING, MORNING + DAY, MORNING + 2 * DAY]
    counts = []
    for moment in moments:
        with time_machine.travel(moment, tick=False):
            decide_branch(world.home.customer.branch_id)
        counts.append(Letter.objects.count())
        occasions = list(Letter.objects.values_list("kind", "about", "occasion"))
        assert len(occasions) == len(set(occasions))
    assert counts[1] == counts[-1]
