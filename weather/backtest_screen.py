"""What a backtest found, as pictures and tables."""

from __future__ import annotations

import datetime as dt
from typing import Any

from kit.pictures.plane import Axis, PlaneMark, PlanePicture, draw_plane
from weather.backtest.frontier import (
    BOTH_LIMITS,
    WANTED_BROKEN_OF_200,
    WANTED_WARM,
    WANTED_WORST,
    WITH_LIST,
    WITHOUT_LIST,
)
from weather.backtest_run import BacktestRun

POLICIES = {
    "calendar": ("By the calendar", "mark-missed", "from 1 April in order, whatever the weather"),
    "climate": ("By the climate", "mark-owed", "what is usually warm enough; no forecast"),
    "repair": (
        "With the forecast",
        "mark-offered",
        "promised early only when nearly sure; what turns cold is called off",
    ),
    "short_notice": (
        "With a short-notice list",
        "mark-promised",
        "the same, and late warm slots go to those who agreed to be called",
    ),
    "foresight": ("Perfect foresight", "mark-done", "what nobody can do: the limit"),
}
SETTINGS = {
    BOTH_LIMITS: "Book from and hold below",
    "first_booking_limit": "Book from",
    "hold_limit": "Hold below",
    "pull_forward_limit": "Promise early from",
    "notice_days": "Notice",
    "promise_days": "Promise ahead",
    "short_notice_share": "Customers at short notice",
    "short_notice_days": "Short notice is",
    "last_look_days": "Last look",
}
COLUMNS = (
    ("warm_percent", "Warm, %"),
    ("worst_spring_percent", "Worst spring, %"),
    ("valid_before_85f", "Tested before 85 °F"),
    ("finish", "Finished"),
    ("promises_broken", "Promises broken"),
    ("trips_lost", "Trips lost"),
    ("mean_notice_days", "Notice, days"),
)
ANY_YEAR = 2027  # for a day of the year as a date


def found_on_screen(run: BacktestRun) -> dict[str, Any]:
    """What the page of a ready run needs."""
    found = run.found
    return {
        "found": found,
        "columns": [{"label": words, "number": True} for _, words in COLUMNS],
        "policies": [
            {"name": words, "about": about, "shape": shape, "cells": _cells(found["policies"][key])}
            for key, (words, shape, about) in POLICIES.items()
        ],
        "recommended": _recommended(found),
        "axes": _axes(found["frontier"]),
        "together": _together(found),
        "plane": _policies_picture(found["policies"]),
        "frontier": _frontier_picture(found),
        "not_done": any(one["not_done"] for one in found["policies"].values()),
    }


def day_words(doy: float) -> str:
    """A day of the year as people say it."""
    day = dt.date(ANY_YEAR, 1, 1) + dt.timedelta(days=round(doy) - 1)
    return f"{day:%b} {day.day}"


def _recommended(found: dict[str, Any]) -> dict[str, Any] | None:
    """The settings that did best elsewhere, in these springs; None: they are the ones tried."""
    best = found["recommended"]
    if best["settings"] == found["settings"]:
        return None
    settings = best["settings"]
    about = (
        f"book from and hold below {100 * settings['first_booking_limit']:g} %, promise early "
        f"from {100 * settings['pull_forward_limit']:g} %, {settings['promise_days']} days ahead"
    )
    return {"about": about, "cells": _cells(best)}


def _cells(numbers: dict[str, Any]) -> list[str]:
    shown = {**numbers, "finish": day_words(numbers["finish_doy"])}
    return [
        shown[name]
        if name == "finish"
        else f"{shown[name]:.{0 if name == 'valid_before_85f' else 1}f}"
        for name, _ in COLUMNS
    ]


def _axes(frontier: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """The frontier's points by setting, the joint limits apart with and without a list."""
    tables: dict[tuple[str, str], list[dict[str, Any]]] = {}
    for point in frontier:
        row = {
            "value": _value_words(point["setting"], point["value"]),
            "unbeaten": point["unbeaten"],
            "cells": _cells(point),
        }
        tables.setdefault((point["setting"], point["policy"]), []).append(row)
    return [
        {"title": SETTINGS[setting] + (", no list" if policy == WITHOUT_LIST else ""), "rows": rows}
        for (setting, policy), rows in tables.items()
    ]


def _together(found: dict[str, Any]) -> str:
    """What the settings that are good in everything have in common with the most valid tests."""
    checks = found["setup"]["checks"]
    most_broken = WANTED_BROKEN_OF_200 * checks / 200
    good = [
        point
        for point in found["frontier"]
        if point["warm_percent"] >= WANTED_WARM
        and point["worst_spring_percent"] >= WANTED_WORST
        and point["promises_broken"] <= most_broken
    ]
    wanted = (
        f"{WANTED_WARM:g} % tested warm, {WANTED_WORST:g} % in the worst spring and at most "
        f"{most_broken:g} promises broken"
    )
    if not good:
        return f"No setting tried here reaches {wanted}."
    best = max(good, key=lambda point: float(point["valid_before_85f"]))
    setting, value = SETTINGS[best["setting"]], _value_words(best["setting"], best["value"])
    return (
        f"{len(good)} of {len(found['frontier'])} settings tried reach {wanted}. Most tests before "
        f"85 °F among them: {best['valid_before_85f']:.0f} of {checks}, "
        f"{POLICIES[best['policy']][0].lower()}, {setting.lower()} {value}."
    )


def _value_words(setting: str, value: float) -> str:
    if setting in ("short_notice_days", "last_look_days"):
        return ("the same morning", "the day before", "two days before")[int(value)]
    if setting.endswith("_days"):
        return f"{value:g} day{'s' if value != 1 else ''}"
    return f"{100 * value:g} %"


def _policies_picture(policies: dict[str, Any]) -> PlanePicture:
    marks = [
        PlaneMark(
            numbers["finish_doy"],
            numbers["warm_percent"],
            shape,
            words,
            f"{words}: {numbers['warm_percent']:.1f} % warm, finished "
            f"{day_words(numbers['finish_doy'])}",
        )
        for key, (words, shape, _) in POLICIES.items()
        for numbers in [policies[key]]
    ]
    return draw_plane(
        marks,
        [],
        Axis.around([mark.x for mark in marks], 10, "finished, earlier is better",
                    tick_words=day_words),
        Axis.around([mark.y for mark in marks], 10, "% tested warm", high=100),
    )  # fmt: skip


def _frontier_picture(found: dict[str, Any]) -> PlanePicture:
    curves = [
        [
            PlaneMark(
                point["valid_before_85f"],
                point["warm_percent"],
                POLICIES[policy][1],
                f"{100 * point['value']:g}",
                f"{POLICIES[policy][0]}, limits {100 * point['value']:g} %: "
                f"{point['warm_percent']:.1f} % warm, {point['valid_before_85f']:.0f} valid, "
                f"{point['promises_broken']:.1f} promises broken",
            )
            for point in found["frontier"]
            if (point["setting"], point["policy"]) == (BOTH_LIMITS, policy)
        ]
        for policy in (WITH_LIST, WITHOUT_LIST)
    ]
    every = [mark for curve in curves for mark in curve]
    return draw_plane(
        [],
        curves,
        Axis.around([mark.x for mark in every], 5, "tested before 85 °F, more is better"),
        Axis.around([mark.y for mark in every], 2, "% tested warm", high=100),
    )
