"""The climate that a new branch starts with: Milwaukee's, and labelled as a demonstration."""

import json
from pathlib import Path

from weather.climate import Climate

MILWAUKEE = Path(__file__).resolve().parent.parent / "fixtures" / "climate" / "milwaukee.json"


def demonstration_climate() -> Climate:
    """Milwaukee, Wisconsin, 1991-2020. How it was made: fixtures/climate/SOURCES.md."""
    return Climate.from_dict(json.loads(MILWAUKEE.read_text(encoding="utf-8")))
