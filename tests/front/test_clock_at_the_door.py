"""The server's clock goes an hour (or a year) back or forward while people come in.

No code and no link counts twice, what has ended stays ended, and nobody waits for a clock.
"""

import datetime as dt

import pytest
import time_machine
from django.contrib.sessions.models import Session
from django.test import Client
from django.urls import reverse
from django.utils import timezone
from django_otp.oath import totp
from django_otp.plugins.otp_totp.models import TOTPDevice

from front.actions.sign_in import begin_second_step, confirm_second_step
from front.actions.staff import password_link_of
from letters.links import link_for, token_of
from letters.tasks import sweep
from tests import cast, factories

pytestmark = pytest.mark.django_db
NOON = dt.datetime(2027, 4, 1, 17, tzinfo=dt.UTC)
MINUTE, HOUR, DAY = dt.timedelta(minutes=1), dt.timedelta(hours=1), dt.timedelta(days=1)
YEAR = 365 * DAY
TODAY, SIGN_IN = reverse("front:today"), reverse("front:sign-in")
SECOND_STEP = reverse("front:second-step")


@pytest.fixture(autouse=True)
def _owners_need_a_code(settings):
    settings.SECOND_STEP_FOR = ["owner"]


def at(moment: dt.datetime) -> time_machine.travel:
    """The server's clock stands there."""
    return time_machine.travel(moment, tick=False)


def with_an_authenticator() -> tuple[TOTPDevice, list[str]]:
    device = begin_second_step(user=cast.walter())
    return device, confirm_second_step(user=cast.walter(), device=device)


def code_at(device: TOTPDevice, moment: dt.datetime) -> str:
    """What the telephone shows; its own clock is right."""
    with at(moment):
        return f"{totp(device.bin_key, t0=0):06d}"


def comes_in(code: str, moment: dt.datetime) -> bool:
    with at(moment):
        browser = cast.signed_in(cast.walter())
        browser.post(SECOND_STEP, {"code": code})
        return browser.get(TODAY).status_code == 200


class TestCodes:
    @pytest.mark.parametrize("jump", [HOUR, -HOUR])
    def test_a_code_counts_once_whatever_the_clock_does(self, jump):
        device, _ = with_an_authenticator()
        code = code_at(device, NOON)
        assert comes_in(code, NOON)

        assert not comes_in(code, NOON + jump)
        assert not comes_in(code, NOON)
        assert not comes_in(code, NOON + 10 * dt.timedelta(seconds=1))

    def test_older_codes_that_somebody_saw_do_not_count_on_a_clock_that_went_back(self):
        device, _ = with_an_authenticator()
        seen = code_at(device, NOON - HOUR)
        assert comes_in(code_at(device, NOON), NOON)
        assert not comes_in(seen, NOON - HOUR)

    def test_a_spare_code_lets_in_while_the_clock_is_wrong_and_counts_once(self):
        device, spare = with_an_authenticator()
        assert not comes_in(code_at(device, NOON), NOON + HOUR)
        assert comes_in(spare[0], NOON + HOUR + MINUTE)
        assert not comes_in(spare[0], NOON + 2 * MINUTE)

    @pytest.mark.parametrize("jump", [HOUR, YEAR])
    def test_wrong_codes_of_a_clock_that_ran_ahead_keep_nobody_out(self, jump):
        device, _ = with_an_authenticator()
        for minute in range(3):
            moment = NOON + minute * MINUTE
            assert not comes_in(code_at(device, moment), moment + jump)

        moment = NOON + 4 * MINUTE  # put right; the wrong codes count as of the next try
        comes_in(code_at(device, moment), moment)
        assert comes_in(code_at(device, moment + MINUTE), moment + MINUTE)

    def test_a_clock_that_crept_away_and_is_put_right_keeps_nobody_out(self):
        device, _ = with_an_authenticator()
        for step in range(6):
            right = NOON + step * HOUR
            comes_in(code_at(device, right), right + step * dt.timedelta(seconds=30))
        right = NOON + 12 * HOUR
        assert comes_in(code_at(device, right), right)

    def test_a_code_used_on_a_fast_clock_and_telephone_only_delays_the_next_by_as_much(self):
        device, _ = with_an_authenticator()
        assert comes_in(code_at(device, NOON + HOUR), NOON + HOUR)
        assert not comes_in(code_at(device, NOON), NOON)
        assert comes_in(code_at(device, NOON + HOUR + MINUTE), NOON + HOUR + MINUTE)


class TestPasswords:
    @pytest.mark.parametrize("jump", [HOUR, YEAR])
    def test_wrong_passwords_of_a_clock_that_ran_ahead_are_not_waited_for(self, client, jump):
        name = cast.odile().username
        with at(NOON + jump):
            for _ in range(6):
                client.post(SIGN_IN, {"username": name, "password": "a guess"})
        right = {"username": name, "password": factories.PASSWORD}
        with at(NOON):
            assert client.post(SIGN_IN, right).status_code == 429
        with at(NOON + 16 * MINUTE):
            assert client.post(SIGN_IN, right).url == TODAY


class TestSessions:
    def signed_in_at(self, moment: dt.datetime) -> Client:
        browser = Client()
        with at(moment):
            facts = {"username": cast.odile().username, "password": factories.PASSWORD}
            browser.post(SIGN_IN, facts)
        return browser

    def opens(self, browser: Client, moment: dt.datetime) -> bool:
        with at(moment):
            return browser.get(TODAY).status_code == 200

    @pytest.mark.parametrize("jump", [HOUR, -HOUR])
    def test_an_hour_signs_nobody_out(self, jump):
        browser = self.signed_in_at(NOON)
        assert self.opens(browser, NOON + jump)
        assert self.opens(browser, NOON)

    @pytest.mark.parametrize("later", [8 * DAY, 15 * DAY, YEAR])
    def test_who_was_signed_out_stays_out_when_the_clock_goes_back(self, later):
        browser = self.signed_in_at(NOON)
        assert not self.opens(browser, NOON + later)
        assert not self.opens(browser, NOON + HOUR)

    def test_a_session_begun_on_a_clock_that_ran_ahead_does_not_last_longer(self):
        browser = self.signed_in_at(NOON + YEAR)
        assert not self.opens(browser, NOON)
        assert not Session.objects.exists()


class TestLinks:
    def opens(self, token: str, moment: dt.datetime) -> bool:
        with at(moment):
            return Client().get(reverse("letters:stop", args=[token])).status_code == 200

    @pytest.fixture
    def token(self) -> str:
        about = f"customer:{cast.nora().pk}"
        return token_of(
            link_for(purpose="stop", about=about, now=NOON, customer=cast.nora(), lasts=DAY)
        )

    def test_a_link_opens_until_its_end(self, token):
        assert self.opens(token, NOON + DAY - MINUTE)
        assert not self.opens(token, NOON + DAY)

    def test_a_link_that_has_ended_stays_ended_when_the_clock_goes_back(self, token):
        with at(NOON + DAY):
            sweep()
        assert not self.opens(token, NOON + DAY - HOUR)

    def test_an_hour_forward_and_back_ends_no_link_that_still_had_time(self, token):
        for moment in (NOON + HOUR, NOON):
            with at(moment):
                sweep()
            assert self.opens(token, moment)


class TestInvitations:
    def opens(self, parts: tuple[str, str], moment: dt.datetime) -> bool:
        with at(moment):
            page = Client().get(reverse("front:choose-password", args=parts), follow=True)
            return "new_password1" in page.text

    def link_made_at(self, moment: dt.datetime) -> tuple[str, str]:
        with at(moment):
            return password_link_of(cast.odile())

    @pytest.mark.parametrize("jump", [HOUR, -HOUR])
    def test_it_opens_for_three_days_on_a_clock_that_goes_an_hour_off(self, jump):
        parts = self.link_made_at(NOON)
        assert self.opens(parts, NOON + jump)
        assert self.opens(parts, NOON + 3 * DAY - MINUTE)
        assert not self.opens(parts, NOON + 3 * DAY + MINUTE)

    def test_once_ended_it_stays_ended_when_the_clock_goes_back(self):
        parts = self.link_made_at(NOON)
        with at(NOON + 3 * DAY + MINUTE):
            sweep()
        assert not self.opens(parts, NOON + 3 * DAY - HOUR)

    def test_a_newer_one_ends_the_older(self):
        older, newer = self.link_made_at(NOON), self.link_made_at(NOON + MINUTE)
        assert not self.opens(older, NOON + 2 * MINUTE)
        assert self.opens(newer, NOON + 2 * MINUTE)

    def test_one_made_on_a_clock_that_ran_ahead_is_made_anew(self):
        ahead = self.link_made_at(NOON + YEAR)
        assert not self.opens(ahead, NOON)
        assert self.opens(self.link_made_at(NOON), NOON + MINUTE)


def test_the_clock_of_these_tests_is_the_one_that_redbud_asks():
    with at(NOON):
        assert timezone.now() == NOON
