"""Mail that came back, as mail systems write it, and mail that only looks like it."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from letters.bounces import Bounce, Complaint, read_bounce

OURS = "<letter.k3Xq@redbud.example.com>"
QUOTED = f"From: office@example.com\nTo: Pat <pat@example.com>\nMessage-ID: {OURS}\n"


def report(kind, fields, quoted=QUOTED, quoted_type="text/rfc822-headers", head="") -> bytes:
    """A multipart/report of RFC 6522: words for people, fields for us, and our letter quoted."""
    return f"""From: mailer-daemon@mail.example.com
To: bounces@redbud.example.com
{head}MIME-Version: 1.0
Content-Type: multipart/report; report-type={kind.split("/")[1]}; boundary="=edge"

--=edge
Content-Type: text/plain

Your letter could not be delivered.
--=edge
Content-Type: {kind}

{fields}
--=edge
Content-Type: {quoted_type}

{quoted}
--=edge--
""".replace("\n", "\r\n").encode()


def bounce(fields, **rest):
    per_message = "Reporting-MTA: dns; mail.example.com\nArrival-Date: Thu, 1 Apr 2027 10:00:00 +0"
    return read_bounce(report("message/delivery-status", f"{per_message}\n\n{fields}", **rest))


def complaint(fields, **rest):
    return read_bounce(report("message/feedback-report", fields, **rest))


GONE = """Final-Recipient: rfc822; pat@example.com
Action: failed
Status: 5.1.1
Diagnostic-Code: smtp; 550 5.1.1 <pat@example.com>:
 no such user"""


def test_an_address_that_does_not_exist_is_permanent():
    assert bounce(GONE) == Bounce(
        recipient="pat@example.com",
        permanent=True,
        still_trying=False,
        status="5.1.1",
        diagnostic="550 5.1.1 <pat@example.com>: no such user",
        message_id=OURS,
    )


def test_our_letter_may_be_quoted_whole():
    quoted = QUOTED + "Subject: Your cooling check\n\nHello Pat"
    assert bounce(GONE, quoted=quoted, quoted_type="message/rfc822").message_id == OURS


def test_a_mail_system_that_still_tries_needs_no_second_letter():
    late = bounce(GONE.replace("failed", "delayed").replace("5.1.1", "4.4.1"))
    assert (late.permanent, late.still_trying, late.status) == (False, True, "4.4.1")


def test_a_mail_system_that_gave_up_on_a_passing_trouble_is_not_permanent():
    gave_up = bounce(GONE.replace("Status: 5.1.1", "Status: 4.4.7 (delivery time expired)"))
    assert (gave_up.permanent, gave_up.still_trying, gave_up.status) == (False, False, "4.4.7")


def test_without_a_status_the_reply_of_the_mail_server_decides():
    only_code = GONE.replace("Status: 5.1.1\n", "").replace("5.1.1 ", "")
    assert (bounce(only_code).permanent, bounce(only_code).status) == (True, "")
    assert not bounce(only_code.replace("550", "450")).permanent
    assert not bounce("Final-Recipient: rfc822; a@example.com\nAction: failed").permanent


def test_the_address_that_we_wrote_to_goes_before_the_one_it_was_passed_on_to():
    passed_on = "Original-Recipient: rfc822;pat@example.com\n" + GONE.replace("pat", "p.mill", 1)
    assert bounce(passed_on).recipient == "pat@example.com"


def test_of_several_recipients_the_one_that_failed_is_read():
    fine = "Final-Recipient: rfc822; ok@example.com\nAction: delivered\nStatus: 2.0.0\n\n"
    assert bounce(fine + GONE).recipient == "pat@example.com"


def test_a_letter_that_arrived_is_no_bounce():
    assert bounce(GONE.replace("failed", "delivered").replace("5.1.1", "2.0.0")) is None
    assert bounce(GONE.replace("failed", "relayed")) is None


def test_a_report_that_quotes_nothing_may_say_what_it_answers_to():
    assert bounce(GONE, quoted="", head=f"In-Reply-To: {OURS}\n").message_id == OURS
    assert bounce(GONE, quoted="").message_id is None


def test_words_of_a_mail_server_are_short_and_printable():
    loud = bounce(GONE.replace("no such user", "no\x1b[31m " + "user " * 500))
    assert len(loud.diagnostic) <= 300
    assert loud.diagnostic.isprintable()


JUNK = """Feedback-Type: abuse
User-Agent: SomeMail/1.0
Version: 1
Original-Rcpt-To: <pat@example.com>"""


def test_a_reader_who_calls_it_junk_is_a_complaint():
    assert complaint(JUNK) == Complaint("pat@example.com", "abuse", OURS)


def test_a_complaint_that_hides_its_reader_is_read_from_our_letter():
    hidden = JUNK.replace("Original-Rcpt-To: <pat@example.com>", "")
    assert complaint(hidden).recipient == "pat@example.com"
    assert complaint(hidden, quoted=f"Message-ID: {OURS}").recipient == ""


def test_taking_a_letter_out_of_the_junk_folder_is_no_complaint():
    assert complaint(JUNK.replace("abuse", "not-spam")) is None


@pytest.mark.parametrize(
    "raw",
    [
        b"",
        b"Subject: Out of office\r\nAuto-Submitted: auto-replied\r\n\r\nBack on Monday.",
        b"Content-Type: multipart/report; boundary=x\r\n\r\n--x\r\n\r\nno report\r\n--x--",
        b"Content-Type: message/delivery-status\r\n\r\n",
        b"Content-Type: message/feedback-report\r\n\r\n",
    ],
)
def test_any_other_mail_is_neither(raw):
    assert read_bounce(raw) is None


def test_bytes_that_the_standard_parser_stumbles_over_are_neither():
    assert read_bounce(b"Content-Type: multipart/mixed; boundary*=%00'y'%ff\r\n\r\n") is None
    assert read_bounce(b"Content-Type: multipart/mixed; boundary*=\0'y'%ff\r\n\r\n") is None


def test_parts_in_parts_without_end_are_neither():
    deep = b"".join(b"Content-Type: multipart/mixed; boundary=%d\r\n\r\n--%d\r\n" % (n, n)
                    for n in range(3000))  # fmt: skip
    assert read_bounce(deep) is None


@given(st.binary())
def test_no_bytes_make_it_stumble(raw):
    assert read_bounce(raw) is None


pieces = st.one_of(
    st.binary(max_size=30),
    st.sampled_from(
        [b"\r\n", b"\r\n\r\n", b"--=edge\r\n", b"--=edge--", b"Action: failed", b"Status: 5.1.1",
         b"Content-Transfer-Encoding: base64\r\n", b"=?utf-8?b?/w==?=", b"=?nope\0?q?x?=",
         b"=?r\xfft?q?x?=", b"Content-Type: multipart/mixed; boundary*=%00'y'%ff\r\n",
         b"Content-Type: message/delivery-status\r\n", b"Content-Type: text/rfc822-headers\r\n",
         b"Content-Type: message/rfc822\r\n", b"Content-Type: message/feedback-report\r\n",
         b"Content-Type: multipart/mixed; boundary*=x'y'%ff\r\n", b"Message-ID: <", b"a@b>"]
    ),
)  # fmt: skip


@given(st.lists(pieces, max_size=12), st.integers(0, 600), st.integers(0, 40))
def test_no_broken_report_makes_it_stumble(broken, at, length):
    whole = report("message/delivery-status", GONE)
    for raw in (whole, report("message/feedback-report", JUNK, quoted_type="message/rfc822")):
        found = read_bounce(raw[:at] + b"".join(broken) + raw[at + length :])
        assert found is None or isinstance(found.recipient, str)
