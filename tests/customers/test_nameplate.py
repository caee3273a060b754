"""What is on the plate: entered with the system, within what plates of homes say."""

import pytest
from django.db import IntegrityError, transaction
from django.urls import reverse

from customers.forms.home import FACTS
from customers.models import Home, Nameplate
from tests import cast

pytestmark = pytest.mark.django_db


def system():
    return cast.noras_home().systems.get()


def post(**plate: str):
    url = reverse("customers:system-edit", args=[system().pk])
    entry = {"kind": "air_conditioner", "brand": "Northwind", "inverter": "unknown"}
    return cast.signed_in(cast.odile()).post(url, entry | plate)


def test_the_office_copies_the_plate():
    cast.noras_home()
    answer = post(
        target_subcooling_f="10", line_v="230", line_v_lower="208", phases="1",
        capacitor_compressor_uf="40", fuel="propane", inverter="false",
    )  # fmt: skip
    assert answer.status_code == 302
    plate = Nameplate.objects.get(system=system())
    assert (plate.target_subcooling_f, plate.line_v_lower, plate.fuel) == (10.0, 208.0, "propane")
    assert plate.inverter is False
    assert plate.compressor_rla_a is None


def test_the_plate_stands_in_the_form_again_and_changes_in_place():
    post(compressor_rla_a="14.1")
    page = cast.signed_in(cast.odile()).get(reverse("customers:system-edit", args=[system().pk]))
    assert 'value="14.1"' in page.text
    post(compressor_rla_a="15")
    assert Nameplate.objects.get().compressor_rla_a == 15.0


@pytest.mark.parametrize(
    ("plate", "words"),
    [
        ({"capacitor_compressor_uf": "0.045"}, "1 to 100"),
        ({"line_v": "24"}, "100 to 480"),
        ({"line_v": "208", "line_v_lower": "230"}, "the lower comes here"),
        ({"line_v_lower": "208"}, "has both voltages"),
        ({"least_rise_f": "60", "most_rise_f": "30"}, "below the most"),
        ({"least_superheat_f": "20", "most_superheat_f": "20"}, "below the most"),
        ({"target_subcooling_f": "ten"}, "Enter a number"),
        ({"gas_input_btu_h": "44"}, "10000 to 400000"),
    ],
)
def test_what_no_plate_says_is_refused_and_nothing_typed_is_lost(plate, words):
    answer = post(compressor_lra_a="72.5", **plate)
    assert answer.status_code == 422
    assert words in answer.text
    assert 'value="72.5"' in answer.text
    assert not Nameplate.objects.exists()


@pytest.mark.parametrize(
    "figures",
    [
        {"least_superheat_f": 20, "most_superheat_f": 10},
        {"least_rise_f": 60, "most_rise_f": 30},
        {"line_v": 208, "line_v_lower": 230},
        {"line_v_lower": 208},
    ],
)
def test_the_database_refuses_nonsense(figures):
    with pytest.raises(IntegrityError), transaction.atomic():
        Nameplate.objects.create(system=system(), **figures)


def test_a_home_may_have_an_elevation_of_its_own():
    home = cast.noras_home()
    url = reverse("customers:home-edit", args=[home.pk])
    form = {
        "street": home.street, "city": home.city, "state": home.state, "zip": home.zip,
        "elevation_ft": "5280", "halves_mask": [str(n) for n in range(14)],
        **dict.fromkeys(FACTS, "unknown"),
    }  # fmt: skip
    assert cast.signed_in(cast.odile()).post(url, form).status_code == 302
    assert Home.objects.get().elevation_ft == 5280
