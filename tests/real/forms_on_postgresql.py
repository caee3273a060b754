"""Two at one form. Run by test_on_postgresql.py, where they truly meet."""

import pytest
from django.urls import reverse

from customers.models import Home, Nameplate, System
from tests import cast
from tests.customers.test_entry import NEW_HOME, an_entry
from tests.kit.web.forms_sent import opened, send
from tests.real.on_postgresql import at_once

pytestmark = pytest.mark.django_db(transaction=True)


def forms_of(address: str, count: int):
    return [opened(cast.signed_in(cast.odile()), address) for _ in range(count)]


def test_of_four_who_save_one_home_at_once_one_is_first_and_three_see_the_difference():
    home = cast.noras_home()
    forms = forms_of(reverse("customers:home-edit", args=[home.pk]), 4)

    answers = at_once(*[lambda f=f, n=n: send(f, gate_code=f"{n}") for n, f in enumerate(forms)])

    statuses = [answer.status_code for answer in answers]
    assert sorted(statuses) == [302, 409, 409, 409]
    kept = Home.objects.get().gate_code
    assert kept == str(statuses.index(302))
    assert all("Theirs, on file now" in a.text for a in answers if a.status_code == 409)


def test_two_who_change_different_fields_at_once_lose_neither():
    home = cast.noras_home()
    one, other = forms_of(reverse("customers:home-edit", args=[home.pk]), 2)
    answers = at_once(lambda: send(one, gate_code="7"), lambda: send(other, dog="barks"))

    second = next(n for n, answer in enumerate(answers) if answer.status_code == 409)
    form = (one, other)[second]
    assert send(opened(form.browser, form.address, answers[second])).status_code == 302
    home.refresh_from_db()
    assert (home.gate_code, home.dog) == ("7", "barks")


def test_the_first_figure_of_a_plate_is_written_once():
    system = cast.noras_home().systems.get()
    forms = forms_of(reverse("customers:system-edit", args=[system.pk]), 3)
    answers = at_once(*[lambda f=f, n=n: send(f, line_v=str(208 + n)) for n, f in enumerate(forms)])
    assert sorted(answer.status_code for answer in answers) == [302, 409, 409]
    assert Nameplate.objects.count() == 1


def test_one_form_sent_four_times_at_once_counts_once():
    home = cast.noras_home()
    [new_home] = forms_of(NEW_HOME, 1)
    [system] = forms_of(reverse("customers:system-new", args=[home.pk]), 1)

    homes = at_once(*[lambda: send(new_home, **an_entry())] * 4)
    systems = at_once(*[lambda: send(system, kind="furnace")] * 4)

    assert {answer.status_code for answer in (*homes, *systems)} == {302}
    assert len({answer.url for answer in homes}) == 1
    assert Home.objects.count() == 2
    assert System.objects.filter(kind="furnace").count() == 1
