"""A whole company goes out and comes in again, to the byte; or nothing of it does."""

import hashlib
import io
import json
import re
from contextlib import contextmanager
from zipfile import ZIP_DEFLATED, ZipFile

import pytest
import time_machine
from django.apps import apps
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.core.management import CommandError, call_command
from django.db import connection
from django.urls import reverse

from agreements.keeping import differing
from agreements.models import Balance, Payment
from fieldwork.models import Photo
from front.actions.company import import_company
from front.company.manifest import MEMBER, CompanyRefused
from front.company.tables import LEFT_OUT, SECRET, company_tables, labels
from front.company.writing import export_company
from shop.models import User
from tests import cast
from tests.access.world import NOW, World

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("_in_april")]
PAYMENTS = "data/agreements.payment.jsonl"


@pytest.fixture
def _in_april():
    with time_machine.travel(NOW, tick=False):
        yield


def a_company() -> None:
    """One of nearly everything, with a photo and a signature."""
    world = World()
    record = world.finished_record
    image = ContentFile(b"a photo", "photo.jpg")
    Photo.objects.create(
        record=record, image=image, width=1, height=1, taken_at=NOW, event=world.kept_event
    )
    for name in ("letter", "no_start", "payment", "sheet", "backtest", "bad_address", "absence",
                 "step"):  # fmt: skip
        getattr(world, name)


def exported() -> bytes:
    file = io.BytesIO()
    export_company(file)
    return file.getvalue()


def emptied() -> None:
    """The same database without a row, as after “migrate”."""
    for model in company_tables():
        for picture in [f for f in model._meta.fields if f.get_internal_type() == "FileField"]:
            for row in model._base_manager.exclude(**{picture.name: ""}):
                default_storage.delete(getattr(row, picture.name).name)
    with without_triggers():
        for model in (Balance, *reversed(company_tables())):
            model._base_manager.all()._raw_delete(using="default")


@contextmanager
def without_triggers():
    """Some tables let no row go; a new database has none of theirs."""
    with connection.cursor() as cursor:
        if connection.vendor == "postgresql":
            cursor.execute("SET session_replication_role = replica")
            yield
            cursor.execute("SET session_replication_role = DEFAULT")
            return
        cursor.execute("SELECT name, sql FROM sqlite_master WHERE type = 'trigger'")
        triggers = cursor.fetchall()
        for name, _ in triggers:
            cursor.execute(f"DROP TRIGGER {name}")
        yield
        for _, sql in triggers:
            cursor.execute(sql)


def brought_in(archive: bytes) -> None:
    import_company(file=io.BytesIO(archive))


def altered(archive: bytes, name: str, change) -> bytes:
    """The archive with one file changed, and its manifest made to fit."""
    with ZipFile(io.BytesIO(archive)) as old:
        contents = {info.filename: old.read(info) for info in old.infolist()}
    contents[name] = change(contents[name])
    if name != MEMBER:
        facts = json.loads(contents[MEMBER])
        group = facts["tables" if name.startswith("data/") else "media"]
        group[name] |= {
            "bytes": len(contents[name]),
            "sha256": hashlib.sha256(contents[name]).hexdigest(),
        }
        contents[MEMBER] = json.dumps(facts).encode()
    new = io.BytesIO()
    with ZipFile(new, "w", ZIP_DEFLATED) as archive_:
        for member, content in contents.items():
            archive_.writestr(member, content)
    return new.getvalue()


def nothing_is_there() -> bool:
    return not any(model._base_manager.exists() for model in company_tables())


def test_a_company_comes_back_to_the_byte():
    a_company()
    archive = exported()

    emptied()
    brought_in(archive)

    assert exported() == archive
    assert Balance.objects.exists()  # kept again as the money came in
    assert differing() == []


def test_it_holds_every_table_with_rows_and_checksums():
    a_company()

    with ZipFile(io.BytesIO(exported())) as archive:
        manifest = json.loads(archive.read(MEMBER))
        lines = archive.read(PAYMENTS).splitlines()
    assert manifest["format"] == 1
    assert manifest["tables"][PAYMENTS]["rows"] == len(lines) == Payment.objects.count()
    assert len(manifest["media"]) == 2  # a signature, a photo


def test_no_password_goes_out_and_nobody_signs_in_with_an_old_one():
    walter = cast.walter()
    walter.set_password("redbud-in-spring")
    walter.save()
    archive = exported()

    emptied()
    brought_in(archive)

    assert walter.password.encode() not in ZipFile(io.BytesIO(archive)).read("data/shop.user.jsonl")
    assert not User.objects.get(username="walter").has_usable_password()


def test_whatever_sounds_secret_is_left_out():
    told = re.compile("password|secret|token|digest|hash|key$")
    plain = {"agreements.Payment.key", "agreements.Refund.key", "fieldwork.PhoneEvent.client_key"}
    found = {
        f"{model._meta.label}.{field.attname}"
        for model in company_tables()
        for field in model._meta.concrete_fields
        if told.search(field.attname)
    }

    assert {"shop.User.password"} == {f"{label}.{name}" for label, name in SECRET}
    # Each of the others was looked at: names of a thing, nothing that opens a door.
    assert found - plain - {"shop.User.password"} <= {
        "agreements.SpreadsheetImport.headings_key", "books.PartPrice.key"
    }  # fmt: skip


def test_every_table_of_ours_goes_out_or_is_named_as_left_out():
    ours = {m._meta.label for m in apps.get_models(include_auto_created=True)
            if m._meta.app_label in labels()}  # fmt: skip

    assert {model._meta.label for model in company_tables()} == ours - LEFT_OUT


def test_a_filled_instance_takes_no_company():
    a_company()

    with pytest.raises(CompanyRefused, match="not empty"):
        brought_in(exported())


def bad_amount(lines: bytes) -> bytes:
    return lines.replace(b'"amount": "10.00"', b'"amount": "ten"')


def no_agreement(lines: bytes) -> bytes:
    return re.sub(rb'"agreement_id": \d+', b'"agreement_id": 999999', lines)


def negative(lines: bytes) -> bytes:
    return lines.replace(b'"amount": "10.00"', b'"amount": "-10.00"')


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (bad_amount, "amount: .*ten"),
        (no_agreement, "agreement_id: there is no agreements.Agreement 999999"),
        (negative, ".*only_a_counter_entry_is_negative"),
        (lambda lines: lines.replace(b'"amount"', b'"sum"'), "sum: there is no such field"),
        (lambda lines: lines[:-5], "this is no JSON"),
        (lambda lines: lines + lines, r"id: \d+ stands there twice"),
        (lambda lines: lines.replace(b'"how": "cash"', b'"how": null'), "how: must not be empty"),
    ],
    ids=["no amount", "no agreement", "constraint", "field", "broken", "twice", "null"],
)
def test_a_bad_record_is_named_by_file_and_line_and_nothing_changes(change, words):
    a_company()
    archive = altered(exported(), PAYMENTS, change)
    emptied()

    with pytest.raises(CompanyRefused, match=rf"{PAYMENTS}, line \d+: {words}"):
        brought_in(archive)

    assert nothing_is_there()
    pictures = json.loads(ZipFile(io.BytesIO(archive)).read(MEMBER))["media"]
    assert not any(default_storage.exists(name.removeprefix("media/")) for name in pictures)


def other_schema(manifest: bytes) -> bytes:
    return re.sub(rb'("agreements"): "[^"]+"', rb'\1: "0001_long_ago"', manifest)


@pytest.mark.parametrize(
    ("name", "change", "words"),
    [
        (MEMBER, lambda m: m.replace(b'"format": 1', b'"format": 2'), "reads format 1"),
        (MEMBER, other_schema, "another version of Redbud: agreements"),
        (MEMBER, lambda m: b"{}", "cannot be read"),
        (MEMBER, lambda m: m.replace(b'"rows"', b'"lines"', 1), "cannot be read"),
        (MEMBER, lambda m: m.replace(b'"sha256": "', b'"sha256": "0', 1), "checksum"),
    ],
    ids=["format", "schema", "empty", "garbled", "checksum"],
)
def test_an_archive_that_does_not_fit_is_refused(name, change, words):
    cast.walter()
    archive = altered(exported(), name, change)
    emptied()

    with pytest.raises(CompanyRefused, match=words):
        brought_in(archive)
    assert nothing_is_there()


def test_a_picture_stays_inside_the_media_folder():
    def outside(manifest: bytes) -> bytes:
        nothing = hashlib.sha256(b"").hexdigest()
        facts = json.loads(manifest)
        facts["media"] = {"../x": {"bytes": 0, "rows": 0, "sha256": nothing}}
        return json.dumps(facts).encode()

    cast.walter()
    archive = io.BytesIO(altered(exported(), MEMBER, outside))
    with ZipFile(archive, "a") as zipped:
        zipped.writestr("../x", b"")
    emptied()

    with pytest.raises(CompanyRefused, match="outside the media folder"):
        import_company(file=archive)


def test_what_is_no_archive_is_said_to_be_none(tmp_path):
    (tmp_path / "homes.csv").write_text("Name\n")

    with pytest.raises(CommandError, match="no archive"):
        call_command("import_company", str(tmp_path / "homes.csv"))
    with pytest.raises(CommandError, match="cannot be read"):
        call_command("import_company", str(tmp_path / "nowhere.zip"))


def test_the_owner_takes_it_out_and_that_is_written_down():
    browser = cast.signed_in(cast.walter())
    cast.cedarburg()

    answer = browser.post(reverse("front:company"))

    with ZipFile(io.BytesIO(b"".join(answer.streaming_content))) as archive:
        assert MEMBER in archive.namelist()
    assert "Walter Pell" in browser.get(reverse("front:company")).text


def test_the_office_does_not_take_it_out():
    assert cast.signed_in(cast.odile()).post(reverse("front:company")).status_code == 404
