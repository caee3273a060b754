"""The judgement of a visit."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from fieldwork.readings.equipment import Equipment
from fieldwork.readings.fields.field import CheckList
from fieldwork.readings.limits import DEFAULT_LIMITS, Limits
from fieldwork.readings.verdicts import EarlierVisit, Judgement, Readings


def judge(
    equipment: Equipment,
    readings: Readings,
    earlier: Sequence[EarlierVisit] = (),
    rules: Limits = DEFAULT_LIMITS,
    *,
    lists: tuple[CheckList, ...] | None = None,
    today: date | None = None,
) -> Judgement:
    """Judge the readings of one visit to one equipment.

    `readings` hold what was given, by the names of `FIELDS`: numbers as float in the field's unit,
    choices and looks as the stored word, yes and no as bool. `earlier` are visits to the same
    equipment, in any order. `lists` are the check lists gone through; None takes those of which
    something was read. `today` dates this visit for the trends; None leaves them out.

    Raises ValueError for a name that is no field. Never raises for a reading, however impossible:
    what contradicts another or lies beyond its hard range is left out and reported.
    """
    raise NotImplementedError
