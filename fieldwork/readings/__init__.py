"""What a technician's readings mean. Pure: no Django, no clock, no rows.

    equipment = Equipment("air_conditioner", refrigerant="R-410A", metering="fixed", tons=3)
    fields_for(equipment, check_lists(equipment, "cooling"))   what to ask, in working order
    read_entry(FIELDS["suction_psig"], "118", equipment, {})   Accepted, Asked or Refused
    judgement = judge(equipment, readings, earlier)            verdicts, causes, emergencies

`readings` map names of `FIELDS` to a float in the field's unit, the stored word of a choice or a
look ("pass", "attention", "fail"), or a bool. A reading that was not taken is not in the mapping.

A `Judgement` says first what overrides everything (`emergencies`), then one `Verdict` a subject:
within limits, watch, act, or cannot judge and why. `test` says whether the owed cooling test is
satisfied: "warm", "provisional" (judged, but colder than preferred) or "owed".

Temperatures °F, pressures psig at the home's own elevation, air in WC and cfm. Every limit and
its source is in `limits.py`; where the figures come from, in SOURCES.md.
"""

from fieldwork.readings.bounds import hard_range, soft_range
from fieldwork.readings.contradiction import Contradiction
from fieldwork.readings.contradictions import contradictions
from fieldwork.readings.entry import Accepted, Asked, Entry, Refused, read_entry
from fieldwork.readings.equipment import A2L, Equipment, MakerPressures
from fieldwork.readings.fields import FIELDS, check_lists, fields_for
from fieldwork.readings.fields.field import SECTIONS, CheckList, Field, Value
from fieldwork.readings.judging import judge
from fieldwork.readings.limits import DEFAULT_LIMITS, RULES, Limit, Limits
from fieldwork.readings.verdicts import (
    GROUPS,
    Cause,
    EarlierVisit,
    Emergency,
    Gate,
    Judgement,
    Outcome,
    Readings,
    Trend,
    Verdict,
)

__all__ = [
    "A2L", "DEFAULT_LIMITS", "FIELDS", "GROUPS", "RULES", "SECTIONS", "Accepted", "Asked", "Cause",
    "CheckList", "Contradiction", "EarlierVisit", "Emergency", "Entry", "Equipment", "Field",
    "Gate", "Judgement", "Limit", "Limits", "MakerPressures", "Outcome", "Readings", "Refused",
    "Trend", "Value", "Verdict", "check_lists", "contradictions", "fields_for", "hard_range",
    "judge", "read_entry", "soft_range",
]  # fmt: skip
