"""Bounces and complaints: believed only about a letter of ours."""

import mailbox
from base64 import b64encode
from io import StringIO

import pytest
from anymail.signals import AnymailTrackingEvent
from django.core.management import CommandError, call_command

from letters.actions.stops import clear_bad_address, take_report
from letters.bounces import Bounce, Complaint
from letters.mailboxes import read_mailbox
from letters.models import BadAddress, LetterState
from letters.webhooks import take_event
from tests.letters.imap_server import imap_server
from tests.letters.outbox import MORNING, again, reminder, send_all
from tests.letters.test_bounces import report

pytestmark = pytest.mark.django_db
FAILED = """Reporting-MTA: dns; mail.example.com

Final-Recipient: rfc822; somebody.else@example.com
Action: failed
Status: 5.1.1
Diagnostic-Code: smtp; 550 5.1.1 no such user"""


@pytest.fixture
def letter():
    """A letter that was sent to Nora."""
    kept = reminder()
    send_all()
    return kept


def bounce(letter_id, permanent=True):
    return Bounce("x@example.com", permanent, False, "5.1.1", "550 no such user", letter_id)


def bad() -> list[str]:
    return list(BadAddress.objects.values_list("email", flat=True))


def test_a_bounce_of_our_letter_marks_the_address_that_we_wrote_to(letter):
    take_report(report=bounce(letter.message_id), now=MORNING)

    assert bad() == ["nora@example.com"]
    assert again(letter).trouble == "The address does not exist: 550 no such user"


@pytest.mark.parametrize("name", ["<letter.made-up@127.0.0.1>", None, ""])
def test_a_bounce_of_no_letter_of_ours_is_not_believed(letter, name):
    assert take_report(report=bounce(name), now=MORNING) is None
    assert bad() == []


def test_a_bounce_of_a_letter_that_never_left_is_not_believed():
    letter = reminder(state=LetterState.WITHDRAWN)

    assert take_report(report=bounce(letter.message_id), now=MORNING) is None


def test_a_mailbox_that_is_full_today_is_no_bad_address(letter):
    take_report(report=bounce(letter.message_id, permanent=False), now=MORNING)

    assert bad() == []


def test_who_calls_a_letter_junk_gets_no_more(letter):
    take_report(report=Complaint("", "abuse", letter.message_id), now=MORNING)

    assert BadAddress.objects.get().why == BadAddress.Why.COMPLAINED


def test_an_address_that_works_after_all_is_written_to_again(letter):
    address = take_report(report=bounce(letter.message_id), now=MORNING)

    clear_bad_address(address=address)

    assert bad() == []


class TestAMaildir:
    @pytest.fixture
    def folder(self, tmp_path, letter):
        box = mailbox.Maildir(tmp_path / "bounces")
        quoted = f"Message-ID: {letter.message_id}\nTo: nora@example.com\n"
        box.add(report("message/delivery-status", FAILED, quoted=quoted))
        box.add(b"From: pat@example.com\nSubject: Thanks\n\nSee you on Tuesday.\n")
        return f"maildir://{tmp_path}/bounces"

    def test_its_bounces_are_read_once(self, folder):
        first, second = (read_mailbox(folder, now=MORNING) for _ in range(2))

        assert (first.read, first.believed) == (2, 1)
        assert second.read == 0
        assert bad() == ["nora@example.com"]

    def test_the_command_says_what_it_found(self, folder, settings):
        settings.BOUNCES_URL, words = folder, StringIO()

        call_command("read_bounces", stdout=words)

        assert words.getvalue() == "2 mails read, 1 bad addresses noted\n"

    def test_a_folder_that_is_not_there_is_said_so(self):
        with pytest.raises(CommandError, match="cannot be read"):
            call_command("read_bounces", url="maildir:///nowhere/at/all")


class TestAnImapFolder:
    def test_its_bounces_are_read_once(self, letter):
        quoted = f"Message-ID: {letter.message_id}\n"
        mails = [report("message/delivery-status", FAILED, quoted=quoted), b"Subject: hi\r\n\r\nhi"]
        with imap_server(*mails) as host:
            url = f"imap://bounces:let%20me%20in@{host}/INBOX"
            first, second = (read_mailbox(url, now=MORNING) for _ in range(2))

        assert ((first.read, first.believed), second.read) == ((2, 1), 0)
        assert bad() == ["nora@example.com"]

    def test_a_wrong_password_is_said_without_showing_it(self):
        with imap_server() as host, pytest.raises(CommandError) as refusal:
            call_command("read_bounces", url=f"imap://bounces:secret@{host}")

        assert "wrong name or password" in str(refusal.value)
        assert "secret" not in str(refusal.value)


def test_an_unknown_mailbox_address_is_refused():
    with pytest.raises(ValueError, match="maildir://"):
        read_mailbox("pop3://example.com", now=MORNING)


class TestAMailProvider:
    def event(self, letter, **fields):
        kept = {"event_type": "bounced", "metadata": {"letter": letter.message_id}}
        return AnymailTrackingEvent(**kept | fields)

    def test_a_bounce_is_believed(self, letter):
        take_event(event=self.event(letter, mta_response="550 gone"))

        assert BadAddress.objects.get().words == "550 gone"

    def test_a_complaint_is_believed(self, letter):
        take_event(event=self.event(letter, event_type="complained"))

        assert BadAddress.objects.get().why == BadAddress.Why.COMPLAINED

    @pytest.mark.parametrize("event_type", ["delivered", "opened", "deferred"])
    def test_other_events_say_nothing(self, letter, event_type):
        take_event(event=self.event(letter, event_type=event_type))

        assert bad() == []

    def test_a_bounce_for_spam_says_nothing_against_the_address(self, letter):
        take_event(event=self.event(letter, reject_reason="spam"))

        assert bad() == []

    @pytest.mark.urls("tests.letters.mail_urls")
    @pytest.mark.parametrize(("secret", "status", "marked"), [("right", 200, 1), ("wrong", 400, 0)])
    def test_only_who_knows_the_secret_is_heard(
        self, letter, client, settings, secret, status, marked
    ):
        settings.ANYMAIL = {"WEBHOOK_SECRET": "mail:right"}
        told = {
            "RecordType": "Bounce", "Type": "HardBounce", "TypeCode": 1,
            "Email": "nora@example.com", "Details": "550 no such user",
            "BouncedAt": "2027-04-01T15:00:00Z", "Metadata": {"letter": letter.message_id},
        }  # fmt: skip

        answer = client.post(
            "/letters/anymail/postmark/tracking/", told, content_type="application/json",
            headers={"authorization": f"Basic {b64encode(f'mail:{secret}'.encode()).decode()}"},
        )  # fmt: skip

        assert (answer.status_code, len(bad())) == (status, marked)
