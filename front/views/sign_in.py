"""Coming in: name and password, the second step, and where one is signed in."""

from __future__ import annotations

import base64
from typing import Any

import segno
from django.contrib import messages
from django.contrib.auth.forms import AuthenticationForm
from django.contrib.auth.views import LoginView, PasswordChangeView
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse_lazy
from django.utils import timezone
from django.utils.safestring import mark_safe
from django.views.decorators.http import require_GET, require_http_methods, require_POST
from django_otp import login as pass_second_step

from front.actions.sign_in import (
    begin_second_step,
    bring_failures_back,
    confirm_second_step,
    end_session,
)
from front.forms import CodeForm
from front.middleware import HAS_ONE
from front.sign_ins import authenticator_of, browser_of, places_of
from shop.access import StaffRequest


class SignIn(LoginView):
    template_name = "front/sign_in.html"
    redirect_authenticated_user = True

    def post(self, request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
        bring_failures_back(user=None, now=timezone.now())
        return super().post(request, *args, **kwargs)

    def form_valid(self, form: AuthenticationForm) -> HttpResponse:
        answer = super().form_valid(form)
        has_one = authenticator_of(form.get_user()) is not None
        self.request.session[HAS_ONE] = has_one
        self.request.session["since"] = timezone.now().isoformat()
        self.request.session["browser"] = browser_of(self.request)
        return answer


class ChangePassword(PasswordChangeView):
    """One's own, with the present one; every other browser is signed out by it."""

    template_name = "front/change_password.html"
    success_url = reverse_lazy("front:account")

    def form_valid(self, form: Any) -> HttpResponse:
        messages.success(self.request, "Your password is changed; elsewhere you are signed out.")
        return super().form_valid(form)


@require_http_methods(["GET", "HEAD", "POST"])
def second_step(request: StaffRequest) -> HttpResponse:
    """The code of the authenticator, after the password."""
    if authenticator_of(request.user) is None:
        return redirect("front:set-up-second-step")
    if request.method == "POST":
        bring_failures_back(user=request.user, now=timezone.now())
    form = CodeForm(request.POST or None, user=request.user)
    if form.is_valid():
        pass_second_step(request, form.device)
        return redirect("front:today")
    return render(request, "front/second_step.html", {"form": form})


@require_http_methods(["GET", "HEAD", "POST"])
def set_up_second_step(request: StaffRequest) -> HttpResponse:
    """The secret as a picture and in letters, until a first code proves that it arrived."""
    known = authenticator_of(request.user)
    if known and not request.user.is_verified():  # type: ignore[attr-defined]  # django-otp's
        return redirect("front:second-step")
    device = begin_second_step(user=request.user)
    form = CodeForm(request.POST or None, user=request.user, device=device)
    if form.is_valid():
        spare = confirm_second_step(user=request.user, device=device)
        pass_second_step(request, device)
        return render(request, "front/spare_codes.html", {"codes": spare})
    picture = segno.make(device.config_url).svg_inline(scale=5, omitsize=True, lineclass=None)
    secret = base64.b32encode(device.bin_key).decode()
    context = {
        "form": form,
        "picture": mark_safe(picture),  # noqa: S308  (our own)
        "secret": secret,
        "address": device.config_url,
    }
    return render(request, "front/set_up_second_step.html", context)


@require_GET
def account(request: StaffRequest) -> HttpResponse:
    """One's own door: the second step, and every browser one is signed in on."""
    context = {
        "places": places_of(request.user, request.session.session_key, timezone.now()),
        "second_step": authenticator_of(request.user) is not None,
    }
    return render(request, "front/account.html", context)


@require_POST
def end(request: StaffRequest, number: int) -> HttpResponse:
    """Sign out somewhere else."""
    places = places_of(request.user, request.session.session_key, timezone.now())
    if number >= len(places):
        raise Http404
    end_session(key=places[number].key)
    messages.success(request, "Signed out there.")
    return redirect("front:account")
