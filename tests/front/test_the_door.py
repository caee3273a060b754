"""Locked after wrong passwords, the second step, where one is signed in, and the staff list."""

import datetime as dt

import pytest
import time_machine
from django.contrib.sessions.models import Session
from django.test import RequestFactory
from django.urls import reverse
from django_otp.oath import totp
from django_otp.plugins.otp_totp.models import TOTPDevice

from front.actions.sign_in import begin_second_step, confirm_second_step
from front.addresses import visitor_address
from shop.models import User
from tests import cast, factories

pytestmark = pytest.mark.django_db
NOON = dt.datetime(2027, 4, 1, 17, tzinfo=dt.UTC)
TODAY, SIGN_IN = reverse("front:today"), reverse("front:sign-in")
SECOND_STEP, SET_UP = reverse("front:second-step"), reverse("front:set-up-second-step")
ACCOUNT, STAFF = reverse("front:account"), reverse("front:staff")


@pytest.fixture(autouse=True)
def _at_noon():
    with time_machine.travel(NOON, tick=False):
        yield


@pytest.fixture
def owners_need_it(settings):
    settings.SECOND_STEP_FOR = ["owner"]


def code_of(device: TOTPDevice) -> str:
    return f"{totp(device.bin_key, t0=0):06d}"


def with_an_authenticator(user: User) -> tuple[TOTPDevice, list[str]]:
    device = begin_second_step(user=user)
    return device, confirm_second_step(user=user, device=device)


def guess(client, times: int, **more: str):
    person = {"username": cast.odile().username, "password": "a guess"}
    answers = [client.post(SIGN_IN, person, **more) for _ in range(times)]
    return answers[-1]


class TestLockOut:
    def test_the_sixth_wrong_password_closes_the_door_for_a_while(self, client):
        assert guess(client, 5).status_code == 200
        assert guess(client, 1).status_code == 429

        right = {"username": cast.odile().username, "password": factories.PASSWORD}
        assert client.post(SIGN_IN, right).status_code == 429
        with time_machine.travel(NOON + dt.timedelta(minutes=16), tick=False):
            assert client.post(SIGN_IN, right).url == TODAY

    def test_a_stranger_elsewhere_does_not_lock_her_out(self, client):
        guess(client, 6, REMOTE_ADDR="203.0.113.9")

        right = {"username": cast.odile().username, "password": factories.PASSWORD}
        assert client.post(SIGN_IN, right, REMOTE_ADDR="198.51.100.7").url == TODAY


class TestVisitorAddress:
    @pytest.mark.parametrize(
        ("proxies", "forwarded", "address"),
        [
            (0, "1.2.3.4", "127.0.0.1"),
            (1, "1.2.3.4", "1.2.3.4"),
            (1, "made up, 1.2.3.4", "1.2.3.4"),
            (2, "1.2.3.4, 10.0.0.1", "1.2.3.4"),
            (1, "", "127.0.0.1"),
        ],
    )
    def test_only_our_own_proxies_are_believed(self, settings, proxies, forwarded, address):
        settings.PROXIES = proxies
        asked = RequestFactory().get("/", headers={"X-Forwarded-For": forwarded})
        assert visitor_address(asked) == address


@pytest.mark.usefixtures("owners_need_it")
class TestSecondStep:
    def test_an_owner_sets_it_up_before_anything_else(self):
        browser = cast.signed_in(cast.walter())
        assert browser.get(TODAY).url == SECOND_STEP
        assert browser.get(SECOND_STEP).url == SET_UP

        page = browser.get(SET_UP)
        device = TOTPDevice.objects.get()
        assert "<svg" in page.text
        done = browser.post(SET_UP, {"code": code_of(device)})
        assert done.text.count("<code>") == 8
        assert browser.get(TODAY).status_code == 200

    def test_who_owes_it_is_shown_the_way_out_and_no_rooms(self):
        cast.cedarburg()
        browser = cast.signed_in(cast.walter())
        set_up = browser.get(SET_UP)
        assert "Sign out" in set_up.text
        assert 'aria-label="Rooms"' not in set_up.text
        assert "spare codes" not in set_up.text  # there are none yet

        browser.post(SET_UP, {"code": code_of(TOTPDevice.objects.get())})
        assert 'aria-label="Rooms"' in browser.get(TODAY).text

    def test_a_wrong_first_code_keeps_the_same_secret(self):
        browser = cast.signed_in(cast.walter())
        browser.get(SET_UP)
        page = browser.post(SET_UP, {"code": "000000"})
        assert "not the code it shows now" in page.text
        assert TOTPDevice.objects.count() == 1

    def test_the_code_lets_in_once(self):
        device, _ = with_an_authenticator(cast.walter())
        code = code_of(device)
        browser = cast.signed_in(cast.walter())
        assert browser.post(SECOND_STEP, {"code": code}).url == TODAY

        again = cast.signed_in(cast.walter())
        assert again.post(SECOND_STEP, {"code": code}).status_code == 200
        assert again.get(TODAY).url == SECOND_STEP

    def test_one_wrong_code_is_called_wrong_and_the_next_at_once_too_many(self):
        with_an_authenticator(cast.walter())
        browser = cast.signed_in(cast.walter())
        assert "not the code it shows now" in browser.post(SECOND_STEP, {"code": "000000"}).text
        assert "Too many wrong codes" in browser.post(SECOND_STEP, {"code": "000000"}).text

    def test_a_spare_code_lets_in_once(self):
        _, spare = with_an_authenticator(cast.walter())
        assert cast.signed_in(cast.walter()).post(SECOND_STEP, {"code": spare[0]}).url == TODAY
        second = cast.signed_in(cast.walter()).post(SECOND_STEP, {"code": spare[0]})
        assert second.status_code == 200

    def test_nobody_changes_the_authenticator_without_the_old_one(self):
        with_an_authenticator(cast.walter())
        assert cast.signed_in(cast.walter()).get(SET_UP).url == SECOND_STEP

    def test_the_office_goes_without_until_it_wants_one(self, client):
        right = {"username": cast.odile().username, "password": factories.PASSWORD}
        client.post(SIGN_IN, right)
        assert client.get(TODAY).status_code == 200
        with_an_authenticator(cast.odile())
        client.post(reverse("front:sign-out"))
        client.post(SIGN_IN, right)
        assert client.get(TODAY).url == SECOND_STEP


class TestWhereOneIsSignedIn:
    def test_another_browser_can_be_signed_out(self):
        here, there = cast.signed_in(cast.odile()), cast.signed_in(cast.odile())
        page = here.get(ACCOUNT)
        number = 1 - [place.here for place in page.context["places"]].index(True)

        here.post(reverse("front:end-session", args=[number]))

        assert here.get(TODAY).status_code == 200
        assert there.get(TODAY).url.startswith(SIGN_IN)

    def test_others_are_neither_seen_nor_reached(self):
        cast.signed_in(cast.walter())
        browser = cast.signed_in(cast.odile())
        assert len(browser.get(ACCOUNT).context["places"]) == 1
        assert browser.post(reverse("front:end-session", args=[1])).status_code == 404
        assert Session.objects.count() == 2


class TestStaff:
    def test_a_second_step_that_no_code_has_proven_is_not_on(self):
        owner = cast.signed_in(cast.walter())
        begin_second_step(user=cast.odile())
        assert "End second step" not in owner.get(STAFF).text

        with_an_authenticator(cast.odile())
        assert owner.get(STAFF).text.count("End second step") == 1

    def invite(self, browser, **changed: object):
        person = {
            "username": "juno", "first_name": "Juno", "last_name": "Pell", "email": "",
            "role": "office", "branch": cast.cedarburg().pk,
        }  # fmt: skip
        return browser.post(reverse("front:invite"), person | changed)

    def test_the_invited_choose_their_own_password_once(self, client):
        owner = cast.signed_in(cast.walter())
        address = self.invite(owner).context["address"]
        path = address.split("//")[1].partition("/")[1] + address.split("//")[1].partition("/")[2]
        form = client.get(client.get(path).url)
        assert "Choose a password" in form.text

        chosen = {"new_password1": "long-and-own-7", "new_password2": "long-and-own-7"}
        assert client.post(form.request["PATH_INFO"], chosen).url == SIGN_IN
        right = {"username": "juno", "password": "long-and-own-7"}
        assert client.post(SIGN_IN, right).url == TODAY
        assert "used already" in client.get(path).text

    def test_the_office_needs_a_branch(self):
        page = self.invite(cast.signed_in(cast.walter()), branch="")
        assert "Choose the branch" in page.text
        assert not User.objects.filter(username="juno").exists()

    def test_who_may_sign_in_no_more_is_out_at_once(self):
        owner, office = cast.signed_in(cast.walter()), cast.signed_in(cast.odile())
        owner.post(reverse("front:staff-change", args=[cast.odile().pk, "stop"]))
        assert office.get(TODAY).url.startswith(SIGN_IN)

        owner.post(reverse("front:staff-change", args=[cast.odile().pk, "let"]))
        assert cast.signed_in(cast.odile()).get(TODAY).status_code == 200

    def test_an_owner_does_not_lock_herself_out(self):
        cast.cedarburg()
        owner = cast.signed_in(cast.walter())
        address = reverse("front:staff-change", args=[cast.walter().pk, "stop"])
        assert "cannot take away your own key" in owner.post(address, follow=True).text

    def test_a_lost_telephone_s_second_step_is_ended(self):
        with_an_authenticator(cast.odile())
        owner = cast.signed_in(cast.walter())
        owner.post(reverse("front:staff-change", args=[cast.odile().pk, "second-step"]))
        assert not TOTPDevice.objects.exists()

    @pytest.mark.parametrize("person", [cast.odile, lambda: cast.ingrid().user])
    def test_it_is_the_owner_s_alone(self, person):
        browser = cast.signed_in(person())
        assert browser.get(STAFF).status_code == 404
        assert browser.get(reverse("front:invite")).status_code == 404
        assert browser.post(reverse("front:staff-change", args=[1, "stop"])).status_code == 404

    def test_a_change_that_is_none_is_not_found(self):
        owner = cast.signed_in(cast.walter())
        assert (
            owner.post(reverse("front:staff-change", args=[cast.odile().pk, "x"])).status_code
            == 404
        )
        assert (
            owner.get(reverse("front:staff-change", args=[cast.odile().pk, "stop"])).status_code
            == 405
        )

    def test_a_long_list_costs_no_more_queries(self, django_assert_num_queries):
        factories.UserFactory.create_batch(5, branch=cast.cedarburg())
        owner = cast.signed_in(cast.walter())
        # Session, person, the branch chosen, else the first; the people, their authenticators.
        with django_assert_num_queries(6):
            owner.get(STAFF)


def test_readiness_tells_whether_the_tables_are_of_this_version(client):
    answer = client.get(reverse("front:ready"))
    assert (answer.status_code, answer.json()["database"]) == (200, "ready")
