"""Everything that a Spanish customer may read is translated."""

import re
from pathlib import Path

import pytest
from django.utils import translation
from django.utils.translation import gettext

from reminders import filters, no_start, seasons
from reminders.models import EventKind
from reminders.said import TITLES

ROOT = Path(__file__).resolve().parents[2]
PAGES = [
    *(ROOT / "templates/reminders").glob("*.html"),
    ROOT / "templates/kit/customer_page.html",
    ROOT / "templates/kit/home_year.svg.html",
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
OF_THE_ROOM = {words.english for words in (*filters.WHY, *seasons.WHY, *no_start.all_words())}
CHOICES = {*TITLES.values(), *EventKind.labels}


@pytest.mark.parametrize("english", sorted(OF_PAGES | OF_THE_ROOM | CHOICES))
def test_it_is_translated_with_the_same_gaps(english):
    with translation.override("es"):
        spanish = gettext(english)

    assert spanish != english
    gaps = r"%\(\w+\)s|{\w+}"
    assert sorted(re.findall(gaps, spanish)) == sorted(re.findall(gaps, english))
