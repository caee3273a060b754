"""The make-believe office's sheet, from upload to owed visits."""

import csv
import datetime as dt
from pathlib import Path

from agreements.imports.actions import decide_offers
from agreements.models import Agreement, OwedVisit, Plan
from customers.models import Customer, Home, System

FOLDER = Path(__file__).parents[3] / "fixtures" / "spreadsheet"
TODAY = dt.date(2027, 3, 1)


def office_sheet():
    return (FOLDER / "homes.csv").read_bytes()


def expected(outcome):
    with (FOLDER / "expected.csv").open(encoding="utf-8") as file:
        return {int(row["row"]) for row in csv.DictReader(file) if row["outcome"] == outcome}


def rows_on_file():
    models = (Customer, Home, System, Agreement, OwedVisit, Plan)
    return {model.__name__: model.objects.count() for model in models}


def test_the_dry_run_says_what_is_expected_of_every_row_and_writes_nothing(upload, look):
    outcomes = look(upload(content=office_sheet()))

    assert {r for r, o in outcomes.items() if o.kind == "refused"} == expected("refused")
    assert {r for r, o in outcomes.items() if o.kind == "alike"} == expected("alike")
    new = expected("new") | expected("second_system")
    assert {r for r, o in outcomes.items() if o.kind == "new"} == new
    assert Home.objects.count() == 0


def test_bringing_it_in_makes_every_home_with_its_systems_and_owed_visits(upload, bring_in):
    counts = bring_in(upload(content=office_sheet()))

    assert counts == {"new": 476, "changed": 0, "same": 0, "refused": 14, "alike": 10}
    assert Home.objects.count() == Agreement.objects.count() == 470
    assert not Home.objects.without_a_place().exists()
    season = OwedVisit.objects.still_owed().needing_warmth()
    assert season.due_between(dt.date(2027, 3, 1), dt.date(2027, 6, 15)).count() >= 465


def test_the_same_file_again_changes_nothing(upload, look, bring_in):
    bring_in(upload(content=office_sheet()))
    before = rows_on_file()

    again = upload(content=office_sheet())
    kinds = {outcome.kind for outcome in look(again).values()}
    bring_in(again)

    assert kinds == {"same", "refused", "alike"}
    assert rows_on_file() == before


def test_the_workbook_says_the_same_as_the_text_file(upload, look, bring_in):
    bring_in(upload(content=office_sheet()))
    workbook = (FOLDER / "homes.xlsx").read_bytes()

    outcomes = look(upload(content=workbook, file_name="homes.xlsx"))

    assert {outcome.kind for outcome in outcomes.values()} == {"same", "refused", "alike"}


def test_decided_rows_come_in_and_the_same_file_again_changes_nothing(upload, look, bring_in):
    sheet_import = upload(content=office_sheet())
    offered = {row: o for row, o in look(sheet_import).items() if o.kind == "alike"}
    first_answers = {row: o.choices[0].value for row, o in offered.items()}
    decide_offers(sheet_import=sheet_import, decisions=first_answers)
    bring_in(sheet_import)

    kinds = {outcome.kind for outcome in look(upload(content=office_sheet())).values()}

    assert Home.objects.count() == 474  # four customers have a second home
    assert Customer.objects.count() == 470
    assert kinds == {"same", "refused"}
