"""How the views of this room find an agreement, and answer a refusal."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar

from django import forms
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.urls import reverse

from agreements.actions.events import AgreementRefused
from agreements.models import Agreement
from shop.access import StaffRequest

Done = TypeVar("Done")


def agreement_of(request: StaffRequest, pk: int) -> Agreement:
    """The agreement, if it belongs to the person's branch; 404 otherwise."""
    mine = Agreement.objects.of(request.branch).select_related(
        "plan", "version", "home__customer__branch", "acquired_from"
    )
    return get_object_or_404(mine, pk=pk)


def try_it(form: forms.BaseForm, act: Callable[[], Done]) -> Done | None:
    """Do it; None: it was refused, and the form says why."""
    try:
        return act()
    except AgreementRefused as refusal:
        form.add_error(None, str(refusal))
        return None


def words_about(agreement: Agreement) -> str:
    return f"{agreement.plan}, {agreement.home.customer}, {agreement.home.address}"


def page_of(agreement: Agreement) -> str:
    return reverse("agreements:agreement", args=[agreement.pk])


def back_to(agreement: Agreement) -> HttpResponse:
    return redirect("agreements:agreement", agreement.pk)
