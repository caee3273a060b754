"""The season planner: `plan(problem, stop, seed)` gives a `Plan`, `score` says what it costs.

Pure: numbers in, numbers out. How it works: `search.py`; what it keeps to: `rules.py`.
"""

from .explain import NOT_WARM, WhyHere, WhyNot, explain_all, why_here, why_not
from .moves import Kind, Move, Policy, Proposal, breaks
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
from .repair import fill, release, repair, repaired
from .rules import broken_rules, clashes
from .score import Score, Term, score
from .search import compile_once, plan
from .stop import AnyOf, MaxIterations, MaxSeconds, Progress, Stop
from .travel import Roads, Travel, earth_points

__all__ = [
    "NOT_WARM",
    "AnyOf",
    "KeptSlot",
    "Kind",
    "Lunch",
    "MaxIterations",
    "MaxSeconds",
    "Move",
    "Opening",
    "Plan",
    "Policy",
    "Prices",
    "Problem",
    "ProblemRefused",
    "Progress",
    "Proposal",
    "Roads",
    "Score",
    "Slot",
    "Stop",
    "TakenSlot",
    "Term",
    "Travel",
    "Visit",
    "WhyHere",
    "WhyNot",
    "Window",
    "Workday",
    "breaks",
    "broken_rules",
    "clashes",
    "compile_once",
    "earth_points",
    "explain_all",
    "fill",
    "openings",
    "plan",
    "release",
    "repair",
    "repaired",
    "score",
    "why_here",
    "why_not",
]
