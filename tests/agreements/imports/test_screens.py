"""The import's screens, from the file to the message that it is on file."""

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse

from agreements.models import SpreadsheetImport
from customers.models import Home
from tests import cast

from .conftest import written

START = "/agreements/import/"


@pytest.fixture
def office(db):
    return cast.signed_in(cast.odile())


def file_of(*changes, name="homes.csv"):
    return SimpleUploadedFile(name, written(*changes))


def screen(name, sheet_import):
    return reverse(f"agreements:import-{name}", args=[sheet_import.pk])


def matched(form):
    """What the browser sends back when the guess is left as it stands."""
    return {name: field.initial for name, field in form.fields.items()}


def test_the_office_brings_a_sheet_in_from_upload_to_message(office):
    answer = office.post(START, {"file": file_of({})}, follow=True)
    assert "Match the columns" in answer.text

    columns_url, _ = answer.redirect_chain[-1]
    answer = office.post(columns_url, matched(answer.context["form"]), follow=True)
    assert "Bring in 1 row" in answer.text

    sheet_import = SpreadsheetImport.objects.get()
    answer = office.post(screen("bring-in", sheet_import), follow=True)
    assert "Brought in: 1 row new, 0 rows changed." in answer.text
    assert Home.objects.count() == 1


def test_a_file_that_cannot_be_read_is_refused_in_a_sentence(office):
    answer = office.post(START, {"file": SimpleUploadedFile("homes.csv", b"%PDF-1.7 x")})

    assert answer.status_code == 422
    assert "“homes.csv” is a PDF; save it as .csv or .xlsx." in answer.text
    assert not SpreadsheetImport.objects.exists()


def test_a_file_that_is_too_large_is_refused_before_it_is_read(office, settings):
    settings.SPREADSHEET_LIMIT_BYTES = 10

    answer = office.post(START, {"file": file_of({})})

    assert answer.status_code == 422
    assert "at most 20 MB can be read" in answer.text


def test_no_file_is_asked_for(office):
    assert "Choose the file first." in office.post(START, {}).text


def test_a_missing_needed_column_keeps_the_choices_and_says_what_is_missing(office, upload):
    sheet_import = upload({})
    url = screen("columns", sheet_import)
    choices = matched(office.get(url).context["form"]) | {"column-0": "", "column-1": ""}

    answer = office.post(url, choices)

    assert answer.status_code == 422
    assert "Customer name is needed; choose the column that holds it." in answer.text
    assert answer.context["form"]["column-1"].value() == ""


def test_the_columns_of_the_last_file_are_remembered(office, upload):
    first = upload({"Balance": "12"})
    url = screen("columns", first)
    office.post(url, matched(office.get(url).context["form"]) | {"column-11": "gate_code"})

    office.post(START, {"file": file_of({"Balance": "15"})})

    form = office.get(screen("columns", SpreadsheetImport.objects.first())).context["form"]
    assert matched(form)["column-11"] == "gate_code"


def test_an_unmatched_import_leads_to_its_columns_first(office, upload):
    sheet_import = upload({})
    SpreadsheetImport.objects.update(matching={})

    for answer in (
        office.get(screen("check", sheet_import)),
        office.post(screen("bring-in", sheet_import)),
    ):
        assert answer.url == screen("columns", sheet_import)
    assert not Home.objects.exists()


def test_the_dry_run_shows_one_kind_of_row(office, upload):
    sheet_import = upload({}, {"Name": "Ben Weiss", "Street": "9 Elm", "Phone": "", "Price": "x"})

    answer = office.get(screen("check", sheet_import) + "?show=refused")

    assert [outcome.row for outcome in answer.context["page"]] == [3]
    assert "“x” is not a price" in answer.text
    assert "Ben Weiss" in answer.text


def test_the_dry_run_says_when_no_column_tells_of_renewal(office, upload):
    words = "every new agreement is taken to renew by itself"

    assert words in office.get(screen("check", upload({}))).text
    assert words not in office.get(screen("check", upload({"Auto-renewal": "no"}))).text


def test_a_kind_that_does_not_exist_shows_every_row(office, upload):
    answer = office.get(screen("check", upload({})) + "?show=nonsense")

    assert len(answer.context["page"]) == 1


def test_the_office_answers_an_offer_and_comes_back_to_the_offers(office, upload):
    sheet_import = upload({}, {"Street": "214 Oka Street", "Serial": ""})
    url = screen("decide", sheet_import)

    answer = office.post(url, {"row-3": "row-2", "show": "alike"})

    sheet_import.refresh_from_db()
    assert sheet_import.decisions == {"3": "row-2"}
    assert answer.url.endswith("?show=alike")


def test_every_undecided_row_is_kept_apart_by_one_button(office, upload):
    sheet_import = upload({}, {"Street": "214 Oka Street", "Serial": ""})

    office.post(screen("decide", sheet_import), {"all-apart": "yes"})

    sheet_import.refresh_from_db()
    assert sheet_import.decisions == {"3": "apart"}


def test_an_answer_that_was_never_offered_is_not_kept(office, upload):
    sheet_import = upload({}, {"Street": "214 Oka Street", "Serial": ""})

    office.post(screen("decide", sheet_import), {"row-3": "home-1", "row-2": "apart"})

    sheet_import.refresh_from_db()
    assert sheet_import.decisions == {}


def test_refused_rows_come_as_a_file_to_correct(office, upload):
    bad = {"Street": "9 Elm", "Name": "@Zoë", "Phone": "", "Price": "189.995"}

    answer = office.get(screen("refused", upload({}, bad)))

    lines = answer.content.decode("utf-8-sig").splitlines()
    assert len(lines) == 2
    assert lines[0].endswith("Price,Why refused")
    assert lines[1].startswith("'@Zoë,")
    assert lines[1].endswith("a price has at most two.")


def test_the_corrected_file_comes_in(office, upload, bring_in):
    answer = office.get(screen("refused", upload({"Price": "189.995"})))
    corrected = answer.content.replace(b"189.995,", b"189.99,")

    assert bring_in(upload(content=corrected))["new"] == 1


SCREENS = [("columns", "get"), ("check", "get"), ("refused", "get"), ("decide", "post"),
           ("bring-in", "post")]  # fmt: skip


@pytest.mark.parametrize(("name", "method"), SCREENS)
def test_a_stranger_and_a_technician_find_nothing(upload, name, method):
    sheet_import = upload({})

    for person in (cast.priya(), cast.ingrid().user):
        answer = getattr(cast.signed_in(person), method)(screen(name, sheet_import))
        assert answer.status_code == 404
    assert not Home.objects.exists()


@pytest.mark.parametrize(("name", "method"), SCREENS)
def test_the_wrong_method_is_refused(office, upload, name, method):
    wrong = {"get": office.put, "post": office.get}[method]

    assert wrong(screen(name, upload({}))).status_code == 405


def test_a_technician_cannot_upload(db):
    assert cast.signed_in(cast.ingrid().user).get(START).status_code == 404


def test_a_long_sheet_on_file_takes_as_few_queries_as_a_short_one(
    office, upload, bring_in, django_assert_num_queries
):
    many = [
        {"Street": f"{n} Oak St", "Name": f"Person {n}", "Phone": "", "Serial": f"S{n}"}
        for n in range(60)
    ]
    sheet_import = upload(*many)
    bring_in(sheet_import)

    with django_assert_num_queries(14):
        office.get(screen("check", sheet_import))


def test_the_start_shows_the_files_of_before_without_reading_them(
    office, upload, django_assert_num_queries
):
    for _ in range(3):
        upload({})

    with django_assert_num_queries(4):
        answer = office.get(START)

    assert answer.text.count("to be checked") == 3
