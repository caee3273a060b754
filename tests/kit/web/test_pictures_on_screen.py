"""The pictures as the browser gets them: light, complete, and without inline styles."""

import datetime as dt
import re

from django.template.loader import render_to_string

from kit.pictures.ribbon import RibbonDay, RibbonVisit, draw_ribbon
from kit.web import sample

MONDAY = dt.date(2027, 3, 15)


def ribbon_html(visits_a_day, days=90, url=None):
    visit = RibbonVisit("cooling", "promised", "Nora Whitfield, Ames", url, warmth=0.6)
    season = [
        RibbonDay(MONDAY + dt.timedelta(n), 50, 60, 70, (visit,) * visits_a_day, url=f"/day/{n}/")
        for n in range(days)
    ]
    return render_to_string("kit/ribbon.svg.html", {"picture": draw_ribbon(season, 55), "id": "s"})


def test_a_season_of_two_thousand_visits_stays_under_400_kb():
    html = ribbon_html(visits_a_day=23)
    assert html.count('href="#mark-promised"') >= 2000
    assert len(html.encode()) < 400_000


def test_a_season_with_room_for_links_stays_under_400_kb():
    html = ribbon_html(visits_a_day=14, url="/season/visit/12345/")
    assert html.count('href="/season/visit/12345/"') == 14 * 90
    assert len(html.encode()) < 400_000


def test_each_day_is_a_link_in_the_picture_and_in_the_table():
    html = ribbon_html(visits_a_day=1, days=5)
    assert [html.count(f'href="/day/{n}/"') for n in range(5)] == [2] * 5


def test_a_free_day_without_a_visit_has_no_row_and_words_are_escaped():
    visit = RibbonVisit("cooling", "promised", "Nora", None, warmth=0.6)
    days = [
        RibbonDay(MONDAY, 50, 60, 70, (visit,), url="/day/?a=1&b=2"),
        RibbonDay(MONDAY + dt.timedelta(1), 50, 60, 70, (), workday=False),
        RibbonDay(MONDAY + dt.timedelta(2), 50, 60, 70, (), workday=True),
    ]
    html = render_to_string("kit/ribbon.svg.html", {"picture": draw_ribbon(days, 55), "id": "s"})
    rows = html.partition("<tbody>")[2]
    assert rows.count("<tr>") == 2
    assert '<a href="/day/?a=1&amp;b=2">Mon, Mar 15</a>' in rows
    assert "1 promised" in rows


def test_the_day_links_each_visit_with_all_of_it_in_words():
    picture = sample.day_curve()
    html = render_to_string("kit/day_curve.svg.html", {"picture": picture, "id": "d"})
    boxes = [box for lane in picture.lanes for box in lane.boxes]
    assert len(boxes) == 10
    assert all(f"<title>{box.name}</title>" in html for box in boxes)


def test_no_picture_has_a_style_or_a_script_of_its_own():
    picture = render_to_string("kit/day_curve.svg.html", {"picture": sample.day_curve(), "id": "d"})
    for html in (ribbon_html(3), picture):
        assert not re.search(r"\bstyle=|<style|<script|\bon\w+=", html)
