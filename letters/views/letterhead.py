"""In whose name the branch writes, and how each kind of letter reads."""

from __future__ import annotations

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from customers.models.customer import Language
from kit.web.editing import saved
from kit.web.forms import form_screen, posted
from letters.actions.letterhead import save_letterhead, send_sample
from letters.contents import CONTENTS
from letters.forms import SenderForm
from letters.mail import InDoubt, NotTaken, Refused, Unreachable
from letters.models import Sender
from letters.render import sample_wording
from shop.access import StaffRequest, office_only


@require_http_methods(["GET", "HEAD", "POST"])
@office_only
def letterhead(request: StaffRequest) -> HttpResponse:
    """Name, addresses, telephone and hours of the branch's letters."""
    sender = Sender.objects.filter(branch=request.branch).first()
    form = SenderForm(posted(request), instance=sender or Sender(branch=request.branch))
    if form.is_valid() and saved(form, by=lambda: save_letterhead(sender=form.save(commit=False))):
        messages.success(request, "Saved. Letters that are not sent yet go by it.")
        return redirect("letters:letterhead")
    return form_screen(
        request,
        form,
        template="letters/letterhead.html",
        nav="letters",
        title="Letterhead",
        about=request.branch.name,
        back=reverse("letters:outbox"),
        sender=sender,
        to_email=sender and _own_address(request, sender),
    )


@require_POST
@office_only
def test_letter(request: StaffRequest) -> HttpResponse:
    """Send a sample to oneself."""
    sender = _sender(request)
    to_email = _own_address(request, sender)
    try:
        send_sample(sender=sender, to_email=to_email, now=timezone.now())
    except (Unreachable, NotTaken, Refused, InDoubt, ValueError) as trouble:
        messages.error(request, f"The sample for {to_email} was not sent: {trouble}")
    else:
        messages.success(request, f"A sample is on its way to {to_email}.")
    return redirect("letters:letterhead")


@require_GET
@office_only
def samples(request: StaffRequest) -> HttpResponse:
    """Every kind of letter in each language, with make-believe facts."""
    chosen = request.GET.get("kind", "offer")
    language = request.GET.get("language", Language.ENGLISH)
    if chosen not in CONTENTS or language not in Language.values:
        raise Http404
    sender = _sender(request)
    context = {
        "nav": "letters",
        "kinds": [(name, content.label) for name, content in CONTENTS.items()],
        "chosen": chosen,
        "language": language,
        "languages": _language_tabs(chosen, language),
        "wording": sample_wording(chosen, language, sender, timezone.now()),
    }
    return render(request, "letters/samples.html", context)


@require_GET
@office_only
def sample_html(request: StaffRequest, kind: str, language: str) -> HttpResponse:
    """One sample as a mail program shows it."""
    if kind not in CONTENTS or language not in Language.values:
        raise Http404
    return HttpResponse(sample_wording(kind, language, _sender(request), timezone.now()).html)


def _language_tabs(kind: str, chosen: str) -> list[dict[str, object]]:
    return [
        {"label": label, "url": f"?kind={kind}&language={code}", "current": code == chosen}
        for code, label in Language.choices
    ]


def _sender(request: StaffRequest) -> Sender:
    return get_object_or_404(Sender.objects.select_related("branch"), branch=request.branch)


def _own_address(request: StaffRequest, sender: Sender) -> str:
    return request.user.email or sender.from_email
