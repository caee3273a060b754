"""The almanac: what is known of the branch's weather, and how good that knowledge was."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from django.http import HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_GET

from kit import words
from kit.pictures.plane import Axis, PlaneMark, PlanePicture, draw_plane
from kit.pictures.temperature import line_path
from shop.access import StaffRequest, office_only
from weather.almanac import Almanac, almanac_of, attribution, skill_rows, start_words
from weather.news import news_of
from weather.outlook_rows import NoClimate
from weather.reliability import Bin
from weather.signs import Heat

SKILL_COLUMNS = ("Days ahead", "Bias, °F", "Spread, °F", "At first, °F", "Days learnt")
SHARES = (0.0, 20.0, 40.0, 60.0, 80.0, 100.0)


@require_GET
@office_only
def show(request: StaffRequest) -> HttpResponse:
    """One page for reading; nothing here changes anything."""
    now = timezone.now()
    context: dict[str, Any] = {"nav": "weather"}
    try:
        almanac = almanac_of(request.branch, now)
    except NoClimate as refusal:
        return render(request, "weather/almanac.html", context | {"no_climate": str(refusal)})
    made_at = almanac.forecast.updated_at if almanac.forecast else None
    context["news"] = news_of(request.branch, almanac.place, made_at, now)
    return render(request, "weather/almanac.html", context | _on_screen(almanac))


def _on_screen(almanac: Almanac) -> dict[str, Any]:
    age_h = almanac.outlook.age_h
    return {
        "almanac": almanac,
        "attribution": attribution(almanac.forecast),
        "age": None if age_h is None else words.duration(60 * age_h),
        "early_heat": words.short_day(almanac.early_heat) if almanac.early_heat else "",
        "heat_title": _heat_title(almanac.heat) if almanac.heat else "",
        "testable": start_words(almanac.testable),
        "storms": [
            {"storm": one, "dangers": ", ".join(sorted(one.dangers))} for one in almanac.storms
        ],
        "skill_columns": [
            {"label": label, "number": n > 0} for n, label in enumerate(SKILL_COLUMNS)
        ],
        "skill_rows": skill_rows(almanac.skill),
        "reliability": _reliability(almanac.bins) if almanac.bins else None,
    }


def _heat_title(heat: Heat) -> str:
    return f"85 °F or more on {words.day_name(heat.day)}: {words.percent(heat.chance)}"


def _reliability(bins: tuple[Bin, ...]) -> PlanePicture:
    """Told across, came upward; on the rising line the two agree."""
    marks = [
        PlaneMark(
            100 * one.told,
            100 * one.came,
            "mark-done",
            f"{one.cases}",
            f"told {words.percent(one.told)}: warm {words.percent(one.came)} of the time, "
            f"{words.counted(one.cases, 'check')}",
        )
        for one in bins
    ]
    told = Axis(0.0, 100.0, SHARES, "warmth told, %")
    came = Axis(0.0, 100.0, SHARES, "warm enough, %")
    picture = draw_plane(marks, [], told, came)
    rising = line_path([(picture.left, picture.bottom), (picture.right, picture.top)])
    return replace(picture, lines=(rising,))
