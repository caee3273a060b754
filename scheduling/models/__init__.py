from scheduling.models.offer import Answer, Offer, SlotHold
from scheduling.models.run import RunState, SeasonRun
from scheduling.models.season import Season
from scheduling.models.technician import DayOff, Shift, Skill, Technician
from scheduling.models.visit import State, Visit, Workday

__all__ = [
    "Answer",
    "DayOff",
    "Offer",
    "RunState",
    "Season",
    "SeasonRun",
    "Shift",
    "Skill",
    "SlotHold",
    "State",
    "Technician",
    "Visit",
    "Workday",
]
