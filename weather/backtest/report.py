"""A backtest in words and as one JSON object."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from typing import Any

from weather.backtest.figures import Figures
from weather.backtest.frontier import Point, most_valid_within, recommended
from weather.backtest.policy import Policy
from weather.backtest.running import Setup
from weather.backtest.springs import Skipped, Spring

HEADINGS = (
    ("warm_percent", "warm %"),
    ("worst_spring_percent", "worst spring"),
    ("worst_run_percent", "worst run"),
    ("valid_before_85f", "valid < 85 °F"),
    ("finish_doy", "finish day"),
    ("promises_broken", "broken"),
    ("trips_lost", "trips lost"),
    ("not_done", "not done"),
    ("mean_notice_days", "notice, days"),
)
NAME_WIDTH = 26


@dataclass(frozen=True)
class Report:
    """Everything a backtest found."""

    springs: Sequence[Spring]
    skipped: Sequence[tuple[str, Skipped]]  # with the file's name
    notes: Sequence[str]
    policy: Policy
    setup: Setup
    policies: Mapping[str, Figures]
    recommended: Figures  # with the short-notice list, at `frontier.recommended` settings
    frontier: Sequence[Point] = ()


def as_text(report: Report) -> str:
    """Tables of 80 to 130 characters a line."""
    lines = [*_springs(report), "", *_settings(report), "", _row("policy", _headings())]
    lines += [_row(name, _cells(figures)) for name, figures in report.policies.items()]
    if report.policy != recommended(report.policy):
        lines.append(_row("  at recommended settings", _cells(report.recommended)))
    if report.frontier:
        lines += ["", "What each setting costs (* unbeaten in warm, valid and broken together)"]
        lines.append(_row("setting", _headings()))
        lines += [_row(_point_name(point), _cells(point.figures)) for point in report.frontier]
        lines += ["", had_together(report)]
    return "\n".join(lines) + "\n"


def as_json(report: Report) -> dict[str, Any]:
    """Plain values; `policies` maps each policy's name to its numbers."""
    return {
        "policies": {name: _numbers(figures) for name, figures in report.policies.items()},
        "worst_springs": {name: figures.worst_spring for name, figures in report.policies.items()},
        "springs": [
            {
                "place": spring.place,
                "year": spring.year,
                "first_85f": str(spring.days[spring.heat_day])
                if spring.heat_day is not None
                else None,
                "climate": spring.climate_words,
            }
            for spring in report.springs
        ],
        "skipped": [
            {"file": name, "year": one.year, "why": one.why} for name, one in report.skipped
        ],
        "places": sorted({spring.place for spring in report.springs}),
        "notes": list(report.notes),
        "seeds": report.setup.seeds,
        "had_together": had_together(report),
        "setup": asdict(report.setup),
        "settings": asdict(report.policy),
        "recommended": {
            "settings": asdict(recommended(report.policy)),
            **_numbers(report.recommended),
        },
        "frontier": [
            {
                "policy": point.policy,
                "setting": point.setting,
                "value": point.value,
                "unbeaten": point.unbeaten,
                **_numbers(point.figures),
            }
            for point in report.frontier
        ],
    }


def had_together(report: Report) -> str:
    """Which figures can be had together, in one sentence."""
    good, best = most_valid_within(report.frontier, report.setup.checks)
    wanted = (
        "98 % warm, 92 % in the worst spring and at most "
        f"{18 * report.setup.checks / 200:g} promises broken"
    )
    if best is None:
        return f"No setting here reaches {wanted}."
    return (
        f"{len(good)} of {len(report.frontier)} settings reach {wanted}; the most valid tests "
        f"among them: {best.figures.valid_before_85f:.1f} of {report.setup.checks}, with "
        f"{best.policy}, {best.setting} {best.value:g}."
    )


def _springs(report: Report) -> list[str]:
    lines = []
    for spring in report.springs:
        heat = f"{spring.days[spring.heat_day]:%d %b}" if spring.heat_day is not None else "never"
        lines.append(f"{spring.name}: first 85 °F {heat}; climate from {spring.climate_words}")
    lines += [f"{name} {one.year} left out: {one.why}" for name, one in report.skipped]
    return lines + list(report.notes)


def _settings(report: Report) -> list[str]:
    setup = report.setup
    again = "driven again" if setup.return_trips else "not repeated"
    return [
        f"{setup.checks} checks, {setup.technicians} technicians, from "
        f"{setup.first[0]:02d}-{setup.first[1]:02d}, {setup.seeds} seeds, forecast errors "
        f"× {setup.error_scale:g}, cold trips {again}",
        ", ".join(f"{name} {value:g}" for name, value in asdict(report.policy).items()),
    ]


def _row(name: str, cells: Sequence[str]) -> str:
    return name.ljust(NAME_WIDTH) + "".join(cell.rjust(14) for cell in cells)


def _headings() -> list[str]:
    return [words for _, words in HEADINGS]


def _cells(figures: Figures) -> list[str]:
    return [f"{getattr(figures, name):.1f}" for name, _ in HEADINGS]


def _point_name(point: Point) -> str:
    name = "both limits" if point.setting == "both_limits" else point.setting
    alone = ", no list" if point.policy == "repair" else ""
    return f"{'*' if point.unbeaten else ' '} {name} {point.value:g}{alone}"


def _numbers(figures: Figures) -> dict[str, float]:
    return {
        name: round(value, 3) for name, value in asdict(figures).items() if name != "worst_spring"
    }
