"""It does not start: danger first, safe checks, then the office knows what was tried."""

import pytest
import time_machine
from django.urls import reverse

from customers.models import Customer
from letters.models import Letter
from reminders.models import NoStart
from reminders.no_start import CHECKS
from tests import cast
from tests.reminders import year
from tests.reminders.year import MAY_MORNING

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("_in_may")]


@pytest.fixture
def _in_may():
    with time_machine.travel(MAY_MORNING):
        yield


def told(client, home, outcome, **more):
    data = {"outcome": outcome, "tried": ["cover", "thermostat"], "at": 1} | more
    return client.post(year.address(home, "no-start-check"), data, follow=True)


def test_danger_comes_first_with_telephones_and_no_form(client):
    words = client.get(year.address(year.noras_home(), "no-start")).text

    assert words.index("You smell gas") < words.index("some safe checks")
    assert 'href="tel:911"' in words
    assert 'href="tel:+14145550199"' in words
    assert "<form" not in words


def test_the_checks_come_one_after_the_other_without_any_script(client):
    address = year.address(year.noras_home(), "no-start-check")

    titles = [client.get(address, {"at": n}).text for n in range(len(CHECKS))]

    for check, words in zip(CHECKS, titles, strict=True):
        assert f"<h1>{check.title.english}</h1>" in words
        assert "Stop and call if" in words


def test_what_was_tried_goes_along_from_check_to_check(client):
    home = year.noras_home()

    page = client.get(
        year.address(home, "no-start-check"), {"at": 2, "tried": ["cover", "thermostat"]}
    )

    assert page.text.count('name="tried" value="cover"') == 3
    assert not NoStart.objects.exists()


def test_after_the_last_check_it_leads_to_a_call(client):
    page = client.get(year.address(year.noras_home(), "no-start-check"), {"at": len(CHECKS)})

    assert "It still does not start" in page.text
    assert "What else should we know?" in page.text


def test_one_may_stop_at_any_check(client):
    page = client.get(year.address(year.noras_home(), "no-start-check"), {"at": 1, "stop": 1})

    assert "We will call you" in page.text


def test_nonsense_in_the_address_begins_anew(client):
    page = client.get(year.address(year.noras_home(), "no-start-check"), {"at": 99})

    assert CHECKS[0].title.english in page.text


def test_running_again_counts_as_a_trip_saved_and_nobody_is_called(client):
    home = year.noras_home()

    page = told(client, home, "solved")

    assert "Good that it runs again" in page.text
    assert NoStart.objects.trips_saved().get().ended_at_check == "thermostat"
    assert not Letter.objects.exists()


def test_still_not_running_is_kept_with_what_was_tried_and_answered(client):
    home = year.noras_home()

    page = told(client, home, "call", words="It hums since Tuesday.")

    no_start = NoStart.objects.to_call().get()
    assert no_start.tried == ["cover", "thermostat"]
    assert no_start.words == "It hums since Tuesday."
    assert "We have your message" in page.text
    assert Letter.objects.get().kind == "no_start_received"


def test_a_button_pressed_twice_is_one_no_start(client):
    home = year.noras_home()
    told(client, home, "call", words="It hums.")
    told(client, home, "call", words="And it smells.")

    assert NoStart.objects.get().words == "It hums.\nAnd it smells."
    assert Letter.objects.count() == 1


def test_a_customer_without_email_is_on_the_list_all_the_same(client):
    home = year.noras_home()
    Customer.objects.update(email="")

    told(client, home, "call")

    assert NoStart.objects.to_call().count() == 1


def test_too_many_words_are_refused_and_kept_on_the_page(client):
    home, words = year.noras_home(), "hum " * 300

    page = told(client, home, "call", words=words)

    assert page.status_code == 422
    assert words.strip()[:900] in page.text
    assert not NoStart.objects.exists()


def test_it_speaks_spanish_to_a_spanish_customer(client):
    home = year.noras_home()
    Customer.objects.update(language="es")

    words = client.get(year.address(home, "no-start")).text

    assert "Huele a gas." in words
    assert "You smell" not in words


@pytest.mark.parametrize("page", ["no-start", "no-start-check"])
def test_an_altered_link_opens_no_check(client, page):
    address = year.address(year.noras_home(), page).replace("~", "~x")

    assert client.get(address).status_code == 404


def test_the_first_page_is_only_looked_at(client):
    assert client.post(year.address(year.noras_home(), "no-start")).status_code == 405


def test_there_is_no_third_way_to_end(client):
    address = year.address(year.noras_home(), "no-start-ended", "exploded")

    assert client.get(address).status_code == 404


LIST = reverse("reminders:no-starts")


def test_the_office_sees_whom_to_call_and_what_was_tried():
    year.no_start(year.noras_home(), words="It hums.")

    page = cast.signed_in(cast.odile()).get(LIST)

    for words in ("Nora Whitfield", "(414) 555-0123", "It hums.", CHECKS[0].title.english):
        assert words in page.text


def test_trips_saved_are_counted():
    home = year.noras_home()
    year.no_start(home, outcome="solved")
    year.no_start(home, outcome="solved")

    page = cast.signed_in(cast.odile()).get(LIST)

    assert page.context["trips_saved"] == 2


def test_once_called_it_is_off_the_list_with_who_did():
    no_start = year.no_start(year.noras_home())
    browser = cast.signed_in(cast.odile())

    page = browser.post(reverse("reminders:no-start-seen", args=[no_start.pk]), follow=True)

    assert "called by Odile Marsh" in page.text
    assert not NoStart.objects.to_call().exists()


def test_today_says_that_a_home_does_not_start():
    year.no_start(year.noras_home())

    page = cast.signed_in(cast.odile()).get(reverse("front:today"))

    assert "home does not start: to call" in page.text


def test_without_any_it_says_how_customers_get_there():
    assert "No home has told us so yet" in cast.signed_in(cast.odile()).get(LIST).text


def test_a_technician_has_no_such_list():
    assert cast.signed_in(cast.ingrid().user).get(LIST).status_code == 404


def test_another_branch_sees_and_takes_up_nothing():
    no_start = year.no_start(year.noras_home())
    browser = cast.signed_in(cast.priya())

    assert "Nora" not in browser.get(LIST).text
    seen = browser.post(reverse("reminders:no-start-seen", args=[no_start.pk]))
    assert seen.status_code == 404


def test_a_stranger_is_asked_to_sign_in(client):
    assert client.get(LIST).url.startswith(reverse("front:sign-in"))


def test_the_list_is_only_looked_at():
    assert cast.signed_in(cast.odile()).post(LIST).status_code == 405


def test_a_long_list_costs_no_more_queries_than_a_short_one(django_assert_num_queries):
    home = year.noras_home()
    for _ in range(30):
        year.no_start(home)
        year.no_start(home, outcome="solved")
    browser = cast.signed_in(cast.odile())

    # Session, person, branch; to call, count and page of the others, trips saved.
    with django_assert_num_queries(7):
        browser.get(LIST)
