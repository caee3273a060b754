"""Words of each kind in both languages, and the facts that a letter cannot do without."""

import datetime as dt
import re
from pathlib import Path

import pytest
from django.conf import settings
from django.utils import translation

from letters.contents import CONTENTS, FactMissing, check_facts
from letters.kinds import KINDS
from letters.render import sample_wording
from letters.samples import sample_facts
from letters.wording import word
from tests import factories

TEMPLATES = Path(settings.ROOT) / "templates" / "letters"
NOW = dt.datetime(2027, 4, 1, 14, tzinfo=dt.UTC)
LINKS = {"stop": "https://example.com/s", "answer": "https://example.com/a"}
# Given to every letter, or left out of it when missing.
ALWAYS = {"customer_name", "name", "phone"}
MAY_LACK = {"old_price", "warmth", "why", "where", "cooling", "answer_by_day"}


@pytest.fixture
def sender():
    branch = factories.BranchFactory.build(time_zone="America/Chicago")
    return factories.SenderFactory.build(branch=branch)


def worded(sender, kind="promise_cancelled", language="en", name="Nora Whitfield", **facts):
    sample = sample_facts(NOW, sender.branch.zone, language)
    return word(
        kind=kind,
        language=language,
        zone=sender.branch.zone,
        sender=sender,
        customer_name=name,
        facts=sample | facts,
        links=LINKS,
    )


def test_each_kind_has_its_content_and_its_template():
    assert CONTENTS.keys() == KINDS.keys()
    written = {path.stem for path in TEMPLATES.glob("*.md") if path.stem[0] != "_"}
    assert written == KINDS.keys()


@pytest.mark.parametrize("kind", CONTENTS)
def test_each_fact_that_a_template_says_is_needed_or_may_be_missing(kind):
    text = (TEMPLATES / f"{kind}.md").read_text()
    said = set(re.findall(r"{{ (\w+) }}", text)) - ALWAYS
    needs = CONTENTS[kind].needs
    stems = {f"{name.removesuffix('_at')}_{end}" for name in needs for end in ("day", "clock")}
    assert said - MAY_LACK <= {*needs, *stems}
    assert set(re.findall(r"links\.(\w+)", text)) == set(CONTENTS[kind].links)


@pytest.mark.parametrize("kind", CONTENTS)
@pytest.mark.parametrize("language", ["en", "es"])
def test_each_kind_reads_in_both_languages_with_a_way_to_stop(kind, language, sender):
    wording = sample_wording(kind, language, sender, NOW)

    assert wording.subject
    assert "#sample" in wording.text
    assert f'<html lang="{language}">' in wording.html
    for leftover in ("{{", "None", "**", "\\", "%("):
        assert leftover not in wording.subject + wording.text


@pytest.mark.parametrize("kind", CONTENTS)
def test_nothing_of_a_spanish_letter_is_left_in_english(kind, sender):
    english = sample_wording(kind, "en", sender, NOW).text.splitlines()
    spanish = sample_wording(kind, "es", sender, NOW).text.splitlines()
    same = {line for line in english if line in spanish}
    assert {line for line in same if not re.search(r"Larkspur|Mill Street|://|^-*$", line)} == set()


def test_a_day_and_a_time_are_said_on_the_branchs_clock(sender):
    at = "2027-04-20T18:30:00+00:00"

    assert worded(sender, old_starts_at=at).subject.endswith("on Tuesday, April 20")
    assert "Tuesday, April 20 at 1:30 PM" in worded(sender, old_starts_at=at).text


def test_in_spanish_the_day_is_said_the_spanish_way(sender):
    at = "2027-04-20T18:30:00Z"

    assert "martes 20 de abril" in worded(sender, language="es", old_starts_at=at).subject


def test_a_share_of_warmth_is_said_in_words(sender):
    assert "it is likely warm enough." in worded(sender, "offer", warmth=0.8).text
    assert "probable que haga suficiente calor" in worded(sender, "offer", "es", warmth=0.8).text


def test_a_slot_that_is_likely_too_cold_says_nothing_of_warmth(sender):
    assert "warm outdoors" not in worded(sender, "offer", warmth=0.3).text
    assert "warm outdoors" not in worded(sender, "offer", warmth=None).text


def test_the_telephone_is_written_as_people_dial_it(sender):
    sender.phone = "+12625550100"

    assert "Larkspur Heating & Cooling, (262) 555-0100" in worded(sender).text


def test_a_fact_is_shown_and_never_obeyed(sender):
    nasty = "Nora *<b>* [here](https://example.net)\n# Heading"

    wording = worded(sender, name=nasty)

    assert "Nora *<b>* [here](https://example.net) # Heading" in wording.text
    for obeyed in ("<b>", "<em>", "<h1>", 'example.net"'):
        assert obeyed not in wording.html


def test_the_language_of_a_letter_does_not_stay(sender):
    with translation.override("en"):
        worded(sender, language="es")
        assert translation.get_language() == "en"


def test_all_missing_facts_are_named_at_once():
    with pytest.raises(FactMissing, match=r"lacks technician, starts_at$"):
        check_facts("on_the_way", {"technician": ""})


def test_the_no_start_letter_says_to_leave_first_and_whom_to_call(sender):
    sender.emergency_phone = "(262) 555-0199"

    text = worded(sender, "no_start_received").text

    assert "leave the house first. Then call 911" in text
    assert "(262) 555-0199" in text
