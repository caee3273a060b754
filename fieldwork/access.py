"""Who may open a technician's day: the technician whose day it is, and nobody else."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import Any

from django.http import Http404
from django.http.response import HttpResponseBase
from django.views.decorators.cache import never_cache

from scheduling.models import Technician
from shop.access import StaffRequest, staff_only
from shop.models import Role


class TechnicianRequest(StaffRequest):
    """A request of somebody who drives."""

    technician: Technician


View = Callable[..., HttpResponseBase]


def technician_only(view: View) -> View:
    """Give the view its technician; everybody else, also the office, gets 404."""

    @wraps(view)
    def guarded(request: TechnicianRequest, *args: Any, **kwargs: Any) -> HttpResponseBase:
        technician = getattr(request.user, "technician", None)
        if request.user.role != Role.TECHNICIAN or technician is None or not technician.active:
            raise Http404
        technician.branch = request.branch
        request.technician = technician
        return view(request, *args, **kwargs)

    # What a phone keeps, its own worker keeps on purpose; nothing else does.
    return never_cache(staff_only(guarded))
