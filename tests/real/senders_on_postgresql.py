"""Several senders at once. Run by test_on_postgresql.py, where they truly meet."""

import threading

import pytest
from django.core.mail import get_connection
from django.db import connections

from letters.actions.send import BATCH, claim_letters, send_letter
from letters.models import Letter, LetterState
from tests import cast, factories
from tests.letters.outbox import MORNING
from tests.letters.sink import mail_server

pytestmark = pytest.mark.django_db(transaction=True)


def at_once(count: int, act) -> list:
    """The act in so many threads at the same moment; their results."""
    gate, results = threading.Barrier(count), []

    def run():
        try:
            gate.wait()
            results.append(act())
        finally:
            connections.close_all()

    threads = [threading.Thread(target=run) for _ in range(count)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return results


def due(count: int, customer=None) -> None:
    cast.letterhead()
    for _ in range(count):
        factories.LetterFactory(
            customer=customer or factories.CustomerFactory(branch=cast.cedarburg())
        )


def test_senders_that_claim_at_once_share_the_letters_and_wait_for_none():
    due(4 * BATCH)

    claimed = at_once(4, lambda: [one.pk for one in claim_letters(now=MORNING)])

    assert [len(batch) for batch in claimed] == [BATCH] * 4
    assert len({pk for batch in claimed for pk in batch}) == 4 * BATCH


def test_four_senders_send_each_letter_once():
    due(100)

    def send_until_none():
        mail = get_connection("letters.mail.SmtpBackend", host="127.0.0.1", port=sink.port)
        while letters := claim_letters(now=MORNING):
            for letter in letters:
                send_letter(letter=letter, mail=mail, now=MORNING)
        mail.close()

    with mail_server() as sink:
        at_once(4, send_until_none)

    assert len(sink.taken) == len({mail["Message-ID"] for mail in sink.taken}) == 100
    assert Letter.objects.filter(state=LetterState.SENT).count() == 100


def test_two_senders_cannot_both_send_the_last_reminder_of_a_day():
    due(6, cast.nora())
    letters = claim_letters(now=MORNING)

    def send_one():
        return send_letter(letter=letters.pop(), mail=get_connection(), now=MORNING)

    states = at_once(6, send_one)

    assert states.count(LetterState.SENT) == cast.letterhead().daily_limit
