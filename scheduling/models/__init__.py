from scheduling.models.run import RunState, SeasonRun
from scheduling.models.season import Season
from scheduling.models.technician import DayOff, Shift, Skill, Technician
from scheduling.models.visit import State, Visit, Workday

__all__ = [
    "DayOff",
    "RunState",
    "Season",
    "SeasonRun",
    "Shift",
    "Skill",
    "State",
    "Technician",
    "Visit",
    "Workday",
]
