"""Letters over a real connection: taken, refused, put off, cut off; and what arrives."""

import datetime as dt
import ssl
from email.utils import parseaddr

import pytest

from letters.hours import RETRY_AFTER_MIN
from letters.mail import SmtpBackend, Unreachable
from letters.models import BadAddress, LetterState
from tests import cast, factories
from tests.letters.outbox import INVITATION, MORNING, again, notice, reminder, send_all
from tests.letters.sink import mail_server
from tests.real.services import free_port

pytestmark = pytest.mark.django_db
FULL = "450 4.2.1 mailbox busy"


def sent(letter, **answers):
    """The letter after one try at a server that answers so, and the server."""
    with mail_server(**answers) as sink:
        send_all(mail=sink.connection())
    return again(letter), sink


def part(message, content_type):
    return next(one for one in message.walk() if one.get_content_type() == content_type)


def words(message, content_type="text/plain"):
    return part(message, content_type).get_payload(decode=True).decode()


def test_a_letter_arrives_with_text_and_html_and_the_postal_address_in_both():
    letter, sink = sent(reminder())

    (mail,) = sink.taken
    assert letter.state == LetterState.SENT
    for kind in ("text/plain", "text/html"):
        assert "1 Mill Street, Cedarburg, WI 53012" in words(mail, kind)


def test_a_reminder_carries_the_headers_by_which_mail_programs_stop_it():
    letter, sink = sent(reminder())

    (mail,) = sink.taken
    assert mail["Message-ID"] == letter.message_id
    assert mail["Auto-Submitted"] == "auto-generated"
    assert mail["List-Unsubscribe-Post"] == "List-Unsubscribe=One-Click"
    assert mail["List-Unsubscribe"].endswith("/one-click/?kind=rinse>")


def test_a_letter_about_a_visit_cannot_be_stopped_by_one_click():
    _, sink = sent(notice())

    assert sink.taken[0]["List-Unsubscribe"] is None


@pytest.mark.parametrize("method", ["REQUEST", "CANCEL"])
def test_an_invitation_names_its_method_inside_and_outside(method):
    _, sink = sent(notice(invitation=INVITATION | {"method": method}))

    calendar = part(sink.taken[0], "text/calendar")
    assert calendar.get_param("method") == method
    assert f"METHOD:{method}" in calendar.get_payload(decode=True).decode()


def test_what_cannot_be_delivered_comes_back_to_the_bounce_mailbox(settings):
    settings.BOUNCE_ADDRESS = "bounces@example.com"

    _, sink = sent(reminder())

    assert sink.senders == ["bounces@example.com"]
    assert parseaddr(sink.taken[0]["From"])[1] == "office@example.com"


def test_a_refused_address_is_given_up_at_once_and_marked():
    letter, _ = sent(reminder(), answers=["550 5.1.1 no such user"])

    assert (letter.state, letter.trouble) == (LetterState.FAILED, "550 5.1.1 no such user")
    assert BadAddress.objects.get().email == "nora@example.com"


def test_a_letter_refused_by_policy_says_nothing_against_the_address():
    letter, _ = sent(reminder(), answers=["550 5.7.1 blocked"])

    assert letter.state == LetterState.FAILED
    assert not BadAddress.objects.exists()


@pytest.mark.parametrize("answers", [{"answers": [FULL]}, {"text_answers": [FULL]}])
def test_a_busy_server_is_tried_again_a_little_later(answers):
    letter, _ = sent(reminder(), **answers)

    assert (letter.state, letter.attempt, letter.trouble) == ("waiting", 1, FULL)
    assert letter.due_at == MORNING + dt.timedelta(minutes=RETRY_AFTER_MIN[0])


def test_after_the_last_try_it_is_given_up_visibly():
    letter, _ = sent(reminder(attempt=len(RETRY_AFTER_MIN)), answers=[FULL])

    assert letter.state == LetterState.FAILED


def test_a_line_that_breaks_before_the_text_cannot_have_sent_it():
    letter, sink = sent(reminder(), answers=["drop"])

    assert (letter.state, sink.taken) == (LetterState.WAITING, [])


def test_a_line_that_breaks_after_the_text_leaves_a_reminder_unsure():
    letter, _ = sent(reminder(), text_answers=["drop"])

    assert letter.state == LetterState.UNSURE


def test_a_line_that_breaks_after_the_text_sends_a_visits_letter_again():
    letter, _ = sent(notice(), text_answers=["drop"])

    assert letter.state == LetterState.WAITING


def test_the_next_letter_of_a_batch_gets_a_fresh_connection():
    first, second = reminder(), notice()

    with mail_server(answers=["drop"]) as sink:
        states = send_all(mail=sink.connection())

    assert states == [LetterState.WAITING, LetterState.SENT]
    assert {again(first).state, again(second).state} == set(states)


def test_without_a_server_one_letter_loses_one_try_and_the_others_none():
    letter, mail = reminder(), mail_server_that_is_away()

    with pytest.raises(Unreachable):
        send_all(mail=mail)

    assert (again(letter).state, again(letter).attempt) == (LetterState.WAITING, 1)


def mail_server_that_is_away():
    with mail_server() as sink:
        sink.port = free_port()
        return sink.connection()


def test_a_name_cannot_add_a_header_or_a_link():
    name = "Nora\r\nBcc: all@example.com [x](http://example.net) <b>"
    customer = factories.CustomerFactory(branch=cast.cedarburg(), name=name, email="n@example.com")

    _, sink = sent(notice(customer=customer, invitation=INVITATION))

    (mail,) = sink.taken
    assert mail["Bcc"] is None
    assert 'href="http://example.net"' not in words(mail, "text/html")
    assert "[x](http://example.net) <b>," in words(mail)


@pytest.mark.parametrize("spoken", [{"use_tls": True}, {"use_ssl": True}])
def test_a_mail_server_has_to_prove_its_name(spoken):
    proof = SmtpBackend(host="mail.example.com", **spoken).ssl_context
    assert (proof.verify_mode, proof.check_hostname) == (ssl.CERT_REQUIRED, True)
