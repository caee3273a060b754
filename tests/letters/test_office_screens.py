"""The office's outbox, letterhead, kinds and bad addresses."""

import pytest
import time_machine
from django.core import mail
from django.urls import reverse

from letters.actions.stops import mark_address
from letters.models import BadAddress, Letter, LetterState, Sender
from tests import cast, factories
from tests.letters.outbox import MORNING, again, notice, reminder, send_all

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("_in_april")]
OUTBOX, LETTERHEAD = reverse("letters:outbox"), reverse("letters:letterhead")
SAMPLES, BAD = reverse("letters:samples"), reverse("letters:bad-addresses")
ENTRY = {
    "from_name": "Larkspur", "from_email": "hello@example.com", "phone": "(262) 555-0100",
    "postal_address": "1 Mill Street, Cedarburg, WI 53012", "emergency_phone": "",
    "quiet_from": "21:00", "quiet_until": "07:00", "daily_limit": "2",
}  # fmt: skip


@pytest.fixture
def _in_april():
    with time_machine.travel(MORNING):
        yield


@pytest.fixture
def office():
    cast.letterhead()
    return cast.signed_in(cast.odile())


def shown(letter: Letter) -> str:
    return reverse("letters:letter", args=[letter.pk])


def decide(browser, letter, act):
    return browser.post(reverse("letters:letter-act", args=[letter.pk, act]), follow=True)


def test_the_outbox_shows_each_letter_with_its_state_in_words(office):
    reminder()
    notice(state=LetterState.UNSURE)

    page = office.get(OUTBOX)

    for words in ("Nora Whitfield", "Reminder: rinse", "Time cancelled", "waiting", "unsure"):
        assert words in page.text


def test_it_shows_one_state_one_kind_or_one_customer_alone(office):
    reminder()
    notice(state=LetterState.FAILED)

    assert "Reminder: rinse</td>" not in office.get(OUTBOX, {"state": "failed"}).text
    assert "Time cancelled</td>" not in office.get(OUTBOX, {"kind": "rinse"}).text
    assert "No letter found" in office.get(OUTBOX, {"q": "castellan"}).text


def test_an_empty_outbox_leads_to_the_kinds(office):
    assert SAMPLES in office.get(OUTBOX).text


def test_without_a_letterhead_it_says_why_nothing_goes():
    page = cast.signed_in(cast.odile()).get(OUTBOX)

    assert "Nothing is sent before the branch has a letterhead" in page.text


def test_a_long_outbox_takes_few_queries(office, django_assert_max_num_queries):
    for _ in range(45):
        reminder()

    with django_assert_max_num_queries(8):
        office.get(OUTBOX)


def test_a_letter_is_shown_as_it_would_be_sent_and_no_link_is_made_for_it(office):
    letter = reminder()

    page = office.get(shown(letter))

    assert "As it would be sent" in page.text
    assert "Pollen sticks to the coil." in page.text
    assert not cast.nora().links.exists()


def test_a_sent_letter_is_shown_as_it_was_sent(office):
    letter = reminder()
    send_all()
    Letter.objects.update(facts={"why": "Something else."})

    assert "Pollen sticks to the coil." in office.get(shown(letter)).text
    assert "Pollen sticks" in office.get(reverse("letters:letter-html", args=[letter.pk])).text


def test_a_letter_that_cannot_be_worded_says_what_it_lacks(office):
    letter = notice(facts={}, state=LetterState.FAILED)

    assert "lacks check, old_starts_at" in office.get(shown(letter)).text


@pytest.mark.parametrize(
    ("state", "act", "becomes"),
    [
        ("unsure", "send", "waiting"),
        ("unsure", "arrived", "sent"),
        ("failed", "retry", "waiting"),
        ("failed", "aside", "withdrawn"),
    ],
)
def test_the_office_decides_about_a_letter(office, state, act, becomes):
    letter = reminder(state=state)

    decide(office, letter, act)

    assert again(letter).state == becomes


def test_a_second_decision_is_told_that_there_was_a_first(office):
    letter = reminder(state=LetterState.UNSURE)
    decide(office, letter, "arrived")

    assert "Somebody has decided" in decide(office, letter, "send").text
    assert again(letter).state == LetterState.SENT


def test_one_switch_pauses_all_letters_and_lets_them_go_again(office):
    office.post(reverse("letters:pause"), {"pause": "yes"})
    assert "Letters are paused" in office.get(OUTBOX).text

    office.post(reverse("letters:pause"))
    assert not Sender.objects.get().paused


def test_the_letterhead_is_entered_and_changed():
    browser = cast.signed_in(cast.odile())

    browser.post(LETTERHEAD, ENTRY)
    browser.post(LETTERHEAD, ENTRY | {"daily_limit": "3"})

    assert Sender.objects.get(branch=cast.cedarburg()).daily_limit == 3


@pytest.mark.parametrize(
    ("field", "entry", "words"),
    [
        ("quiet_until", "20:30", "at least 120 are needed"),
        ("from_email", "hello", "valid email address"),
        ("from_name", "Lark<spur", "angle brackets"),
        ("phone", "at the shop", "hone number"),
        ("daily_limit", "0", "greater than or equal to 1"),
        ("postal_address", "", "required"),
    ],
)
def test_a_wrong_letterhead_says_what_is_allowed_and_keeps_what_was_typed(
    office, field, entry, words
):
    page = office.post(LETTERHEAD, ENTRY | {field: entry})

    assert page.status_code == 422
    assert words in page.text
    assert "hello@example.com" in page.text or field == "from_email"


def test_a_sample_goes_to_oneself_with_an_invitation(office):
    office.post(reverse("letters:test-letter"))

    (sample,) = mail.outbox
    assert sample.to == ["office@example.com"]
    assert "visit.ics" in sample.message().as_string()


def test_a_sample_that_cannot_be_sent_says_why(office, settings):
    settings.EMAIL_BACKEND, settings.EMAIL_HOST = "letters.mail.SmtpBackend", "127.0.0.1"
    settings.EMAIL_PORT = 9  # nobody listens

    page = office.post(reverse("letters:test-letter"), follow=True)

    assert "was not sent" in page.text


def test_each_kind_can_be_read_in_spanish_beforehand(office):
    page = office.get(SAMPLES, {"kind": "rinse", "language": "es"})

    assert "Enjuague su unidad exterior" in page.text
    assert office.get(reverse("letters:sample-html", args=["rinse", "es"])).status_code == 200


@pytest.mark.parametrize("asked", [{"kind": "advert"}, {"language": "fr"}])
def test_a_kind_or_language_that_is_none_is_not_found(office, asked):
    assert office.get(SAMPLES, asked).status_code == 404


def test_bad_addresses_are_listed_with_whose_they_are_and_can_be_settled(office):
    reminder()
    address = mark_address(email="nora@example.com", why="bounced", words="550", now=MORNING)
    assert "Nora Whitfield" in office.get(BAD).text

    office.post(reverse("letters:bad-address-act", args=[address.pk, "seen"]))
    assert BadAddress.objects.get().seen

    office.post(reverse("letters:bad-address-act", args=[address.pk, "works"]))
    assert not BadAddress.objects.exists()


def addresses(letter) -> list[str]:
    return [
        OUTBOX, LETTERHEAD, SAMPLES, BAD, shown(letter),
        reverse("letters:letter-html", args=[letter.pk]),
        reverse("letters:sample-html", args=["rinse", "en"]),
    ]  # fmt: skip


def acts(letter, address) -> list[str]:
    return [
        reverse("letters:pause"), reverse("letters:test-letter"),
        reverse("letters:letter-act", args=[letter.pk, "retry"]),
        reverse("letters:bad-address-act", args=[address.pk, "works"]),
    ]  # fmt: skip


def test_a_technician_and_somebody_not_signed_in_see_nothing_of_it(client):
    letter, technician = reminder(), cast.signed_in(cast.ingrid().user)

    for url in addresses(letter):
        assert technician.get(url).status_code == 404
        assert client.get(url).status_code == 302


def test_another_branch_neither_sees_nor_settles_our_letters():
    letter, stranger = reminder(state=LetterState.FAILED), cast.signed_in(cast.priya())
    address = mark_address(email="nora@example.com", why="bounced", words="550", now=MORNING)

    assert stranger.get(shown(letter)).status_code == 404
    assert "Nora" not in stranger.get(OUTBOX).text + stranger.get(BAD).text
    for url in acts(letter, address)[2:]:
        assert stranger.post(url).status_code == 404


def test_acts_are_posted_and_pages_are_only_looked_at(office):
    letter = reminder()
    address = mark_address(email="nora@example.com", why="bounced", words="550", now=MORNING)

    assert {office.get(url).status_code for url in acts(letter, address)} == {405}
    assert {office.post(url).status_code for url in (OUTBOX, SAMPLES, BAD)} == {405}


def test_a_long_list_of_bad_addresses_takes_few_queries(office, django_assert_max_num_queries):
    for number in range(30):
        email = f"lost{number}@example.com"
        reminder(customer=factories.CustomerFactory(branch=cast.cedarburg(), email=email))
        mark_address(email=email, why="bounced", words="550", now=MORNING)

    with django_assert_max_num_queries(6):
        assert "lost29@example.com" in office.get(BAD).text
