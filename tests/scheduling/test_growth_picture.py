"""The picture of how a season's planning grows: every figure in it, also what was not reached."""

from xml.etree import ElementTree

from benchmarks.growth_picture import drawn

SVG = "{http://www.w3.org/2000/svg}"
POINTS = [
    {"visits": 500, "complete_s": 0.8, "above_mb": 7.0},
    {"visits": 2000, "complete_s": 3.5, "above_mb": 14.0},
    {"visits": 10_000, "complete_s": None, "above_mb": 51.0},
]


def picture():
    return ElementTree.fromstring(drawn(POINTS, cpu=True))


def test_each_figure_has_a_mark_but_what_was_never_complete():
    assert len(list(picture().iter(f"{SVG}circle"))) == 2 + 3


def test_it_says_in_words_what_it_shows():
    words = picture().find(f"{SVG}title").text
    assert "processor seconds" in words
    assert "2,000 visits, 3.5 s" in words
    assert "10,000 visits, 51 MB" in words


def test_every_mark_lies_in_the_picture():
    for circle in picture().iter(f"{SVG}circle"):
        assert 0 < float(circle.get("cx")) < 560
        assert 0 < float(circle.get("cy")) < 320
