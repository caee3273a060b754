from fieldwork.models.check_list import CheckList, CheckListKind, CheckListVersion
from fieldwork.models.entry import Entry
from fieldwork.models.found import (
    PartUsed,
    Photo,
    Recommendation,
    RecommendationState,
    Replaced,
    Urgency,
)
from fieldwork.models.phone import EventState, PhoneEvent
from fieldwork.models.record import Outcome, Record
from fieldwork.models.stamp import RouteOrder, Stamp, StampKind

__all__ = [
    "CheckList",
    "CheckListKind",
    "CheckListVersion",
    "Entry",
    "EventState",
    "Outcome",
    "PartUsed",
    "PhoneEvent",
    "Photo",
    "Recommendation",
    "RecommendationState",
    "Record",
    "Replaced",
    "RouteOrder",
    "Stamp",
    "StampKind",
    "Urgency",
]
