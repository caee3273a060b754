"""Who may open a home's own page: whoever holds its link from a letter. No account, no password."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import Any

from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone, translation
from django.views.decorators.cache import never_cache

from customers.models import Home
from letters.links import is_live, read_token
from letters.models import Sender
from reminders.actions.outbox import HOME
from reminders.reading import about_home

View = Callable[..., HttpResponse]


class HomeRequest(HttpRequest):
    """A request of whoever holds the link of a home."""

    home: Home
    token: str
    sender: Sender | None


def home_only(view: View) -> View:
    """Give the view its home, in the customer's language and on the branch's clock.

    An altered, expired or revoked link, and one to a home that changed hands, all lead to the
    same page: nobody learns which homes there are.
    """

    @wraps(view)
    def guarded(request: HomeRequest, token: str, *args: Any, **kwargs: Any) -> HttpResponse:
        home = _home(token)
        if home is None:
            return render(request, "kit/no_link.html", status=404)
        branch = home.customer.branch
        request.home, request.token = home, token
        request.sender = getattr(branch, "sender", None)
        with translation.override(home.customer.language), timezone.override(branch.zone):
            return view(request, *args, **kwargs)

    return login_not_required(never_cache(guarded))


def _home(token: str) -> Home | None:
    link = read_token(token, purpose=HOME)
    if link is None or not is_live(link, timezone.now()):
        return None
    homes = Home.objects.filter(customer=link.customer).select_related("customer__branch__sender")
    return next((home for home in homes if about_home(home.pk) == link.about), None)
