"""Everything that a report may say to a Spanish customer is translated."""

import ast
import importlib
import pkgutil
import re
from pathlib import Path

import pytest
from django.utils import translation
from django.utils.translation import gettext

from customers.models import SystemKind
from fieldwork import findings, report
from fieldwork.readings import FIELDS, GROUPS, judged
from fieldwork.readings.judged import condition, emergencies
from fieldwork.readings.subject import Subject
from tests.fieldwork.everything_said import labels, sentences

ROOT = Path(__file__).resolve().parents[2]
PAGES = [
    ROOT / "templates/print/report.html",
    ROOT / "templates/fieldwork/_report.html",
    ROOT / "templates/fieldwork/customer_report.html",
    ROOT / "templates/kit/verdicts.svg.html",
]
OF_PAGES = {
    text
    for page in PAGES
    for text in re.findall(r'{% translate "([^"]+)"', page.read_text())
    + [
        re.sub(r"{{ (\w+) }}", r"%(\1)s", block)
        for block in re.findall(
            r"{% blocktranslate[^%]*%}(.*?){% endblocktranslate %}", page.read_text()
        )
    ]
}
MODULES = [
    importlib.import_module(f"fieldwork.readings.judged.{found.name}")
    for found in pkgutil.iter_modules(judged.__path__)
]
SUBJECTS = [
    value
    for module in MODULES
    for held in vars(module).values()
    for value in (held if isinstance(held, tuple) else held.values() if isinstance(held, dict)
                  else [held])
    if isinstance(value, Subject)
]  # fmt: skip


def plain_of_trends() -> set[str]:
    """The sentences for customers in trends.py: the last words before the named arguments."""
    tree = ast.parse((ROOT / "fieldwork/readings/trends.py").read_text())
    calls = [node for node in ast.walk(tree) if isinstance(node, ast.Call)]
    place = {"_change": 6, "_relative": 5, "Trend": 3}
    found = {
        call.args[place[call.func.id]]
        for call in calls
        if isinstance(call.func, ast.Name) and call.func.id in place
    }
    return {one.value for one in found if isinstance(one, ast.Constant)}


PLAIN = {
    *(s.title for s in SUBJECTS),
    *(text for s in SUBJECTS for text in (s.plain_within, s.plain_below, s.plain_above)),
    *(plain for _, _, plain in condition.NO_MEANS.values()),
    *(title for _, _, title, _, _ in emergencies.ANSWERS),
    *(plain for *_, plain in emergencies.ANSWERS),
    *(field.label for field in FIELDS.values() if field.kind == "look"),
} - {""}
CHOSEN = {
    *SystemKind.labels, *GROUPS.values(), *findings.SUBJECTS.values(), *findings.WORDS.values(),
    *(words for test in report.TESTS.values() for words in test if words),
}  # fmt: skip


def test_the_sentences_of_the_core_are_found():
    assert len(PLAIN) > 80
    assert len(plain_of_trends()) >= 5


@pytest.mark.parametrize("english", sorted(OF_PAGES | PLAIN | CHOSEN | plain_of_trends()))
def test_it_is_translated_with_the_same_gaps(english):
    with translation.override("es"):
        spanish = gettext(english)
    assert spanish != english
    gaps = r"%\(\w+\)[sd]"
    assert sorted(re.findall(gaps, spanish)) == sorted(re.findall(gaps, english))


def is_spanish(english: str) -> bool:
    """As a whole, or as "name: how it is", both translated."""
    name, colon, rest = english.partition(": ")
    return gettext(english) != english or bool(
        colon and gettext(name) != name and gettext(rest) != rest
    )


def test_whatever_a_judgement_says_is_said_in_spanish():
    said = sentences()
    with translation.override("es"):
        english = sorted(one for one in said if not is_spanish(one))
    assert len(said) > 170
    assert english == []


def test_the_built_in_readings_and_their_answers_have_spanish_names():
    with translation.override("es"):
        english = {one for one in labels() if gettext(one) == one}
    dials = {"1/4 ft³", "1/2 ft³", "1 ft³", "2 ft³", "5 ft³"}
    refrigerants = {"R-22", "R-134a", "R-407C", "R-410A", "R-32", "R-454B"}
    assert english <= dials | refrigerants | {"No", "Variable"}


@pytest.mark.parametrize("module", ["advice.py", "report.py"])
def test_advice_and_cautions_are_spanish_too(module):
    tree = ast.parse((ROOT / "fieldwork" / module).read_text())
    calls = [node for node in ast.walk(tree) if isinstance(node, ast.Call)]
    said = {
        call.args[0].value
        for call in calls
        if isinstance(call.func, ast.Name) and call.func.id in ("_", "gettext_noop")
        if isinstance(call.args[0], ast.Constant)
    }
    with translation.override("es"):
        assert said
        assert [one for one in said if gettext(one) == one] == []


def test_what_was_seen_is_translated_part_by_part():
    with translation.override("es"):
        assert findings.said(["Outdoor fan: in order."]) == ["Ventilador exterior: en orden."]
