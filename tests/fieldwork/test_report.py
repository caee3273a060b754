"""The customer's report: what it says, in her language, and that a screen reader can read it."""

import datetime as dt
from io import BytesIO

import pytest
from django.utils import timezone, translation
from pypdf import PdfReader

from fieldwork.announcements import announce_report
from fieldwork.models import Outcome, Recommendation
from fieldwork.printing import pdf_of
from fieldwork.report import is_reported, report_of, reports
from letters.models import Letter
from tests import cast
from tests.fieldwork import day_of_checks as story
from tests.fieldwork.reported import DONE, alarmed, finished

pytestmark = pytest.mark.django_db


def printed(record) -> PdfReader:
    with translation.override(record.visit.owed_visit.home.customer.language):
        pdf = pdf_of("print/report.html", {"report": report_of(record)})
    return PdfReader(BytesIO(pdf))


def text_of(pdf: PdfReader) -> str:
    return " ".join(" ".join(page.extract_text() for page in pdf.pages).split())


def speak_spanish(record):
    customer = record.visit.owed_visit.home.customer
    customer.language = "es"
    customer.save()


def test_a_warm_check_was_a_real_test():
    report = report_of(finished())
    assert (report.test.state, report.outdoor_f) == ("warm", 90.0)
    assert report.technician == "Ingrid Solberg"


def test_a_cold_check_says_that_the_test_is_still_owed_and_what_comes_next():
    report = report_of(finished(story.COLD))
    assert report.test.state == "owed"
    assert "no further cost" in report.test.next


def test_a_cool_check_was_provisional():
    report = report_of(finished(story.GOOD | {"outdoor_db_f": "60"}))
    assert report.test.state == "provisional"


def test_each_subject_of_a_system_is_a_line_with_a_word():
    (system,) = report_of(finished()).systems
    words = {line.name: line.word for line in system.picture.lines}
    assert words["Conditions of the test"] == "in order"
    assert words["Refrigerant"] in {"in order", "watch", "needs repair"}


def test_a_weak_capacitor_is_said_without_figures():
    (system,) = report_of(finished(story.GOOD | {"capacitor_compressor_uf": "30"})).systems
    assert any("weak" in sentence for sentence in system.repair)
    assert not any(character.isdigit() for character in " ".join(system.repair))


def test_a_repair_that_was_declined_is_not_recommended_again():
    record = finished(recommended="New contactor")
    assert [one.words for one in report_of(record).repairs] == ["New contactor"]
    Recommendation.objects.update(state="declined")
    assert report_of(reports(cast.cedarburg()).get()).repairs == ()


def test_the_homeowner_is_told_of_hose_and_breaker_with_their_cautions():
    advice = report_of(finished()).advice
    assert "Never a pressure washer" in " ".join(advice.do)
    assert "reset it once" in " ".join(advice.do)
    assert "leave the house first" in advice.leave


def test_nobody_home_is_not_reported():
    cast.letterhead()
    visit = story.stop()
    story.send(story.stamp(visit, "nobody_home", DONE), now=DONE)
    record = reports(cast.cedarburg()).get()
    assert record.outcome == Outcome.NOBODY_HOME
    assert not is_reported(record)
    assert announce_report(record=record, now=DONE) is None


def test_it_is_read_with_the_same_few_queries_however_much_was_typed(
    django_assert_num_queries,
):
    finished()
    branch = cast.cedarburg()
    with django_assert_num_queries(5):
        report_of(reports(branch).get())


def test_the_paper_is_one_or_two_tagged_pages_with_a_title_and_a_language():
    pdf = printed(finished())
    root = pdf.trailer["/Root"]
    assert 1 <= len(pdf.pages) <= 2
    assert root["/MarkInfo"]["/Marked"]
    assert root["/StructTreeRoot"]
    assert root["/Lang"] == "en"
    assert root["/ViewerPreferences"]["/DisplayDocTitle"]
    assert pdf.metadata.title == "Report of your cooling check, May 24, 2027"


def test_every_picture_on_the_paper_says_itself_in_words():
    pdf = printed(alarmed(finished()))
    figures = [one for one in tags(pdf.trailer["/Root"]["/StructTreeRoot"]) if one[0] == "/Figure"]
    assert figures
    assert all(alt for _, alt in figures)


def tags(node):
    """Every tag below a node, with its alternative words."""
    children = node.get("/K", [])
    for child in children if isinstance(children, list) else [children]:
        child = child.get_object() if hasattr(child, "get_object") else child
        if isinstance(child, dict) and "/S" in child:
            yield child["/S"], child.get("/Alt")
            yield from tags(child)


def test_the_paper_says_what_was_found_and_who_was_there():
    text = text_of(printed(finished()))
    assert "A real test" in text
    assert "Ingrid Solberg" in text
    assert "90 °F" in text.replace("\u00a0", " ")


def test_the_paper_speaks_spanish():
    record = finished(story.COLD)
    speak_spanish(record)
    pdf = printed(reports(cast.cedarburg()).get())
    assert pdf.trailer["/Root"]["/Lang"] == "es"
    assert "Todavía le debemos la prueba de enfriamiento" in text_of(pdf)


def test_the_letter_goes_once_with_a_link():
    record = finished()
    first = announce_report(record=record, now=DONE)
    again = announce_report(record=record, now=DONE + dt.timedelta(minutes=5))
    assert first == again == Letter.objects.get(kind="report")
    assert "report" in first.facts["links"]


def test_without_an_address_there_is_no_letter():
    record = finished()
    record.visit.owed_visit.home.customer.email = ""
    assert announce_report(record=record, now=DONE) is None


def test_what_is_dangerous_is_said_first_and_is_not_sent_by_itself():
    record = alarmed(finished())
    assert announce_report(record=record, now=DONE) is None
    assert announce_report(record=record, now=DONE, decided=True).facts["danger"] is True
    text = text_of(printed(record))
    assert text.index("Dangerous: shut off") < text.index("A real test")
    assert "red tag" in text


def test_an_old_judgement_with_words_we_no_longer_know_is_still_printed():
    record = finished()
    (row,) = record.judgement.values()
    row["verdicts"][0]["forgotten"] = 1
    record.save(update_fields=["judgement"])
    assert report_of(record).systems


def test_the_signature_is_on_the_paper_with_its_name():
    record = finished()
    record.signed_name, record.signed_at = "Nora Whitfield", timezone.now()
    record.save()
    assert "Signed by Nora Whitfield" in text_of(printed(record))


@pytest.mark.parametrize(
    ("language", "said"),
    [
        ("en", "1 safety question answered or tried out."),
        ("es", "1 punto de seguridad comprobado."),
    ],
)
def test_a_single_answer_is_said_in_the_singular(language, said):
    record = finished(story.GOOD | {"cover_off": "yes"})
    with translation.override(language):
        done = report_of(record).done
    assert said in done
    assert any(line.startswith("9 ") for line in done)
