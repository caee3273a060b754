"""The owner's page about one customer's personal data: what there is, a copy, taking it out."""

from __future__ import annotations

from tempfile import TemporaryFile

from django.contrib import messages
from django.http import FileResponse, HttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_POST

from customers.actions import note_looks
from customers.models import Customer, Screen
from front.actions.personal import NotTakenOut, take_out_personal_data
from front.forms import TakeOutForm
from front.personal.copying import write_copy
from front.personal.inventory import inventory_of
from front.personal.traces import names_of, still_naming
from front.retention import kept_how_long
from kit.web.forms import REFUSED
from shop.access import StaffRequest, owner_only


def _customer(request: StaffRequest, pk: int) -> Customer:
    customers = Customer.objects.of(request.branch).select_related("erasure__by", "branch")
    return get_object_or_404(customers, pk=pk)


def _page(request: StaffRequest, customer: Customer, form: TakeOutForm) -> HttpResponse:
    context = {
        "nav": "homes",
        "customer": customer,
        "inventory": inventory_of(customer, timezone.localdate()),
        "kept": kept_how_long(),
        "form": form,
    }
    status = REFUSED if form.is_bound else 200
    return render(request, "front/personal.html", context, status=status)


@require_GET
@owner_only
def show(request: StaffRequest, pk: int) -> HttpResponse:
    customer = _customer(request, pk)
    if hasattr(customer, "erasure"):
        return render(request, "front/taken_out.html", {"nav": "homes", "customer": customer})
    return _page(request, customer, TakeOutForm(customer=customer))


@require_POST
@owner_only
def copy(request: StaffRequest, pk: int) -> HttpResponseBase:
    """The zip; it holds gate codes and notes, so it is written down as a look."""
    customer, now = _customer(request, pk), timezone.now()
    homes = list(customer.homes.all())
    for home in homes:
        home.customer = customer
    note_looks(homes=homes, by=request.user, screen=Screen.EXPORT, now=now)
    file = TemporaryFile()  # noqa: SIM115  (closed by the answer)
    write_copy(customer, file, now)
    file.seek(0)
    name = f"customer-{customer.pk}-{timezone.localdate(now)}.zip"
    return FileResponse(file, as_attachment=True, filename=name)


@require_POST
@owner_only
def take_out(request: StaffRequest, pk: int) -> HttpResponse:
    """For good, once the customer's name was typed; tells where the name still stands."""
    customer, now = _customer(request, pk), timezone.now()
    form, names = TakeOutForm(request.POST, customer=customer), names_of(customer)
    if hasattr(customer, "erasure"):
        return redirect("front:personal", pk)
    if not form.is_valid():
        return _page(request, customer, form)
    try:
        take_out_personal_data(
            customer=customer, by=request.user, today=timezone.localdate(now), now=now
        )
    except NotTakenOut as refusal:
        form.add_error(None, str(refusal))
        return _page(request, customer, form)
    messages.success(request, "Taken out. Money, terms and readings stay without a name.")
    if elsewhere := still_naming(names):
        words = "; ".join(elsewhere)
        messages.warning(request, f"The same name, address or number also stands in: {words}.")
    return redirect("front:personal", pk)
