"""The safety questions as verdicts; a bad answer is also an emergency (emergencies.py)."""

from __future__ import annotations

from collections.abc import Iterator

from fieldwork.readings.case import Case
from fieldwork.readings.fields import fields_for
from fieldwork.readings.fields.field import Field
from fieldwork.readings.judged.emergencies import ANSWERS
from fieldwork.readings.subject import Subject
from fieldwork.readings.verdicts import Outcome, Verdict

_ALARMING = {name: (answer, action, plain) for name, answer, _, action, plain in ANSWERS}


def safety(case: Case) -> Iterator[Verdict]:
    """One verdict a question that this equipment is asked."""
    for field in fields_for(case.equipment, case.lists):
        if field.name in _ALARMING:
            yield _answered(case, field)


def _answered(case: Case, field: Field) -> Verdict:
    if field.name not in case.readings:
        subject = Subject(field.name, "F", field.label)
        return subject.cannot("Not answered.", missing=(field.name,))
    answer = case.readings[field.name]
    alarming, action, plain = _ALARMING[field.name]
    shown = dict(field.choices).get(str(answer), "yes" if answer is True else "no")
    outcome, sentence = Outcome.WITHIN, f"{field.label}: {shown}."
    if answer == alarming:
        outcome, sentence = Outcome.ACT, f"{sentence} {action}"
    elif answer == "suspect":
        outcome, plain = Outcome.WATCH, "Part of the furnace has to be looked at again."
    else:
        plain = ""
    return Verdict(
        field.name, "F", field.label, outcome, sentence, plain,
        limit_source="what the technician saw", used=(field.name,),
    )  # fmt: skip
