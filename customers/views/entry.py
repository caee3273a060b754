"""Entering and changing homes, customers, systems and filters."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from customers import actions
from customers.forms import CustomerForm, FilterForm, HomeForm, NameplateForm, SystemForm
from customers.models import Customer, Filter, Home, Nameplate, Screen, System
from kit.web.editing import saved
from kit.web.forms import form_screen, posted
from kit.web.once import once
from shop.access import StaffRequest, office_only

form_methods = require_http_methods(["GET", "HEAD", "POST"])


@form_methods
@office_only
@once
def new_home(request: StaffRequest) -> HttpResponse:
    """A home with its new customer; with ?customer=…, another home of one on file."""
    if "customer" in request.GET:
        return _another_home(request)
    customer_form = CustomerForm(posted(request), instance=Customer(branch=request.branch))
    home_form = HomeForm(posted(request))
    if customer_form.is_valid() and home_form.is_valid():
        home = actions.open_home(
            customer=customer_form.save(commit=False),
            home=home_form.save(commit=False),
            point=home_form.cleaned_data["point"],
        )
        return _saved(request, home)
    return _screen(request, customer_form, home_form, title="New home")


def _another_home(request: StaffRequest) -> HttpResponse:
    asked = request.GET["customer"]
    customer = get_object_or_404(
        Customer.objects.of(request.branch), pk=int(asked) if asked.isdecimal() else 0
    )
    form = HomeForm(posted(request), instance=Home(customer=customer), customer=customer)
    if form.is_valid():
        home = actions.save_home(home=form.save(commit=False), point=form.cleaned_data["point"])
        return _saved(request, home)
    return _screen(request, form, title=f"Another home of {customer}")


@form_methods
@office_only
def edit_home(request: StaffRequest, pk: int) -> HttpResponse:
    home = _home(request, pk)
    form = HomeForm(posted(request), instance=home, customer=home.customer)

    def save() -> None:
        actions.save_home(home=form.save(commit=False), point=form.cleaned_data["point"])

    if form.is_valid() and saved(form, by=save):
        return _saved(request, home)
    _note_look(request, home, Screen.CHANGE_HOME)
    return _screen(request, form, title="Change the home", home=home)


@form_methods
@office_only
def edit_customer(request: StaffRequest, pk: int) -> HttpResponse:
    """The customer of the home `pk`, so that one comes back to that home."""
    home = _home(request, pk)
    form = CustomerForm(posted(request), instance=home.customer)
    if form.is_valid() and saved(
        form, by=lambda: actions.save_customer(customer=form.save(commit=False))
    ):
        return _saved(request, home)
    _note_look(request, home, Screen.CHANGE_CUSTOMER)
    return _screen(request, form, title="Change the customer", home=home)


@form_methods
@office_only
@once
def new_system(request: StaffRequest, home_pk: int) -> HttpResponse:
    return _write_system(request, System(home=_home(request, home_pk)), "New system")


@form_methods
@office_only
def edit_system(request: StaffRequest, pk: int) -> HttpResponse:
    return _write_system(request, _system(request, pk), "Change the system")


def _write_system(request: StaffRequest, system: System, title: str) -> HttpResponse:
    plate = getattr(system, "nameplate", None) or Nameplate(system=system)
    form = SystemForm(posted(request), instance=system, today=timezone.localdate())
    plate_form = NameplateForm(posted(request), instance=plate)

    def save() -> None:
        actions.save_equipment(
            system=form.save(commit=False), nameplate=plate_form.save(commit=False)
        )

    if form.is_valid() and plate_form.is_valid() and saved(form, plate_form, by=save):
        return _saved(request, system.home)
    return _screen(request, form, plate_form, title=title, home=system.home)


@form_methods
@office_only
@once
def new_filter(request: StaffRequest, system_pk: int) -> HttpResponse:
    return _write_filter(request, Filter(system=_system(request, system_pk)), "New filter")


@form_methods
@office_only
def edit_filter(request: StaffRequest, pk: int) -> HttpResponse:
    on_file = Filter.objects.select_related("system__home__customer")
    filter_ = get_object_or_404(on_file, pk=pk, system__home__customer__branch=request.branch)
    return _write_filter(request, filter_, "Change the filter")


def _write_filter(request: StaffRequest, filter_: Filter, title: str) -> HttpResponse:
    form = FilterForm(posted(request), instance=filter_, today=timezone.localdate())
    if form.is_valid() and saved(
        form, by=lambda: actions.save_filter(filter_=form.save(commit=False))
    ):
        return _saved(request, filter_.system.home)
    return _screen(request, form, title=title, home=filter_.system.home)


def _home(request: StaffRequest, pk: int) -> Home:
    """The home, if it belongs to the person's branch; 404 otherwise."""
    return get_object_or_404(Home.objects.of(request.branch).select_related("customer"), pk=pk)


def _system(request: StaffRequest, pk: int) -> System:
    on_file = System.objects.select_related("home__customer")
    return get_object_or_404(on_file, pk=pk, home__customer__branch=request.branch)


def _note_look(request: StaffRequest, home: Home, screen: Screen) -> None:
    actions.note_looks(homes=[home], by=request.user, screen=screen, now=timezone.now())


def _saved(request: StaffRequest, home: Home) -> HttpResponse:
    messages.success(request, f"Saved: {home.customer}, {home.address}.")
    return redirect("customers:home", home.pk)


def _screen(request: StaffRequest, *forms, title: str, home: Home | None = None) -> HttpResponse:
    back = reverse("customers:home", args=[home.pk]) if home else reverse("customers:list")
    about = f"{home.customer}, {home.address}" if home else ""
    return form_screen(request, *forms, nav="homes", title=title, about=about, back=back)
