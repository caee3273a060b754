import io
import zipfile

import pytest
import xlsxwriter

from customers.spreadsheet.reading import LIMIT_ROWS, SheetRefused, read_sheet

ACCENTS = "Name;City\r\nZoë Núñez;Milwaukee\r\n\r\nJosé “Pepe” Peña;Mequon\r\n"


def workbook(*rows, sheet="Homes"):
    file = io.BytesIO()
    book = xlsxwriter.Workbook(file)
    page = book.add_worksheet(sheet)
    for number, row in enumerate(rows):
        for place, value in enumerate(row):
            if str(value).startswith("="):
                page.write_formula(number, place, value, None, "")
            else:
                page.write(number, place, value)
    book.close()
    return file.getvalue()


@pytest.mark.parametrize(
    "encoding", ["utf-8", "utf-8-sig", "cp1252", "utf-16", "utf-16-le", "utf-16-be"]
)
def test_accents_survive_whatever_the_office_saved_as(encoding):
    sheet = read_sheet(ACCENTS.encode(encoding), "homes.csv")

    assert sheet.headers == ("Name", "City")
    assert [row.cells[0] for row in sheet.rows] == ["Zoë Núñez", "José “Pepe” Peña"]


def test_an_accent_far_down_the_file_is_read_too():
    late = "Name,City\n" + "plain,row\n" * 30_000 + "Müller’s,Grafton\n"

    assert read_sheet(late.encode("cp1252"), "homes.csv").rows[-1].cells[0] == "Müller’s"


def test_a_row_keeps_the_number_that_the_spreadsheet_shows():
    sheet = read_sheet(ACCENTS.encode(), "homes.csv")

    assert [row.number for row in sheet.rows] == [2, 4]


def test_a_line_break_inside_a_cell_does_not_shift_the_row_numbers():
    sheet = read_sheet(b'Name,Notes\nAna,"ring\ntwice"\nBen,\n', "homes.csv")

    assert [(row.number, row.cells[0]) for row in sheet.rows] == [(2, "Ana"), (3, "Ben")]


@pytest.mark.parametrize("delimiter", [",", ";", "\t"])
def test_the_delimiter_is_found_although_cells_hold_the_others(delimiter):
    text = f'Name{delimiter}Notes\n"Ortiz, Ana"{delimiter}"gate; then ring, twice"\n'

    sheet = read_sheet(text.encode(), "homes.csv")

    assert sheet.rows[0].cells == ("Ortiz, Ana", "gate; then ring, twice")


def test_a_workbook_reads_as_it_looks():
    data = workbook(("Name", "ZIP", "Price", "Dog"), ("Ana", 53202, 189.5, True))

    assert read_sheet(data, "homes.xlsx").rows[0].cells == ("Ana", "53202", "189.5", "yes")


def test_a_formula_that_was_never_computed_shows_as_a_formula():
    sheet = read_sheet(workbook(("Name", "Start"), ("Ana", "=TODAY()")), "homes.xlsx")

    assert sheet.rows[0].cells == ("Ana", "=TODAY()")


def test_an_error_in_a_workbook_does_not_pass_for_an_empty_cell():
    data = workbook(("Name", "Start"), ("Ana", "x"))
    broken = _with_cell(data, b't="s"><v>3</v>', b't="e"><v>#REF!</v>')

    assert read_sheet(broken, "homes.xlsx").rows[0].cells == ("Ana", "#REF!")


def test_a_formula_that_came_to_nothing_is_an_empty_cell():
    data = workbook(("Name", "Start"), ("Ana", '=IF(A2="","",A9)'))
    computed = _with_cell(data, b'<c r="B2">', b'<c r="B2" t="str">')

    assert read_sheet(computed, "homes.xlsx").rows[0].cells == ("Ana", "")


def test_the_content_decides_not_the_ending_of_the_name():
    assert read_sheet(workbook(("Name",), ("Ana",)), "homes.csv").rows[0].cells == ("Ana",)


def test_the_first_sheet_with_anything_in_it_is_read():
    file = io.BytesIO()
    book = xlsxwriter.Workbook(file)
    book.add_worksheet("Empty")
    book.add_worksheet("Homes").write_column(0, 0, ["Name", "Ana"])
    book.close()

    assert read_sheet(file.getvalue(), "homes.xlsx").headers == ("Name",)


def test_a_column_without_a_heading_is_named_by_its_place():
    sheet = read_sheet(b"Name,,City\nAna,x,Mequon\n", "homes.csv")

    assert sheet.headers == ("Name", "(column 2)", "City")


def test_a_row_wider_than_the_headings_keeps_what_hangs_over():
    sheet = read_sheet(b"Name,City\nAna,Mequon,oops,,\nBen,Mequon,,\n", "homes.csv")

    assert [row.cells for row in sheet.rows] == [("Ana", "Mequon", "oops"), ("Ben", "Mequon")]


@pytest.mark.parametrize(
    ("data", "name", "words"),
    [
        (b"", "homes.csv", "“homes.csv” is empty."),
        (b" \n ", "homes.csv", "is empty"),
        (b",,\n,,\n", "homes.csv", "The spreadsheet is empty."),
        (b"Name,City\n", "homes.csv", "no row below"),
        (b"Name,City\n,\n", "homes.csv", "no row below"),
        (b"Name,City\nAna,x\n", "homes.pdf", "not a spreadsheet"),
        (b"Name,City\nAna,x\n", "homes", "not a spreadsheet"),
        (b"%PDF-1.7 and so on", "homes.csv", "is a PDF"),
        (b"\xd0\xcf\x11\xe0" + b"x" * 99, "homes.xlsx", "an old Excel file"),
        (b"\x89PNG\r\n\x1a\n", "homes.csv", "is a picture"),
        (b"PK\x03\x04 not a zip", "homes.xlsx", "damaged"),
        (b"\x00\x01\x02\x03" * 20, "homes.csv", "not text"),
        (b"Phone, phone \n1,2\n", "homes.csv", "Two columns have the heading “phone”"),
        (b'Name,City\n"Ana,x\n', "homes.csv", "quotation mark"),
        (b"Name\n" + b"x" * 2000, "homes.csv", "at most 0 MB"),
        (b"Name\n" + b"Ana\n" * (LIMIT_ROWS + 1), "homes.csv", "50,001 rows; at most 50,000"),
    ],
)
def test_it_refuses_in_a_sentence(data, name, words):
    with pytest.raises(SheetRefused) as refused:
        read_sheet(data, name, limit_bytes=1000 if b"x" * 2000 in data else 10**6)

    assert words in str(refused.value)


def test_a_zipped_document_of_another_kind_is_named():
    file = io.BytesIO()
    with zipfile.ZipFile(file, "w") as zipped:
        zipped.writestr("word/document.xml", "<x/>")

    with pytest.raises(SheetRefused, match="another kind"):
        read_sheet(file.getvalue(), "homes.xlsx")


def test_a_workbook_with_a_document_type_is_damaged_to_us():
    data = workbook(("Name", "Start"), ("Ana", "=1+1"))
    bomb = _with_cell(data, b"<worksheet", b"<!DOCTYPE x><worksheet")

    with pytest.raises(SheetRefused, match="damaged"):
        read_sheet(bomb, "homes.xlsx")


def _with_cell(data, old, new):
    """The workbook with one piece of its first sheet's XML replaced."""
    file = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as before, zipfile.ZipFile(file, "w") as after:
        for name in before.namelist():
            part = before.read(name)
            if name == "xl/worksheets/sheet1.xml":
                assert old in part
                part = part.replace(old, new)
            after.writestr(name, part)
    return file.getvalue()
