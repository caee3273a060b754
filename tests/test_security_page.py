"""docs/security.md: every item of levels 1 and 2 is answered, every test named is there."""

import re
from itertools import pairwise
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
PAGE = (ROOT / "docs" / "security.md").read_text()
# OWASP ASVS 5.0.0 (May 2025), the English table of https://github.com/OWASP/ASVS/tree/v5.0.0/5.0:
# how many items each section has, and which of them are of level 3 alone.
SECTIONS = {
    1: (2, 10, 12, 3, 3), 2: (3, 3, 5, 2), 3: (1, 3, 5, 8, 8, 1, 5), 4: (5, 5, 2, 4),
    5: (1, 6, 3, 3), 6: (3, 12, 8, 6, 8, 4, 2, 4), 7: (3, 4, 2, 5, 3, 2), 8: (4, 4, 3, 2),
    9: (3, 4), 10: (2, 3, 5, 16, 5, 2, 3), 11: (4, 5, 5, 4, 2, 2, 2), 12: (5, 2, 5),
    13: (4, 6, 4, 7), 14: (2, 8, 3), 15: (5, 5, 7, 4), 16: (1, 5, 4, 3, 4), 17: (2, 8, 2),
}  # fmt: skip
LEVEL_3 = set(
    re.findall(
        r"\S+",
        """
        1.2.10 1.3.12 1.5.3 2.3.5 2.4.2 3.1.1 3.2.3 3.3.5 3.4.7 3.4.8 3.5.6 3.5.7 3.5.8 3.6.1
        3.7.3 3.7.4 3.7.5 4.1.4 4.1.5 4.2.2 4.2.3 4.2.4 4.2.5 5.2.4 5.2.5 5.2.6 5.3.3 6.3.5
        6.3.6 6.3.7 6.3.8 6.4.5 6.4.6 6.5.6 6.5.7 6.5.8 6.6.4 6.7.1 6.7.2 7.5.3 8.1.3 8.1.4
        8.2.4 8.3.2 8.3.3 8.4.2 10.2.3 10.3.5 10.4.12 10.4.13 10.4.14 10.4.15 10.4.16 11.1.3
        11.1.4 11.2.4 11.2.5 11.3.4 11.3.5 11.5.2 11.6.2 11.7.1 11.7.2 12.1.4 12.1.5 12.3.5
        13.1.2 13.1.3 13.1.4 13.2.6 13.3.3 13.3.4 13.4.6 13.4.7 14.2.5 14.2.6 14.2.7 14.2.8
        15.1.4 15.1.5 15.2.4 15.2.5 15.4.1 15.4.2 15.4.3 15.4.4 16.5.4 17.1.2 17.2.5 17.2.6
        17.2.7 17.2.8
        """,
    )
)
EVERY = [
    f"{chapter}.{section}.{number}"
    for chapter, counts in SECTIONS.items()
    for section, count in enumerate(counts, 1)
    for number in range(1, count + 1)
]
ITEM = r"v5\.0\.0-(\d+\.\d+\.\d+)"


def answered() -> set[str]:
    """The items of the page; "A to B" stands for all between."""
    found = set(re.findall(ITEM, PAGE))
    for first, last in re.findall(f"{ITEM} to {ITEM}", PAGE):
        found |= set(EVERY[EVERY.index(first) : EVERY.index(last) + 1])
    return found


def test_the_standard_has_345_items_92_of_them_of_the_third_level():
    assert (len(EVERY), len(LEVEL_3)) == (345, 92)
    assert set(EVERY) >= LEVEL_3


def test_every_item_of_levels_1_and_2_is_answered_and_none_is_invented():
    assert [item for item in EVERY if item not in LEVEL_3 and item not in answered()] == []
    assert answered() - set(EVERY) == set()


def test_the_chapters_stand_in_order():
    chapters = [int(number) for number in re.findall(r"^## V(\d+)", PAGE, re.M)]
    assert all(after == before + 1 for before, after in pairwise(chapters))
    assert (chapters[0], chapters[-1]) == (1, 17)


@pytest.mark.parametrize("path", sorted(set(re.findall(r"`(tests/[\w/]+\.py)`", PAGE))))
def test_a_test_that_is_named_is_there(path):
    assert "def test_" in (ROOT / path).read_text() or path.endswith("matrix.py")


def test_every_row_says_how_it_is_met_and_names_a_test():
    chapters = PAGE[PAGE.index("## V1") : PAGE.index("## Open")]
    rows = [row.strip("| ").split(" | ") for row in re.findall(r"^\| v5.*$", chapters, re.M)]
    assert len(rows) > 80
    for items, how, tests in rows:
        assert how, items
        assert re.fullmatch(r"`tests/\S+\.py`(, `tests/\S+\.py`)*", tests), items


def test_an_open_item_says_why():
    rows = PAGE.split("## Open")[1].strip().splitlines()[2:]
    assert len(rows) >= 5
    assert all(len(row.strip("| ").split(" | ")) == 3 for row in rows)


def test_every_part_is_pinned():
    lines = (ROOT / "requirements.txt").read_text().splitlines()
    parts = [line for line in lines if line and not line.startswith("#")]
    assert all(re.match(r"[\w\[\].-]+==[\w.]+", line) for line in parts)
