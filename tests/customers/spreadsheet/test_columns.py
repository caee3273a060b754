import pytest

from customers.spreadsheet.columns import (
    Matching,
    check_matching,
    guess_columns,
    remembered_columns,
)
from customers.spreadsheet.fields import FIELDS

NEEDED = ("Name", "Street", "ZIP", "System", "Plan", "Start")


def guess(header):
    return guess_columns([header]).fields[0]


@pytest.mark.parametrize("field", FIELDS, ids=lambda field: field.id)
def test_every_heading_that_a_field_lists_finds_that_field(field):
    assert {guess(heading) for heading in field.spellings} == {field.id}


@pytest.mark.parametrize(
    ("header", "field_id"),
    [
        ("CUSTOMER  NAME", "name"),
        ("Adress", "street"),
        ("Service Addres", "street"),
        ("Zip/Postal Code", "zip"),
        ("Phone #", "phone"),
        ("E-Mail Address", "email"),
        ("A/C Model#", "model"),
        ("filterSize", "filter_size"),
        ("Agreemnt Start", "started_on"),
        ("Refridgerant", "refrigerant"),
        ("Hi/Lo Returns", "high_low_returns"),
        ("Last Tune-Up", "last_checked_on"),
        ("Short Notice?", "short_notice"),
        ("Auto-Renewal", "renews"),
    ],
)
def test_it_knows_the_headings_that_offices_write(header, field_id):
    assert guess(header) == field_id


@pytest.mark.parametrize("header", ["Balance", "Mailer 2025", "???", "Color", "Statement", "X"])
def test_it_leaves_alone_what_it_does_not_know(header):
    assert guess(header) is None


def test_of_two_likely_columns_the_likelier_is_taken():
    matching = guess_columns(["Phone nr", "Phone"])

    assert matching.fields == (None, "phone")


def test_a_full_matching_has_no_problems():
    assert check_matching(guess_columns(NEEDED)) == []


def test_a_missing_required_field_is_a_problem_in_words():
    problems = check_matching(guess_columns(NEEDED[:-1]))

    assert problems == ["Agreement start is needed; choose the column that holds it."]


def test_two_columns_for_one_field_are_a_problem_that_names_both():
    matching = Matching((*NEEDED, "Cell", "Tel"), (*guess_columns(NEEDED).fields, "phone", "phone"))

    assert check_matching(matching) == ["Phone is matched to “Cell” and “Tel”; keep one of them."]


def test_a_matching_is_remembered_by_heading_whatever_the_order():
    remembered = guess_columns([*NEEDED, "Balance"]).to_dict()

    matching = remembered_columns(["Balance", "Plan", "New one"], remembered)

    assert matching.fields == (None, "plan", None)


def test_a_field_that_does_not_exist_is_refused():
    with pytest.raises(KeyError):
        Matching(("Name",), ("nonsense",))
