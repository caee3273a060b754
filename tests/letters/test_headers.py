"""The headers by which mail systems know a letter, stop it, and do not answer it."""

from email.message import EmailMessage
from email.policy import SMTP

import pytest
from hypothesis import given
from hypothesis import strategies as st

from letters.headers import AUTOMATIC, list_unsubscribe, message_id

STOP = "https://redbud.example.com/stop/f3k-Zq?kind=filter"


def test_a_letter_keeps_its_message_id_however_often_it_is_sent():
    assert message_id("k3Xq", "redbud.example.com") == "<letter.k3Xq@redbud.example.com>"
    assert message_id("k3Xq", "a.com") != message_id("k3Xr", "a.com")


def test_a_reminder_can_be_stopped_with_one_click_or_by_mail():
    assert list_unsubscribe(STOP, "stop@example.com") == {
        "List-Unsubscribe": f"<{STOP}>, <mailto:stop@example.com>",
        "List-Unsubscribe-Post": "List-Unsubscribe=One-Click",
    }


def test_a_mail_address_to_stop_at_is_not_needed():
    assert list_unsubscribe(STOP)["List-Unsubscribe"] == f"<{STOP}>"


def test_a_trial_on_one_machine_needs_no_certificate():
    assert list_unsubscribe("http://127.0.0.1:8000/stop/x")


@pytest.mark.parametrize(
    "url",
    [
        "",
        "http://example.com/stop",
        "https://",
        "ftp://example.com",
        "/stop/x",
        "https://example.com/a b",
        "https://example.com/a,b",
        "https://example.com/>",
        "https://example.com/\r\nBcc: eve@example.com",
        "https://example.com/größe",
    ],
)
def test_a_link_that_is_not_safe_is_refused(url):
    with pytest.raises(ValueError, match="url is"):
        list_unsubscribe(url)


@pytest.mark.parametrize("address", ["", "x", "a@b\nBcc: c@d", "a@b?cc=c@d", "mailto:a@b,c@d"])
def test_a_mail_address_that_is_not_safe_is_refused(address):
    with pytest.raises(ValueError, match="mailto is"):
        list_unsubscribe(STOP, address)


@given(st.text(), st.text())
def test_no_key_or_host_can_break_a_header(key, host):
    try:
        made = message_id(key, host)
    except ValueError:
        return
    assert made.isascii()
    assert made.isprintable()
    assert made.count("<") == made.count(">") == made.count("@") == 1


def test_the_library_takes_the_headers_as_they_are():
    mail = EmailMessage(policy=SMTP)
    for name, value in {**AUTOMATIC, **list_unsubscribe(STOP, "stop@example.com")}.items():
        mail[name] = value
    mail["Message-ID"] = message_id("k3Xq", "redbud.example.com")
    assert b"Auto-Submitted: auto-generated\r\n" in mail.as_bytes()
    assert mail["List-Unsubscribe-Post"] == "List-Unsubscribe=One-Click"
