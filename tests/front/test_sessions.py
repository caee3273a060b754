"""How long one stays signed in, one's own password, and that there is no other door."""

import datetime as dt

import pytest
import time_machine
from django.core.exceptions import ValidationError
from django.test import Client
from django.urls import reverse

from front.passwords import NotOurOwnWords
from front.sign_ins import browser_of
from tests import cast, factories

pytestmark = pytest.mark.django_db
MORNING = dt.datetime(2027, 4, 1, 14, tzinfo=dt.UTC)
SIGN_IN, ACCOUNT = reverse("front:sign-in"), reverse("front:account")
HOUR = dt.timedelta(hours=1)


def signed_in_at(user, moment: dt.datetime) -> Client:
    """Through the door, with name and password."""
    browser = Client()
    with time_machine.travel(moment, tick=False):
        facts = {"username": user.username, "password": factories.PASSWORD}
        assert browser.post(SIGN_IN, facts).status_code == 302
    return browser


def opens(browser: Client, moment: dt.datetime) -> bool:
    with time_machine.travel(moment, tick=False):
        return browser.get(ACCOUNT).status_code == 200


def test_an_owner_signs_in_every_day_and_a_technician_every_month():
    for user, hours in ((cast.walter(), 24), (cast.odile(), 7 * 24)):
        browser = signed_in_at(user, MORNING)
        assert opens(browser, MORNING + (hours - 1) * HOUR)
        assert not opens(browser, MORNING + (hours + 1) * HOUR)


def test_a_browser_that_is_used_stays_in_and_one_that_is_not_does_not():
    used, unused = (signed_in_at(cast.ingrid().user, MORNING) for _ in range(2))
    for days in (10, 20, 29):
        assert opens(used, MORNING + dt.timedelta(days=days))
    assert not opens(unused, MORNING + dt.timedelta(days=20))
    assert not opens(used, MORNING + dt.timedelta(days=31))


def test_one_changes_ones_own_password_with_the_present_one_and_others_are_out():
    here, elsewhere = (signed_in_at(cast.odile(), MORNING) for _ in range(2))
    change = reverse("front:change-password")
    new = {"new_password1": "three quiet herons", "new_password2": "three quiet herons"}
    with time_machine.travel(MORNING, tick=False):
        wrong = here.post(change, new | {"old_password": "a guess"})
        assert wrong.status_code == 200
        here.post(change, new | {"old_password": factories.PASSWORD})
    assert opens(here, MORNING)
    assert not opens(elsewhere, MORNING)


@pytest.mark.parametrize("password", ["redbud-heating1", "LarkspurCedarburg", "technician2027"])
def test_the_shop_s_own_words_are_no_password(password):
    cast.cedarburg()
    with pytest.raises(ValidationError):
        NotOurOwnWords().validate(password)


def test_own_words_in_a_long_password_do_no_harm():
    NotOurOwnWords().validate("redbud by the quiet pond")


def test_django_s_administration_has_no_door_of_its_own(client):
    answer = client.get("/admin/login/?next=/admin/")
    assert answer.status_code in (301, 302)
    assert answer.url.startswith(SIGN_IN)


CHROME = (
    "Mozilla/5.0 (Windows NT 10.0) AppleWebKit/537.36 (KHTML, like Gecko) Chrome/140 Safari/537"
)
IPHONE = "Mozilla/5.0 (iPhone; CPU iPhone OS 18_0 like Mac OS X) Version/18.0 Mobile Safari/604.1"


@pytest.mark.parametrize(
    ("named", "said"),
    [(CHROME, "Chrome on Windows"), (IPHONE, "Safari on iPhone"), ("wget", "wget")],
)
def test_a_browser_is_told_by_its_name_and_machine(rf, named, said):
    assert browser_of(rf.get("/", headers={"User-Agent": named})) == said


def test_the_secret_can_be_opened_in_an_app_on_the_same_telephone():
    page = cast.signed_in(cast.odile()).get(reverse("front:set-up-second-step")).text
    assert 'href="otpauth://totp/Redbud' in page
