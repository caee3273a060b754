"""Verbs of the weather room."""

from weather.actions.climate import set_climate
from weather.actions.forecasts import (
    claim_asking,
    keep_forecast,
    note_trouble,
    prune_forecasts,
    remember_place,
    remember_station,
)
from weather.actions.learning import learn_skill
from weather.actions.observations import observe_hours

__all__ = [
    "claim_asking",
    "keep_forecast",
    "learn_skill",
    "note_trouble",
    "observe_hours",
    "prune_forecasts",
    "remember_place",
    "remember_station",
    "set_climate",
]
