"""Keys of the JSON interface: made, listed and revoked by the owner."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST

from front.actions.interface import make_key, revoke_key
from front.interface.forms import KeyForm
from front.interface.resources import SCOPES
from front.models import InterfaceKey
from kit.web.forms import REFUSED, posted
from shop.access import StaffRequest, owner_only


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
@owner_only
def keys(request: StaffRequest) -> HttpResponse:
    """The list, and a form for another; a key that was just made is shown this once."""
    form, new = KeyForm(posted(request)), ""
    if form.is_valid():
        _, new = make_key(
            branch=request.branch, by=request.user, now=timezone.now(), **form.cleaned_data
        )
        form = KeyForm()
    listed = InterfaceKey.objects.filter(branch=request.branch).select_related("made_by")
    context = {
        "nav": "files",
        "form": form,
        "new": new,
        "keys": [(key, [SCOPES.get(scope, scope) for scope in key.scopes]) for key in listed],
    }
    return render(request, "front/keys.html", context, status=REFUSED if form.is_bound else 200)


@require_POST
@owner_only
def revoke(request: StaffRequest, pk: int) -> HttpResponse:
    key = get_object_or_404(InterfaceKey.objects.filter(branch=request.branch), pk=pk)
    revoke_key(key=key, now=timezone.now())
    messages.success(request, f"{key.name} opens nothing any more.")
    return redirect("front:keys")
