"""What is missing before a season can be planned."""

from __future__ import annotations

from collections.abc import Iterator

from django.db.models import Count
from django.urls import reverse

from customers.models import Home
from front.today.decision import Step
from scheduling.models import Season, Technician
from shop.models import Branch
from weather.models import BranchClimate


def steps(branch: Branch) -> Iterator[Step]:
    """What is missing, in the order in which one comes by it."""
    if not Home.objects.of(branch).exists():
        words = "Bring in the sheet you keep today, or enter a first home by hand."
        yield Step("No homes yet", words, reverse("customers:list"), "Go to the homes")
    yield from _technician_steps(branch)
    if not BranchClimate.objects.filter(branch=branch).exists():
        yield Step(
            "No climate yet",
            "Without one nobody can tell how likely a day is warm enough. Whoever looks after "
            "Redbud loads one with the command import_climate.",
        )
    if not Season.objects.filter(branch=branch).exists():
        words = "A season gathers the visits owed in its days, so that they can be planned."
        yield Step("No season yet", words, reverse("scheduling:new"), "Open a season")


def _technician_steps(branch: Branch) -> Iterator[Step]:
    people = Technician.objects.of(branch).active().annotate(weekly=Count("shifts"))
    url = reverse("scheduling:technicians")
    if not people:
        words = "Enter who drives, what each can do, and when each works."
        yield Step("No technician yet", words, url, "Enter a technician")
    elif idle := [str(person) for person in people if not person.weekly]:
        words = f"{', '.join(idle)}: nothing is planned for a technician without working hours."
        yield Step("Technicians without shifts", words, url, "Give working hours")
