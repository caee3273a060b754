"""What would go out on a day, and why: for the office, without writing anything."""

import datetime as dt
from io import StringIO

import pytest
import time_machine
from django.core.management import CommandError, call_command
from django.urls import reverse

from letters.models import Letter
from reminders.views.office import A_PAGE
from tests import cast
from tests.reminders import year
from tests.reminders.year import MAY_MORNING

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("_in_may")]
COMING = reverse("reminders:coming")


@pytest.fixture
def _in_may():
    with time_machine.travel(MAY_MORNING):
        yield


def on(day: str, user=None):
    return cast.signed_in(user or cast.odile()).get(COMING, {"day": day})


def test_it_shows_todays_reminders_and_why():
    year.noras_home()

    page = cast.signed_in(cast.odile()).get(COMING)

    assert "Nora Whitfield" in page.text
    assert "In your home it is due every" in page.text
    assert not Letter.objects.exists()


def test_it_shows_a_coming_day_as_if_the_reminders_before_it_had_gone_out():
    year.noras_home()

    assert (
        "We last reminded you of your 16x25x1 inch filter on May 13, 2027." in on("2027-06-23").text
    )


def test_a_quiet_day_says_so():
    year.noras_home()

    assert "Nothing goes out that day" in on("2027-05-14").text


@pytest.mark.parametrize("day", ["2027-05-12", "2028-06-01", "soon"])
def test_a_day_of_the_past_or_of_the_far_future_is_refused_with_what_is_allowed(day):
    year.noras_home()

    page = on(day)

    assert page.status_code == 422
    assert "Choose today or a day" in page.text or "Write the day like" in page.text


def test_without_a_climate_it_says_what_is_missing():
    assert "has no climate yet" in on("2027-05-13").text


def test_homes_of_another_branch_are_not_listed():
    year.noras_home()

    assert "Nora" not in on("2027-05-13", cast.priya()).text


def test_a_technician_has_no_such_list():
    assert on("2027-05-13", cast.ingrid().user).status_code == 404


def test_a_stranger_is_asked_to_sign_in(client):
    assert client.get(COMING).url.startswith(reverse("front:sign-in"))


def test_it_is_only_looked_at():
    assert cast.signed_in(cast.odile()).post(COMING).status_code == 405


def test_a_long_list_is_paged_and_costs_no_more_queries_than_a_short_one(django_assert_num_queries):
    year.some_homes(A_PAGE + 5)
    browser = cast.signed_in(cast.odile())

    # Session, person, branch; climate; seven for the chunk and one that finds no more homes.
    with django_assert_num_queries(12):
        page = browser.get(COMING, {"day": "2027-05-13"})

    assert page.text.count("<tr>") == A_PAGE + 1


def test_the_command_lists_the_same():
    year.noras_home()
    words = StringIO()

    call_command("reminders_on", "2027-05-13", branch="cedarburg", stdout=words)

    assert "Nora Whitfield, 14 Alder Court\tfilter\tYour 16x25x1 inch filter" in words.getvalue()
    assert words.getvalue().endswith("1 reminders on 2027-05-13\n")


@pytest.mark.parametrize(
    ("day", "branch", "words"),
    [
        ("2027-05-13", "nowhere", "There is no branch 'nowhere'."),
        ("2027-05-12", "cedarburg", "2027-05-12 is over"),
        ("2027-05-13", "cedarburg", "has no climate yet"),
    ],
)
def test_the_command_says_what_is_wrong(day, branch, words):
    cast.cedarburg()

    with pytest.raises(CommandError, match=words):
        call_command("reminders_on", day, branch=branch)


def test_today_is_the_branchs_own_day():
    year.noras_home()

    with time_machine.travel(dt.datetime(2027, 5, 14, 3, tzinfo=dt.UTC)):  # 22:00 in Cedarburg
        assert "Nora" in on("2027-05-13").text
