"""The picture of `bin/bench growth`: seconds and memory against the number of visits, as SVG."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from html import escape
from math import ceil

from kit.pictures.plane import HEIGHT, WIDTH, Axis, PlaneMark, PlanePicture, draw_plane

LOOKS = (
    "text{font:11.5px 'Source Sans 3',system-ui,sans-serif;fill:#35261d;"
    "paint-order:stroke;stroke:#fffefc;stroke-width:4px}"
    ".grid{stroke:#e0d7cc}.line{fill:none;stroke:#861650;stroke-width:2}"
    ".mark{fill:#861650}.strong{font-weight:600}"
)
"""Colours of static/css/tokens.css; a picture outside the app has to bring them along."""
Pairs = Sequence[tuple[float | None, float | None]]
TITLE = "A season's planning grows with its visits: "


def drawn(points: Sequence[Mapping[str, float | None]], *, cpu: bool) -> str:
    """Two planes side by side. A season that was not complete in time has no mark at the left."""
    kind = "processor seconds" if cpu else "seconds"
    seconds = [(p["visits"], p["complete_s"]) for p in points]
    memory = [(p["visits"], p["above_mb"]) for p in points]
    planes = [
        _plane(seconds, f"{kind} until every visit has its place", "s"),
        _plane(memory, "memory above the bare process, MB", "MB"),
    ]
    parts = "".join(
        f'<g transform="translate({number * WIDTH:g})">{_svg(plane)}</g>'
        for number, plane in enumerate(planes)
    )
    words = escape(TITLE + "; ".join(_words(plane) for plane in planes), quote=False)
    size = f'width="{2 * WIDTH:g}" height="{HEIGHT:g}" viewBox="0 0 {2 * WIDTH:g} {HEIGHT:g}"'
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" {size} role="img"><title>{words}</title>'
        f'<style>{LOOKS}</style><rect width="100%" height="100%" fill="#fffefc"/>{parts}</svg>\n'
    )


def _plane(
    pairs: Sequence[tuple[float | None, float | None]], words: str, unit: str
) -> PlanePicture:
    known = [(x, y) for x, y in pairs if x is not None and y is not None]
    marks = [PlaneMark(x, y, "", f"{y:g}", f"{x:,.0f} visits, {y:g} {unit}") for x, y in known]
    most = max(y for _, y in known)
    across = Axis(0, 11_000, tuple(range(0, 10_001, 2000)), "visits", lambda n: f"{n:,.0f}")
    step = _step(most)
    ticks = tuple(n * step for n in range(ceil(most / step) + 1))
    return draw_plane([], [marks], across, Axis(0, ticks[-1], ticks, words))


def _step(most: float) -> float:
    """A round distance of lines, of which about five stand below `most`."""
    steps = [factor * 10.0**power for power in range(-2, 5) for factor in (1, 2, 5)]
    return min(steps, key=lambda step: abs(most / step - 5))


def _words(plane: PlanePicture) -> str:
    return plane.y_words + " " + ", ".join(mark.name for mark in plane.marks)


def _svg(plane: PlanePicture) -> str:
    parts = [
        f'<path class="grid" d="M{plane.left:g} {row.y}H{plane.right:g}"/>'
        f'<text x="{plane.left - 8:g}" y="{row.y + 4:g}" text-anchor="end">{row.text}</text>'
        for row in plane.rows
    ]
    parts += [
        f'<text x="{column.x}" y="{plane.bottom + 16:g}" text-anchor="middle">{column.text}</text>'
        for column in plane.columns
    ]
    parts += [
        f'<text class="strong" x="8" y="16">{plane.y_words}</text>',
        f'<text class="strong" x="{plane.right:g}" y="{plane.height - 10:g}" text-anchor="end">'
        f"{plane.x_words}</text>",
        *(f'<path class="line" d="{line}"/>' for line in plane.lines),
    ]
    for mark in plane.marks:
        x, y = mark.x + 6, mark.y + 6  # the plane gives the corner of a mark of 12 by 12
        parts.append(f'<circle class="mark" cx="{x:g}" cy="{y:g}" r="4"/>')
        place = f'x="{mark.label_x}" y="{mark.label_y}" text-anchor="{mark.anchor}"'
        parts.append(f"<text {place}>{mark.label}</text>")
    return "".join(parts)
