"""Two people with one form open: the second sees what the first changed, and loses nothing."""

import pytest
from django.urls import reverse

from customers.models import Home, Nameplate
from scheduling.models import Shift, Technician
from shop.models import Branch
from tests import cast
from tests.customers.test_entry import an_entry
from tests.kit.web.forms_sent import opened, send

pytestmark = pytest.mark.django_db


def page_of(name: str, *args: object):
    return opened(cast.signed_in(cast.odile()), reverse(name, args=args))


def test_the_second_is_shown_both_entries_and_nothing_is_written_over():
    home = cast.noras_home()
    first, second = (page_of("customers:home-edit", home.pk) for _ in range(2))

    assert send(first, gate_code="1111").status_code == 302
    answer = send(second, gate_code="2222", dog="barks")

    assert answer.status_code == 409
    assert "1111" in answer.text
    assert "2222" in answer.text
    home.refresh_from_db()
    assert (home.gate_code, home.dog) == ("1111", "")


def test_what_was_left_alone_takes_theirs_and_the_next_save_keeps_both():
    home = cast.noras_home()
    first, second = (page_of("customers:home-edit", home.pk) for _ in range(2))
    send(first, gate_code="1111", halves_mask=["0", "1"], pets="true")

    shown = opened(second.browser, second.address, send(second, dog="barks"))
    assert send(shown).status_code == 302

    home.refresh_from_db()
    assert (home.gate_code, home.dog, home.pets) == ("1111", "barks", True)
    assert home.halves_mask == 0b11


def test_the_second_may_insist_or_take_theirs():
    home = cast.noras_home()
    first, second = (page_of("customers:home-edit", home.pk) for _ in range(2))
    send(first, gate_code="1111")
    answer = send(second, gate_code="2222")

    assert f'href="{second.address}"' in answer.text
    assert 'value="1111"' in second.browser.get(second.address).text
    assert send(opened(second.browser, second.address, answer)).status_code == 302
    home.refresh_from_db()
    assert home.gate_code == "2222"


def test_the_same_change_by_both_is_no_difference():
    home = cast.noras_home()
    first, second = (page_of("customers:home-edit", home.pk) for _ in range(2))
    send(first, gate_code="1111")
    assert send(second, gate_code="1111").status_code == 302


def test_what_the_form_does_not_show_is_never_written_old():
    """A check is noted while the office has the form of the system open."""
    system = cast.noras_home().systems.get()
    form = page_of("customers:system-edit", system.pk)
    type(system).objects.filter(pk=system.pk).update(last_checked_by="Ingrid")

    assert send(form, brand="Larch").status_code == 409


def test_a_point_that_was_typed_is_compared_as_a_point():
    home = cast.noras_home()
    first, second = (page_of("customers:home-edit", home.pk) for _ in range(2))
    send(first, latitude="43.2967, -87.9876", longitude="")
    answer = send(second, gate_code="1")
    assert answer.status_code == 409
    assert "43.2967" in answer.text


def test_two_who_write_the_first_figure_of_a_plate_meet():
    system = cast.noras_home().systems.get()
    first, second = (page_of("customers:system-edit", system.pk) for _ in range(2))
    send(first, line_v="230")
    answer = send(second, line_v="208")
    assert answer.status_code == 409
    assert Nameplate.objects.get().line_v == 230
    assert send(opened(second.browser, second.address, answer)).status_code == 302
    assert Nameplate.objects.get().line_v == 208


def test_the_hours_of_a_technician_are_compared_too():
    ingrid = cast.ingrid()
    first, second = (page_of("scheduling:technician", ingrid.pk) for _ in range(2))
    send(first, starts_0="07:00", ends_0="12:00")
    answer = send(second, name="Ingrid S.")
    assert answer.status_code == 409
    assert "Monday, start" in answer.text
    send(opened(second.browser, second.address, answer))
    assert Technician.objects.get().name == "Ingrid S."
    assert Shift.objects.get(weekday=0).ends_at.hour == 12


@pytest.mark.parametrize(
    ("name", "argument", "field", "values"),
    [
        ("shop:branch", None, "test_only_min", ("25", "40")),
        ("letters:letterhead", None, "from_name", ("Larkspur", "Larkspur Heating")),
        ("customers:customer-edit", "home", "notes", ("quiet", "loud")),
        ("customers:filter-edit", "filter", "where", ("attic", "hall")),
        ("agreements:plan-name", "plan", "name", ("Spring", "Early spring")),
    ],
)
def test_every_form_of_a_row_is_watched(name, argument, field, values):
    cast.letterhead()
    rows = {
        None: [], "home": [cast.noras_home().pk], "plan": [cast.spring_check().pk],
        "filter": [cast.noras_home().systems.get().filters.get().pk],
    }  # fmt: skip
    first, second = (page_of(name, *rows[argument]) for _ in range(2))
    assert send(first, **{field: values[0]}).status_code == 302
    assert send(second, **{field: values[1]}).status_code == 409


def test_a_script_that_sends_no_prints_still_saves():
    home = cast.noras_home()
    address = reverse("customers:home-edit", args=[home.pk])
    assert cast.signed_in(cast.odile()).post(address, an_entry()).status_code == 302
    assert Home.objects.get().street == "214 Oak Street"
    assert Branch.objects.count() == 1
