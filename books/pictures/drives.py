"""How long drives took over what the map makes one expect: a line of middles in its band. Pure."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from customers.places import PARKING_MIN
from kit import words

# Picture units; one unit is one CSS pixel at the natural size.
LEFT, RIGHT, TOP, FLOOR, WIDTH, HEIGHT = 32.0, 318.0, 30.0, 244.0, 330.0, 284.0
GRID_MIN, MOST_MIN = 15, 60


@dataclass(frozen=True, slots=True)
class Middle:
    """Drives of which about the same was expected: the middle one and the middle half of them."""

    x: float
    y: float
    high_y: float
    low_y: float
    name: str


@dataclass(frozen=True, slots=True)
class GridLine:
    """Every quarter of an hour, across and up."""

    x: float
    y: float
    label: str


@dataclass(frozen=True, slots=True)
class DrivesPicture:
    """`expected`, `planned`: ends of the lines "as expected" and "as planned", x1 y1 x2 y2."""

    middles: tuple[Middle, ...]
    grid: tuple[GridLine, ...]
    expected: tuple[float, float, float, float]
    planned: tuple[float, float, float, float]
    description: str
    left: float = LEFT
    right: float = RIGHT
    top: float = TOP
    floor: float = FLOOR
    width: float = WIDTH
    height: float = HEIGHT


def draw_drives(
    middles: Sequence[tuple[float, int, int, int, int]], planned_percent: int
) -> DrivesPicture | None:
    """`middles`: minutes expected with parking, drives, and the per cent of it (without parking)
    below which a quarter, half and three quarters of them lie. None: there are none."""
    shown = [middle for middle in middles if middle[0] <= MOST_MIN]
    if not shown:
        return None
    most = max(30.0, *(max(one[0], _took(one[0], one[4])) for one in shown))
    most = min(GRID_MIN * -(-most // GRID_MIN), 2.0 * MOST_MIN)
    return DrivesPicture(
        middles=tuple(_middle(middle, most) for middle in shown),
        grid=tuple(
            GridLine(_x(minute, most), _y(minute, most), str(minute))
            for minute in range(0, int(most) + 1, GRID_MIN)
        ),
        expected=_line(100, most),
        planned=_line(planned_percent, most),
        description=f"{words.counted(sum(middle[1] for middle in shown), 'drive')} by the minutes "
        "that the map makes one expect: "
        + "; ".join(f"of {x:g} expected, {_took(x, half):.0f} taken" for x, _, _, half, _ in shown)
        + ".",
    )


def _took(expected_min: float, percent: int) -> float:
    return (expected_min - PARKING_MIN) * percent / 100 + PARKING_MIN


def _x(minute: float, most: float) -> float:
    return round(LEFT + (RIGHT - LEFT) * min(minute, most) / most, 1)


def _y(minute: float, most: float) -> float:
    return round(FLOOR - (FLOOR - TOP) * min(minute, most) / most, 1)


def _middle(middle: tuple[float, int, int, int, int], most: float) -> Middle:
    expected_min, drives, low, half, high = middle
    took = [_took(expected_min, percent) for percent in (low, half, high)]
    return Middle(
        x=_x(expected_min, most),
        y=_y(took[1], most),
        high_y=_y(took[2], most),
        low_y=_y(took[0], most),
        name=f"About {expected_min:g} minutes expected: {words.counted(drives, 'drive')}, half of "
        f"them took {took[0]:.0f} to {took[2]:.0f}, the middle one {took[1]:.0f}",
    )


def _line(percent: int, most: float) -> tuple[float, float, float, float]:
    """From no driving, only parking, to where it leaves the picture."""
    end = min(most, (most - PARKING_MIN) / percent * 100 + PARKING_MIN)
    return (
        _x(PARKING_MIN, most), _y(PARKING_MIN, most), _x(end, most), _y(_took(end, percent), most),
    )  # fmt: skip
