"""Figures as the technician reads them. Rounded here, and nowhere before a comparison."""

from __future__ import annotations

NARROW = "\u00a0"  # keeps a number and its unit on one line


def number(value: float, decimals: int = 0) -> str:
    """12.04 -> "12.0", -3 -> "−3", 44000 -> "44,000"; never "−0"."""
    rounded = round(value, decimals) + 0.0
    return f"{rounded:,.{decimals}f}".replace("-", "−")


def amount(value: float, unit: str, decimals: int = 0) -> str:
    """A number with its unit: "13.0 °F"."""
    return f"{number(value, decimals)}{NARROW}{unit}" if unit else number(value, decimals)


def allowed(low: float | None, high: float | None, unit: str, decimals: int = 0) -> str:
    """A range in words: "8.0 to 18.0 °F", "at most 0.50 in WC", "at least 300 cfm/ton"."""
    if low is not None and high is not None:
        return f"{number(low, decimals)} to {amount(high, unit, decimals)}"
    if high is not None:
        return f"at most {amount(high, unit, decimals)}"
    return "anything" if low is None else f"at least {amount(low, unit, decimals)}"


def listed(words: tuple[str, ...] | list[str], last: str = "and") -> str:
    """ "a, b and c"."""
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} {last} {words[-1]}"
