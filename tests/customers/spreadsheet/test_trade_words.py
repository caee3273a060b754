from decimal import Decimal

import pytest

from customers.spreadsheet.outcomes import CellRefused
from customers.spreadsheet.trade_words import (
    read_filter,
    read_kinds,
    read_language,
    read_metering,
    read_plan,
    read_refrigerant,
    read_thickness,
)


def code_of(reader, text):
    with pytest.raises(CellRefused) as refused:
        reader(text)
    return refused.value.code


@pytest.mark.parametrize(
    ("text", "kinds"),
    [
        ("A/C", ("air_conditioner",)),
        ("AC", ("air_conditioner",)),
        ("Central Air", ("air_conditioner",)),
        ("Air Cond.", ("air_conditioner",)),
        ("Heat Pump", ("heat_pump",)),
        ("HP", ("heat_pump",)),
        ("gas furnace", ("furnace",)),
        ("A/C & furnace", ("air_conditioner", "furnace")),
        ("Furnace + AC", ("air_conditioner", "furnace")),
        ("heat pump with air handler", ("heat_pump", "air_handler")),
        ("dual fuel", ("heat_pump", "furnace")),
        ("Packaged unit", ("package",)),
        ("package AC", ("package",)),
    ],
)
def test_it_knows_the_systems_that_a_cell_names(text, kinds):
    assert read_kinds(text) == kinds


@pytest.mark.parametrize("text", ["swamp cooler", "boiler", "2.5 ton", "vacuum"])
def test_an_unknown_system_is_refused_with_what_is_allowed(text):
    assert code_of(read_kinds, text) == "kind_unknown"


@pytest.mark.parametrize(
    ("text", "refrigerant"),
    [("R-410A", "R-410A"), ("r410a", "R-410A"), ("410", "R-410A"), ("Puron", "R-410A"),
     ("R22", "R-22"), ("Freon 22", "R-22"), ("freon", "R-22"), ("R 454 b", "R-454B"),
     ("32", "R-32"), ("R-134A", "R-134a"), ("407C", "R-407C")],
)  # fmt: skip
def test_refrigerants_in_every_spelling(text, refrigerant):
    assert read_refrigerant(text) == refrigerant


def test_an_unknown_refrigerant_is_refused_with_the_list():
    with pytest.raises(CellRefused, match="R-22, R-134a, R-407C, R-410A, R-32, R-454B"):
        read_refrigerant("R-999")


@pytest.mark.parametrize(
    ("text", "metering"), [("TXV", "txv"), ("piston", "fixed"), ("EEV", "exv"), ("T.X.V.", None)]
)
def test_metering_devices(text, metering):
    if metering is None:
        assert code_of(read_metering, text) == "metering_unknown"
    else:
        assert read_metering(text) == metering


@pytest.mark.parametrize(
    ("text", "plan"),
    [("Annual", "annual"), ("1x", "annual"), ("yearly plan", "annual"), ("1 visit", "annual"),
     ("1 visit per year", "annual"), ("Semi-Annual", "semi-annual"), ("2", "semi-annual"),
     ("SEMIANNUAL AGREEMENT", "semi-annual"), ("Spring & Fall", "semi-annual"),
     ("twice a year", "semi-annual"), ("Spring check", "annual"),
     ("Spring and autumn checks", "semi-annual")],
)  # fmt: skip
def test_plans(text, plan):
    assert read_plan(text) == plan


def test_biannual_is_refused_because_it_means_two_things():
    assert code_of(read_plan, "Bi-Annual") == "plan_ambiguous"
    assert code_of(read_plan, "gold") == "plan_unknown"


@pytest.mark.parametrize("text", ["Gold", "gold plan", "GOLD  agreement"])
def test_the_shops_own_plans_come_first(text):
    own = {"gold": "gold-2027", "annual": "spring"}
    assert read_plan(text, own) == "gold-2027"
    assert read_plan("Annual plan", own) == "spring"
    assert read_plan("twice a year", own) == "semi-annual"


def test_a_plan_that_nobody_sells_is_told_with_those_that_are():
    with pytest.raises(CellRefused, match="allowed are gold, annual, semi-annual"):
        read_plan("silver", {"gold": "gold-2027"})


def test_languages():
    assert [read_language(word) for word in ("English", "es", "Español")] == ["en", "es", "es"]
    assert code_of(read_language, "Klingon") == "language_unknown"


@pytest.mark.parametrize(
    ("text", "size", "thickness"),
    [("16x25x1", "16x25", 1), ("16 X 25 x 4", "16x25", 4), ('16" x 25" x 1"', "16x25", 1),
     ("20×20", "20x20", None), ("19 1/2 x 23.5 x 1", "19.5x23.5", 1), ("14x20x5 in", "14x20", 5)],
)  # fmt: skip
def test_filter_sizes(text, size, thickness):
    assert read_filter(text) == (size, thickness)


@pytest.mark.parametrize(
    ("text", "code"),
    [("large", "filter_unreadable"), ("16", "filter_unreadable"),
     ("16x25x12", "thickness_out_of_range"), ("16x25x0", "thickness_out_of_range")],
)  # fmt: skip
def test_what_is_no_filter_is_refused(text, code):
    assert code_of(read_filter, text) == code


def test_thickness_alone():
    assert [read_thickness(t) for t in ('1"', "4 in", "5 inch media")] == [1, 4, 5]
    assert read_thickness("4 3/8") == Decimal("4.4")
    assert code_of(read_thickness, "thick") == "thickness_unreadable"
