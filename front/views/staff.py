"""The owner's list of who signs in."""

from __future__ import annotations

from django.conf import settings
from django.contrib import messages
from django.contrib.auth.views import PasswordResetConfirmView
from django.db.models import Prefetch
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse, reverse_lazy
from django.views.decorators.http import require_GET, require_http_methods, require_POST
from django_otp.plugins.otp_totp.models import TOTPDevice

from front.actions.sign_in import drop_second_step
from front.actions.staff import StaffRefused, invite, let_sign_in, password_link_of, stop_sign_in
from front.forms import InviteForm
from front.password_links import password_links
from kit.web.forms import posted
from shop.access import StaffRequest, owner_only
from shop.models import User


@require_GET
@owner_only
def listing(request: StaffRequest) -> HttpResponse:
    # One that no code has proven yet is asked for nowhere, so it is not on.
    proven = Prefetch("totpdevice_set", TOTPDevice.objects.filter(confirmed=True), "second_steps")
    people = User.objects.select_related("branch").prefetch_related(proven)
    return render(
        request, "front/staff.html", {"people": people.order_by("-is_active", "username")}
    )


@require_http_methods(["GET", "HEAD", "POST"])
@owner_only
def new(request: StaffRequest) -> HttpResponse:
    form = InviteForm(posted(request))
    if form.is_valid():
        return _show_link(request, invite(person=form.save(commit=False)))
    return render(request, "front/invite.html", {"form": form})


@require_POST
@owner_only
def change(request: StaffRequest, pk: int, what: str) -> HttpResponse:
    """A new password link, the end of a lost second step, no more or again signing in."""
    person = get_object_or_404(User, pk=pk)
    try:
        match what:
            case "link":
                return _show_link(request, person)
            case "second-step":
                drop_second_step(user=person)
            case "stop":
                stop_sign_in(person=person, by=request.user)
            case "let":
                let_sign_in(person=person)
            case _:
                raise Http404
    except StaffRefused as refusal:
        messages.error(request, str(refusal))
    else:
        messages.success(request, f"Done for {person.get_full_name() or person}.")
    return redirect("front:staff")


def _show_link(request: StaffRequest, person: User) -> HttpResponse:
    """Shown once, to be handed over by telephone or message; it is in no log and no mail."""
    parts = password_link_of(person)
    address = settings.PUBLIC_URL + reverse("front:choose-password", args=parts)
    return render(request, "front/password_link.html", {"person": person, "address": address})


class ChoosePassword(PasswordResetConfirmView):
    token_generator = password_links
    template_name = "front/choose_password.html"
    success_url = reverse_lazy("front:sign-in")
