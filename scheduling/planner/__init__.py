"""The season planner: `plan(problem, stop, seed)` gives a `Plan`, `score` says what it costs.

Pure: numbers in, numbers out. How it works: `search.py`; what it keeps to: `rules.py`.
"""

from .explain import NOT_WARM, WhyHere, WhyNot, explain_all, why_here, why_not
from .openings import Opening, TakenSlot, openings
from .problem import (
    KeptSlot,
    Lunch,
    Plan,
    Prices,
    Problem,
    ProblemRefused,
    Slot,
    Visit,
    Window,
    Workday,
)
from .rules import broken_rules, clashes
from .score import Score, Term, score
from .search import plan
from .stop import AnyOf, MaxIterations, MaxSeconds, Progress, Stop

__all__ = [
    "NOT_WARM",
    "AnyOf",
    "KeptSlot",
    "Lunch",
    "MaxIterations",
    "MaxSeconds",
    "Opening",
    "Plan",
    "Prices",
    "Problem",
    "ProblemRefused",
    "Progress",
    "Score",
    "Slot",
    "Stop",
    "TakenSlot",
    "Term",
    "Visit",
    "WhyHere",
    "WhyNot",
    "Window",
    "Workday",
    "broken_rules",
    "clashes",
    "explain_all",
    "openings",
    "plan",
    "score",
    "why_here",
    "why_not",
]
