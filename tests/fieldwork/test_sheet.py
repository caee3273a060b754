"""The day on paper, with a QR code at each stop."""

import re
from io import BytesIO

import pytest
from django.conf import settings
from django.urls import reverse
from pypdf import PdfReader

from fieldwork.sheet import qr_code
from tests import cast, factories
from tests.fieldwork import day_of_checks as story

pytestmark = pytest.mark.django_db
PAGE = reverse("fieldwork:sheet", args=[story.DAY])
PDF = reverse("fieldwork:sheet-pdf", args=[story.DAY])


def name_of(visit) -> str:
    return visit.owed_visit.home.customer.name


def day_of_two():
    """Ingrid's stop and one of Bo."""
    user = factories.UserFactory(username="bo", role="technician", branch=cast.cedarburg())
    bo = factories.TechnicianFactory(branch=cast.cedarburg(), name="Bo Larsen", user=user)
    return story.stop(9), story.stop(9, technician=bo)


def shown(user, page=PAGE) -> str:
    return cast.signed_in(user).get(page).content.decode()


def paper(user) -> PdfReader:
    return PdfReader(BytesIO(cast.signed_in(user).get(PDF).content))


def test_the_office_prints_everybody_and_a_technician_herself():
    hers, his = day_of_two()
    office, ingrid = shown(cast.odile()), shown(cast.ingrid().user)
    assert name_of(hers) in office
    assert name_of(his) in office
    assert name_of(hers) in ingrid
    assert name_of(his) not in ingrid


def test_each_stop_and_the_day_have_a_code():
    day_of_two()
    assert re.findall(r"<title>(QR code: [^<]+)</title>", shown(cast.ingrid().user)) == [
        "QR code: My day", f"QR code: visit of {name_of(story.Visit.objects.first())}",
    ]  # fmt: skip


def test_a_code_is_of_our_own_page_and_its_title_does_no_harm():
    import segno

    code = qr_code("/my-day/", "QR code: <b>Nora</b>")
    assert "<b>" not in code
    drawn = segno.make(settings.PUBLIC_URL.rstrip("/") + "/my-day/", error="m", micro=False)
    assert drawn.svg_inline(omitsize=True, svgclass="qr", lineclass=None)[-200:] == code[-200:]


def test_a_gate_code_stays_off_the_paper():
    story.stop(gate_code="4711#")
    page = shown(cast.odile())
    assert "4711#" not in page
    assert "Gate code: ask the office." in page


def test_the_paper_has_a_page_for_each_technician():
    day_of_two()
    pdf = paper(cast.odile())
    assert len(pdf.pages) == 2
    assert "Ingrid Solberg" in pdf.pages[1].extract_text() + pdf.pages[0].extract_text()


def test_the_paper_is_tagged_and_has_a_title():
    story.stop()
    pdf = paper(cast.odile())
    assert pdf.trailer["/Root"]["/MarkInfo"]["/Marked"]
    assert pdf.trailer["/Root"]["/StructTreeRoot"]
    assert pdf.metadata.title == "Day sheet, Monday, May 24, 2027"


def test_a_day_without_work_says_so():
    cast.cedarburg()
    assert "Nobody drives on this day" in shown(cast.odile())


def test_a_technician_without_stops_has_an_empty_sheet():
    story.spring.technician()
    assert "Nothing on this day." in shown(cast.ingrid().user)


@pytest.mark.parametrize("page", [PAGE, PDF])
def test_another_branch_sees_none_of_it(page):
    visit = story.stop()
    assert name_of(visit) not in shown(cast.priya())


@pytest.mark.parametrize("page", [PAGE, PDF])
def test_it_is_read_only_and_for_staff(page, client):
    assert cast.signed_in(cast.odile()).post(page).status_code == 405
    assert client.get(page).status_code == 302


def test_it_costs_the_same_few_queries_however_many_stops(django_assert_max_num_queries):
    for hour in (8, 9, 10, 11):
        story.stop(hour)
    client = cast.signed_in(cast.odile())
    with django_assert_max_num_queries(14):
        client.get(PAGE)
