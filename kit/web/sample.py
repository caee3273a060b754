"""Make-believe content for the page of parts. Invented names, weather from a formula."""

from __future__ import annotations

import datetime as dt
import math
import random
from typing import Any

from crispy_forms.helper import FormHelper
from crispy_forms.layout import Fieldset, Layout, Row, Submit
from django import forms
from django.core.paginator import Paginator
from django.http import QueryDict

from kit import words
from kit.pictures.curve import CurvePicture, draw_curve
from kit.pictures.day_curve import DayBlock, DayHours, draw_day_curve
from kit.pictures.ribbon import RibbonDay, RibbonPicture, RibbonVisit, draw_ribbon
from kit.pictures.temperature import STOPS_F
from kit.pictures.trend import Reading, TrendPicture, draw_trend
from kit.pictures.verdicts import Finding, VerdictsPicture, draw_verdicts

FIRST_DAY = dt.date(2027, 3, 15)
TODAY = dt.date(2027, 4, 14)
CUSTOMERS = ("Whitfield", "Okafor", "Brandt", "Lindqvist", "Moreau", "Castellanos", "Yoder")


class HomeForm(forms.Form):
    """Stands for any form: one field of each sort."""

    name = forms.CharField(help_text="As it stands on the agreement.")
    phone = forms.CharField(required=False)
    plan = forms.ChoiceField(choices=[("once", "One check a year"), ("twice", "Two checks")])
    test_temperature = forms.IntegerField(
        label="Test temperature, °F", min_value=50, max_value=60, help_text="50 to 60."
    )
    availability = forms.ChoiceField(
        widget=forms.RadioSelect,
        choices=[("any", "any working day"), ("am", "mornings"), ("pm", "afternoons")],
    )
    cover = forms.BooleanField(
        label="A winter cover is used", required=False, help_text="Off before the first run."
    )

    helper = FormHelper()
    helper.layout = Layout(
        Row("name", "phone"),
        Fieldset("Agreement", "plan", "test_temperature", "availability", "cover"),
    )
    helper.add_input(Submit("save", "Save this home"))


class FilterForm(forms.Form):
    technician = forms.ChoiceField(
        required=False, choices=[("", "all"), ("1", "M. Alvarez"), ("2", "T. Nowak")]
    )
    kind = forms.ChoiceField(
        required=False, choices=[("", "all"), ("cooling", "cooling checks"), ("both", "both")]
    )


def everything(query: QueryDict) -> dict[str, Any]:
    """The whole context of kit/parts.html."""
    numbered = ({"label": "Home"}, {"label": "Town"}, {"label": "Systems", "number": True})
    return {
        "nav": "parts",
        "states": words.STATES,
        "stops": [{"token": f, "words": words.temperature(f)} for f in STOPS_F],
        "ribbon": ribbon(visits_a_day=9),
        "busy_ribbon": ribbon(visits_a_day=31),
        "day_curve": day_curve(),
        "verdicts": verdicts(),
        "trend": trend(),
        "curve": curve(),
        "figures": FIGURES,
        "form": HomeForm({"phone": "(515) 555-0142", "test_temperature": "48"}),
        "filters": FilterForm(query or None),
        "columns": numbered,
        "rows": [("14 Alder Court", "Ames", 2), ("9 Quarry Road", "Nevada", 1)],
        "page": Paginator(range(1, 1241), 50).get_page(query.get("page", 3)),
        "tabs": [
            {"label": "Owed", "url": "?tab=owed", "current": True, "count": 38},
            {"label": "Held", "url": "?tab=held", "current": False, "count": 12},
            {"label": "Done", "url": "?tab=done", "current": False, "count": 150},
        ],
    }


FIGURES = [
    {"value": 486, "label": "owed"},
    {"value": 474, "label": "placed"},
    {"value": 12, "label": "held"},
    {"value": 131, "label": "promised"},
    {"value": 150, "label": "done"},
    {"value": "26.5", "label": "expected cold trips", "note": "5 in a hundred"},
    {"value": "13.9", "unit": "min", "label": "travel a visit"},
]


def middle_high_f(day: dt.date) -> float:
    """A smooth inland spring: about 49 °F in mid March, 84 °F in mid June."""
    return 62.5 - 22 * math.cos(2 * math.pi * (day.timetuple().tm_yday - 22) / 365)


def ribbon(*, visits_a_day: int) -> RibbonPicture:
    """A season of 93 days with about so many visits a working day."""
    dice = random.Random(55)  # noqa: S311 - make-believe, and the same each time
    days = [_ribbon_day(FIRST_DAY + dt.timedelta(days=n), visits_a_day, dice) for n in range(93)]
    return draw_ribbon(days, test_temperature_f=55, today=TODAY)


def _ribbon_day(day: dt.date, visits_a_day: int, dice: random.Random) -> RibbonDay:
    middle = middle_high_f(day)
    holiday = "Memorial Day" if day == dt.date(2027, 5, 31) else None
    workday = day.weekday() < 5 and not holiday
    warm_share = 1 / (1 + math.exp(-(middle - 58) / 3))
    count = round(visits_a_day * warm_share * dice.uniform(0.6, 1.3)) if workday else 0
    visits = tuple(_ribbon_visit(day, warm_share, dice) for _ in range(count))
    return RibbonDay(
        day, middle - 11, middle, middle + 10, visits, workday, holiday, f"?day={day:%Y-%m-%d}"
    )


def _ribbon_visit(day: dt.date, warm_share: float, dice: random.Random) -> RibbonVisit:
    if day < TODAY:
        state = dice.choices(("done", "missed"), (14, 1))[0]
    elif day < TODAY + dt.timedelta(days=14):
        state = dice.choices(("promised", "offered"), (3, 1))[0]
    else:
        state = "pencilled"
    heating = dice.random() < 0.1
    warmth = None if heating else min(0.99, max(0.05, dice.gauss(warm_share, 0.08)))
    kind = "heating" if heating else "cooling"
    return RibbonVisit(kind, state, dice.choice(CUSTOMERS), "?visit=1", warmth)


def day_curve() -> Any:
    """Three technicians on a cool April day."""
    middle = [62.0 - 15 * math.cos(2 * math.pi * (h - 3.5) / 24) - 6 for h in range(24)]
    rows = [
        DayHours("M. Alvarez", _blocks("heating", 0.93), (720, 750)),
        DayHours("T. Nowak", _blocks("cooling", 0.55), (750, 780)),
        DayHours("R. Fischer"),
    ]
    return draw_day_curve(
        rows,
        [f - 7 for f in middle],
        middle,
        [f + 7 for f in middle],
        test_temperature_f=55,
    )


def _blocks(first_kind: str, first_warmth: float) -> tuple[DayBlock, ...]:
    kinds = (first_kind, "cooling", "cooling", "both", "cooling")
    starts = (8 * 60, 9 * 60 + 50, 13 * 60, 14 * 60 + 35, 16 * 60 + 10)
    lengths = (75, 85, 75, 80, 45)
    states = ("done", "promised", "promised", "offered", "pencilled")
    warmths = (None if first_kind == "heating" else first_warmth, 0.84, 0.96, 0.97, 0.93)
    rows = zip(starts, lengths, states, kinds, CUSTOMERS, warmths, strict=False)
    return tuple(
        DayBlock(start, start + length, state, kind, name, "?visit=1", warmth)
        for start, length, state, kind, name, warmth in rows
    )


def verdicts() -> VerdictsPicture:
    """One of each sign, with and without a number."""
    return draw_verdicts(
        [
            Finding("Airflow", "within", "in order", "Enough air moves.", 410, 300, 450),
            Finding("Electrical parts", "watch", "watch", "A part wears out.", -5.4, -6, 6),
            Finding("Refrigerant", "act", "needs repair", "There is too little.", 24, 8, 18),
            Finding("Condition", "unjudged", "not judged", "Nobody could look at it."),
        ]
    )


def curve() -> CurvePicture | None:
    """A search of 15 seconds that soon finds most of what there is to find."""
    points = [(0.7, 61_000), (1.4, 19_500), (3.0, 12_400), (6.0, 10_900), (15.0, 10_200)]
    return draw_curve(points, 15.0)


def trend() -> TrendPicture | None:
    """A capacitor on its way to its limit, and the new one."""
    values = ((2023, 0.4, False), (2024, -2.0, False), (2025, -5.1, False), (2026, 0.2, True))
    readings = [Reading(dt.date(year, 5, 4), value, anew) for year, value, anew in values]
    return draw_trend(readings, (-6.0, 6.0))
