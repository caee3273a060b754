"""Days and years as people and spreadsheet programs write them. Dates are month first."""

from __future__ import annotations

import datetime as dt
import re
import time

from customers.spreadsheet.outcomes import CellRefused

EARLIEST = dt.date(1950, 1, 1)
LATEST = dt.date(2100, 12, 31)
_LEAST_YEAR = 1950

# Two-digit years: 69 to 99 are 19xx, 00 to 68 are 20xx (POSIX strptime, %y).
_FORMS = (
    *("%Y-%m-%d", "%m/%d/%Y", "%m/%d/%y"),
    *("%b %d %Y", "%B %d %Y", "%b %d %y", "%B %d %y"),
    *("%d %b %Y", "%d %B %Y", "%d %b %y", "%d %B %y"),
)
# A day as Excel and LibreOffice count it: 1 is 1 January 1900, 60 the 29 February 1900 that
# never was, so from 1 March 1900 on the count starts at 30 December 1899.
_SERIAL_START = dt.date(1899, 12, 30)
_SERIAL = re.compile(r"([2-7][0-9]{4})(\.[0-9]+)?")
_TIME = re.compile(r"[T ]+[0-9]{1,2}:[0-9]{2}(:[0-9]{2}(\.[0-9]+)?)?( ?[AP]M)?Z?$", re.IGNORECASE)
_WEEKDAY = re.compile(r"^(mon|tue|wed|thu|fri|sat|sun)[a-z]*[ ,.]+", re.IGNORECASE)
_NUMBERS = re.compile(r"([0-9]{1,2})[-/]([0-9]{1,2})[-/]([0-9]{4}|[0-9]{2})")
_YEAR_FIRST = re.compile(r"([0-9]{4})[-/]?([0-9]{2})[-/]?([0-9]{2})|([0-9]{4})[-/](\d+)[-/](\d+)")
_YEAR = re.compile(r"(?<![0-9])((?:19|20)[0-9]{2})(?![0-9])")


def read_date(text: str, *, earliest: dt.date = EARLIEST, latest: dt.date = LATEST) -> dt.date:
    """A day: 2024-04-03, 4/3/2024, 4/3/24, Apr 3 2024, 3-Apr-24, or a spreadsheet's 45385.

    13/04/2024 is refused, because no month 13 exists; 03/04/2024 is 4 March.
    """
    plain = _WEEKDAY.sub("", _TIME.sub("", text))
    day = _serial(plain) or _written(plain)
    if day is None:
        raise _unreadable(text, plain)
    if not earliest <= day <= latest:
        raise CellRefused(
            "date_out_of_range",
            f"{_words(day)} is outside {_words(earliest)} to {_words(latest)}.",
        )
    return day


def read_year(text: str, *, latest: int) -> int:
    """A year from 1950 to `latest`: 2014, '09, 5/2014, or any date."""
    short = re.fullmatch(r"['’]?([0-9]{2})", text)
    if short:
        year = int(short[1]) + (2000 if 2000 + int(short[1]) <= latest else 1900)
    elif found := _YEAR.search(text):
        year = int(found[1])
    else:
        year = read_date(text).year
    if not _LEAST_YEAR <= year <= latest:
        raise CellRefused("year_out_of_range", f"{year} is outside {_LEAST_YEAR} to {latest}.")
    return year


def _serial(text: str) -> dt.date | None:
    match = _SERIAL.fullmatch(text)
    return _SERIAL_START + dt.timedelta(days=int(match[1])) if match else None


def _written(text: str) -> dt.date | None:
    plain = _plain(text)
    for form in _FORMS:
        try:
            return dt.date(*time.strptime(plain, form)[:3])
        except ValueError:
            continue
    return None


def _plain(text: str) -> str:
    """One of the forms above: numbers with their usual stroke, words with spaces."""
    if match := _YEAR_FIRST.fullmatch(text):
        return "-".join(part for part in match.groups() if part)
    if match := _NUMBERS.fullmatch(text.replace(" ", "")):
        return "/".join(match.groups())
    words = re.sub(r"(?<=[0-9])(st|nd|rd|th)\b", "", text, flags=re.IGNORECASE)
    words = re.sub(r"\bsept\b", "Sep", words, flags=re.IGNORECASE)
    return " ".join(re.findall(r"[A-Za-z]+|[0-9]+", words)) if re.search("[A-Za-z]", words) else ""


def _unreadable(text: str, plain: str) -> CellRefused:
    numbers = _NUMBERS.fullmatch(plain.replace(" ", ""))
    if numbers and int(numbers[1]) > 12:
        return CellRefused(
            "date_impossible",
            f"“{text}” has no month {int(numbers[1])}; dates are read month/day/year.",
        )
    if numbers or _YEAR_FIRST.fullmatch(plain):
        return CellRefused("date_impossible", f"“{text}” is a day that does not exist.")
    return CellRefused(
        "date_unreadable", f"“{text}” is not a date; write it as 4/3/2024 or 2024-04-03."
    )


def _words(day: dt.date) -> str:
    return f"{day.month}/{day.day}/{day.year}"
