"""The rules by which a branch plans."""

import datetime as dt

import pytest
from django.db import IntegrityError
from django.urls import reverse

from shop.models import Branch
from tests import cast

pytestmark = pytest.mark.django_db
BRANCH = reverse("shop:branch")


def send(user=None, **changes: object):
    entry = {
        "test_temperature_f": "58",
        "least_warmth": "80",
        "hold_limit": "55",
        "pull_forward_limit": "92",
        "notice_days": "3",
        "promise_days": "8",
        "broken_promise_min": "45",
        "test_only_min": "25",
        "working_days": ["0", "1", "5"],
        "opens_at": "07:30",
        "closes_at": "16:00",
        "cooling_check_min": "75",
        "heating_check_min": "60",
        "further_system_min": "30",
        "driving_percent": "115",
    }
    return cast.signed_in(user or cast.odile()).post(BRANCH, entry | changes)


@pytest.mark.parametrize("person", [cast.odile, cast.walter])
def test_the_office_and_the_owner_change_the_rules(person):
    cast.cedarburg()

    assert send(person()).url == BRANCH

    branch = Branch.objects.get(slug="cedarburg")
    assert (branch.test_temperature_f, branch.least_warmth) == (58, 0.8)
    assert (branch.hold_limit, branch.pull_forward_limit) == (0.55, 0.92)
    assert (branch.notice_days, branch.promise_days, branch.test_only_min) == (3, 8, 25)
    assert [branch.works_on(day) for day in range(7)] == [1, 1, 0, 0, 0, 1, 0]
    assert branch.opens_at == dt.time(7, 30)
    assert branch.driving_percent == 115


def test_it_shows_the_rules_as_they_are():
    page = cast.signed_in(cast.odile()).get(BRANCH).text

    assert 'name="least_warmth" value="70"' in page
    assert 'name="opens_at" value="08:00"' in page
    assert page.count(" checked") == 5


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"test_temperature_f": "5"}, "45 to 75 °F"),
        ({"test_temperature_f": "500"}, "45 to 75 °F"),
        ({"test_temperature_f": "-55"}, "45 to 75 °F"),
        ({"test_temperature_f": "warm"}, "Enter a whole number"),
        ({"least_warmth": "0.7"}, "Enter a whole number"),
        ({"least_warmth": "99"}, "50 to 95 per cent"),
        ({"hold_limit": "20"}, "30 to 95 per cent"),
        ({"hold_limit": "85"}, "At most the least warmth, which is 80 per cent"),
        ({"pull_forward_limit": "75"}, "At least the least warmth, which is 80 per cent"),
        ({"notice_days": "0"}, "1 to 14 days"),
        ({"promise_days": "90"}, "1 to 60 working days"),
        ({"test_only_min": "5"}, "10 to 480 minutes"),
        ({"working_days": []}, "Choose at least one day"),
        ({"closes_at": "07:00"}, "Closes after it opens"),
        ({"opens_at": "early"}, "Enter a valid time"),
        ({"cooling_check_min": "0"}, "10 to 480 minutes"),
        ({"driving_percent": "10"}, "50 to 300 per cent"),
    ],
)
def test_a_wrong_rule_is_named_and_the_old_ones_stay(changes, words):
    page = send(**changes)

    assert page.status_code == 422
    assert words in page.text
    assert Branch.objects.get(slug="cedarburg").test_temperature_f == 55


def test_a_technician_finds_no_rules_to_change():
    assert send(cast.ingrid().user).status_code == 404


def test_nobody_changes_another_branch():
    cast.cedarburg()

    send(cast.priya())

    assert Branch.objects.get(slug="cedarburg").test_temperature_f == 55


def test_a_stranger_is_asked_to_sign_in(client):
    assert client.get(BRANCH).url.startswith(reverse("front:sign-in"))


def test_it_knows_no_other_method_and_costs_three_queries(django_assert_num_queries):
    browser = cast.signed_in(cast.odile())

    assert browser.delete(BRANCH).status_code == 405
    with django_assert_num_queries(3):
        assert browser.get(BRANCH).status_code == 200


def test_each_rule_about_the_weather_says_what_it_is_for():
    page = cast.signed_in(cast.odile()).get(BRANCH).text

    for words in ("turns less likely warm", "short-notice", "before it", "stay pencilled"):
        assert words in page


def test_the_database_refuses_limits_out_of_order():
    branch = cast.cedarburg()
    branch.hold_limit = branch.least_warmth + 0.1

    with pytest.raises(IntegrityError, match="branch_limits_are_in_order"):
        branch.save()
