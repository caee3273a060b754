from scheduling.models.event import VisitEvent
from scheduling.models.offer import Answer, Offer, SlotHold
from scheduling.models.repair import REPAIRS, Repair, RepairStep, SeasonWatch, StepState, What
from scheduling.models.run import RunKind, RunState, SeasonRun
from scheduling.models.season import Season
from scheduling.models.technician import DayOff, Shift, Skill, Technician
from scheduling.models.trip import Outcome, Trip
from scheduling.models.visit import State, Visit, Workday

__all__ = [
    "REPAIRS",
    "Answer",
    "DayOff",
    "Offer",
    "Outcome",
    "Repair",
    "RepairStep",
    "RunKind",
    "RunState",
    "Season",
    "SeasonRun",
    "SeasonWatch",
    "Shift",
    "Skill",
    "SlotHold",
    "State",
    "StepState",
    "Technician",
    "Trip",
    "Visit",
    "VisitEvent",
    "What",
    "Workday",
]
