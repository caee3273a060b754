"""One customer's personal data: copied whole, and taken out so that nothing names her any more."""

import io
import json
import zipfile
from decimal import Decimal

import pytest
import time_machine
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.db import connection
from django.db.models import Sum
from django.urls import reverse

from agreements.actions.changing import note_complaint
from agreements.actions.ending import cancel, quote_cancellation
from agreements.actions.paying import record_payment
from agreements.imports.actions import upload_spreadsheet
from agreements.models import Agreement, Charge, HomeSpelling, Payment
from customers.actions import save_customer, save_home
from customers.models import Customer, HomeLook, System
from fieldwork.models import Photo
from front.actions.personal import NotTakenOut, take_out_personal_data
from front.models import Erasure
from front.personal.traces import names_of, still_naming
from letters.links import link_for
from letters.models import BadAddress, Letter
from reminders.models import NoStart
from scheduling.actions.visits import hold_visit
from scheduling.models import SeasonRun, VisitEvent
from tests import cast
from tests.fieldwork import day_of_checks as story
from tests.scheduling import spring

pytestmark = pytest.mark.django_db
NOW, TODAY = story.NOON, story.DAY
# What must be found nowhere afterwards, in small letters.
HERS = (
    "whitfield", "nora@example.com", "4145550123", "7 quince lane", "4471#", "blue pot",
    "wh1tf-77", "speak up",
)  # fmt: skip


@pytest.fixture(autouse=True)
def _monday():
    with time_machine.travel(NOW, tick=False):
        yield


@pytest.fixture
def nora(settings) -> Customer:
    """A customer of whom there is something in every room; her agreement is cancelled and paid."""
    settings.STORAGES = dict(settings.STORAGES)  # a disk of its own, without other tests' files
    cast.letterhead()
    visit = story.stop()
    customer = _named(visit.owed_visit.home)
    agreement = visit.owed_visit.agreement
    for hour, typed in enumerate(("90", "76")):
        field = ("outdoor_db_f", "return_db_f")[hour]
        story.send(story.entry(visit, field, typed, note="Nora Whitfield says it rattles"))
    story.send(story.stamp(visit, "done", why="Mrs Whitfield let me in"))
    _signed_and_photographed(story.record_of(visit))
    _told_by_her(customer, visit.owed_visit.home)
    _other_rows(customer)
    note_complaint(agreement=agreement, words="Whitfield: came late", by=cast.odile())
    agreement = Agreement.objects.get(pk=agreement.pk)
    _cancelled_and_paid(agreement)
    return Customer.objects.get(pk=customer.pk)


def _cancelled_and_paid(agreement) -> None:
    """She has paid what is kept of the price, so that nothing is due and nothing goes back."""
    Charge.objects.create(agreement=agreement, due_on=cast.FIRST_DAY, amount=agreement.price)
    kept = quote_cancellation(agreement, TODAY).kept
    record_payment(agreement=agreement, amount=kept, on=TODAY, how="cash", by=cast.odile())
    cancel(agreement=agreement, ends=TODAY, why="Nora Whitfield moves", by=cast.odile())


def _named(home) -> Customer:
    customer = home.customer
    customer.name, customer.email = "Nora Whitfield", "nora@example.com"
    customer.phone, customer.notes = "+14145550123", "Speak up, hard of hearing"
    save_customer(customer=customer)
    home.customer, home.street, home.gate_code = customer, "7 Quince Lane", "4471#"
    home.access_notes = "Key under the blue pot"
    save_home(home=home, point=None)
    System.objects.filter(home=home).update(serial="WH1TF-77")
    return customer


def _signed_and_photographed(record) -> None:
    record.signature.save("whitfield.png", ContentFile(b"Nora Whitfield in ink"), save=False)
    record.signed_name, record.signed_at = "Nora Whitfield", NOW
    record.save()
    Photo.objects.create(
        record=record, image=ContentFile(b"7 Quince Lane in paint", "door.jpg"), width=1,
        height=1, taken_at=NOW, words="Door of Whitfield", event=record.visit.phone_events.last(),
    )  # fmt: skip


def _told_by_her(customer, home) -> None:
    NoStart.objects.create(home=home, asked_at=NOW, outcome="call", words="Nora Whitfield: no cold")
    HomeSpelling.objects.create(home=home, name="N. Whitfield", street="7 Quince Ln", zip="53012")
    BadAddress.objects.create(email=customer.email, since=NOW, why="bounced")
    link_for(purpose="stop", about=f"customer:{customer.pk}", now=NOW, customer=customer)
    sheet = b"Name,Street,ZIP,Phone\nNora Whitfield,7 Quince Lane,53012,414-555-0123\n"
    upload_spreadsheet(
        branch=cast.cedarburg(), file_name="homes.csv", content=sheet, by=cast.odile()
    )


def _other_rows(customer) -> None:
    """Another home's visit that gave its time to her."""
    other = spring.owed(spring.season())
    hold_visit(visit=other, why=f"Gives its time to {customer}", release="Warmth", now=NOW)
    SeasonRun.objects.create(
        season=other.season, asked_at=NOW, heard_at=NOW, state="applied",
        before=[[other.pk, "held", f"Gives its time to {customer}"]],
    )  # fmt: skip


def taken_out(customer: Customer) -> Erasure:
    return take_out_personal_data(customer=customer, by=cast.walter(), today=TODAY, now=NOW)


def everything_kept() -> str:
    """Every cell of every table, and every file with its name, in small letters."""
    found = []
    with connection.cursor() as cursor:
        for table in connection.introspection.table_names():
            cursor.execute(f'SELECT * FROM "{table}"')
            found += [repr(row) for row in cursor.fetchall()]
    for folder in ("photos", "signatures", "kept"):
        found += _files(folder)
    return "\n".join(found).casefold()


def _files(folder: str) -> list[str]:
    if not default_storage.exists(folder):
        return []
    folders, names = default_storage.listdir(folder)
    inside = [words for one in folders for words in _files(f"{folder}/{one}")]
    return inside + [n + default_storage.open(f"{folder}/{n}").read().decode() for n in names]


def money() -> tuple[Decimal | None, ...]:
    return tuple(m.objects.aggregate(sum=Sum("amount"))["sum"] for m in (Charge, Payment))


def test_nothing_names_her_afterwards_and_the_money_is_the_same(
    nora, django_capture_on_commit_callbacks
):
    known = everything_kept()
    assert [word for word in HERS if word not in known] == []
    before = money()
    assert any(before)
    with django_capture_on_commit_callbacks(execute=True):
        taken_out(nora)
    after = everything_kept()
    assert [word for word in HERS if word in after] == []
    assert money() == before


def test_what_was_measured_and_who_changed_what_stays(nora):
    events, readings = VisitEvent.objects.count(), nora.homes.get().systems.get().entries.count()
    taken_out(nora)
    assert VisitEvent.objects.count() == events + 1  # the test that was still owed is let go
    assert nora.homes.get().systems.get().entries.count() == readings == 2
    assert Letter.objects.filter(customer=nora).exists()
    assert Agreement.objects.filter(home__customer=nora, events__what="cancelled").exists()


def test_it_says_what_stands_in_the_way(nora):
    home = nora.homes.get()
    agreement = home.agreements.get()
    Agreement.objects.filter(pk=agreement.pk).update(cancelled_on=None, ended_because="")
    with pytest.raises(NotTakenOut, match="1 agreement still running"):
        taken_out(nora)
    nora.refresh_from_db()
    assert nora.name == "Nora Whitfield"


def test_another_person_of_the_same_name_keeps_it_and_the_owner_is_told(nora):
    other = Customer.objects.create(branch=cast.cedarburg(), name="Nora Whitfield")
    names = names_of(nora)
    taken_out(nora)
    assert Customer.objects.get(pk=other.pk).name == "Nora Whitfield"
    assert any(line.startswith("customer, name: ") for line in still_naming(names))
    SeasonRun.objects.update(best={"why": "beside Nora Whitfield's"})
    assert "season run, best: 1" in still_naming(names)


def test_the_owner_reads_what_goes_and_what_stays_and_types_the_name(nora):
    browser = cast.signed_in(cast.walter())
    page = reverse("front:personal", args=[nora.pk])
    words = browser.get(page).text
    for said in ("What goes when it is taken out", "What stays", "1 photo", "1 imported sheet",
                 "ask counsel", "2 readings"):  # fmt: skip
        assert said in words
    take_out = reverse("front:personal-take-out", args=[nora.pk])
    refused = browser.post(take_out, {"name": "Nora"})
    assert refused.status_code == 422
    assert "Type the name as it stands above" in refused.text
    done = browser.post(take_out, {"name": "nora whitfield"}, follow=True)
    assert "The personal data were taken out" in done.text
    assert Erasure.objects.get().by == cast.walter()


def test_a_running_agreement_has_no_button(nora):
    nora.homes.get().agreements.update(cancelled_on=None, ended_because="")
    words = cast.signed_in(cast.walter()).get(reverse("front:personal", args=[nora.pk])).text
    assert "1 agreement still running or to come: cancel first" in words
    assert "Take everything out" not in words


def test_the_copy_holds_letters_records_and_pictures_and_counts_as_a_look(nora):
    browser = cast.signed_in(cast.walter())
    answer = browser.post(reverse("front:personal-copy", args=[nora.pk]))
    file = zipfile.ZipFile(io.BytesIO(b"".join(answer.streaming_content)))
    data = json.loads(file.read("data.json"))
    assert data["customer"]["email"] == "nora@example.com"
    assert data["homes"][0]["gate_code"] == "4471#"
    assert len(data["entries"]) == 2
    contents = {file.read(name) for name in file.namelist() if name.startswith("pictures/")}
    assert {b"Nora Whitfield in ink", b"7 Quince Lane in paint"} <= contents
    assert any(name.startswith("letters/") for name in file.namelist())
    assert HomeLook.objects.get().screen == "export"


@pytest.mark.parametrize("name", ["personal", "personal-copy", "personal-take-out"])
def test_only_the_owner_comes_here(name):
    address = reverse(f"front:{name}", args=[cast.nora().pk])
    for user in (cast.odile(), cast.ingrid().user, cast.priya()):
        browser = cast.signed_in(user)
        assert 404 in {browser.get(address).status_code, browser.post(address).status_code}
