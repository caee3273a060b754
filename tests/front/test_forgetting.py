"""What was kept long enough goes in the night, and nothing else does."""

import datetime as dt

import pytest
import time_machine
from axes.models import AccessAttempt, AccessLog
from django.contrib.sessions.models import Session
from django.core.files.base import ContentFile

from agreements.models import SpreadsheetImport
from customers.actions import note_looks
from customers.models import Home, HomeLook, Screen
from fieldwork.models import Photo
from front.actions.forgetting import forget
from front.retention import kept_how_long
from front.tasks import forget_old
from kit.web.append_only import ERASED
from letters.models import Letter
from tests import cast, factories
from tests.access.world import World

pytestmark = pytest.mark.django_db
NOW = dt.datetime(2027, 4, 1, 17, tzinfo=dt.UTC)
OLD = dt.datetime(2020, 4, 1, 17, tzinfo=dt.UTC)
YEAR = dict.fromkeys(("letters", "records", "looks", "sign_ins", "sheets"), 365)


@pytest.fixture(autouse=True)
def _in_april():
    with time_machine.travel(NOW, tick=False):
        yield


def test_old_letters_keep_their_row_and_lose_address_and_words():
    letters = [
        factories.LetterFactory(customer=cast.nora(), state="sent", sent_at=at, written_at=at)
        for at in (OLD, NOW)
    ]
    waiting = factories.LetterFactory(customer=cast.nora(), written_at=OLD)
    assert forget(kept_days=YEAR, now=NOW)["letters"] == 1
    told = [(one.to_email, one.body) for one in Letter.objects.order_by("pk")]
    assert told == [("", ERASED), ("nora@example.com", ""), ("nora@example.com", "")]
    assert forget(kept_days=YEAR, now=NOW)["letters"] == 0
    assert {one.pk for one in (*letters, waiting)} == set(
        Letter.objects.values_list("pk", flat=True)
    )


def test_old_records_lose_photos_and_signatures_and_keep_readings(
    django_capture_on_commit_callbacks,
):
    record = World().finished_record
    event = record.visit.phone_events.last() or record.entries.first().event
    photo = Photo.objects.create(
        record=record, image=ContentFile(b"x", "door.jpg"), width=1, height=1, taken_at=OLD,
        event=event,
    )  # fmt: skip
    type(record).objects.update(completed_at=OLD)
    storage, names = photo.image.storage, (photo.image.name, record.signature.name)
    with django_capture_on_commit_callbacks(execute=True):
        assert forget(kept_days=YEAR, now=NOW)["records"] == 1
    record.refresh_from_db()
    assert (record.signed_name, record.signature.name, record.photos.count()) == (ERASED, "", 0)
    assert record.entries.count() == 1
    assert not any(storage.exists(name) for name in names)


def test_old_looks_sign_ins_sheets_and_sessions_go():
    Home.objects.filter(pk=cast.noras_home().pk).update(gate_code="4471#")
    for at in (OLD, NOW):
        note_looks(homes=Home.objects.all(), by=cast.odile(), screen=Screen.HOME, now=at)
        with time_machine.travel(at, tick=False):
            AccessAttempt.objects.create(username=f"guess {at.year}", failures_since_start=1)
            AccessLog.objects.create(username="odile")
            SpreadsheetImport.objects.create(
                branch=cast.cedarburg(), file_name="homes.csv", content=b"x",
                created_by=cast.odile(),
            )  # fmt: skip
            Session.objects.create(session_key=f"key{at.year}", expire_date=at)
    # A look of today is younger than the database lets go; the rest counts by its own clock.
    counts = forget(kept_days=YEAR, now=NOW + dt.timedelta(minutes=1))
    assert counts == {
        "letters": 0,
        "records": 0,
        "looks": 1,
        "sign_ins": 2,
        "sheets": 1,
        "sessions": 2,
        "drives": 0,
    }
    assert HomeLook.objects.get().at == NOW


def test_nothing_goes_that_is_kept_for_ever():
    factories.LetterFactory(customer=cast.nora(), state="sent", sent_at=OLD, written_at=OLD)
    assert forget(kept_days=YEAR | {"letters": 0}, now=NOW).get("letters") is None
    assert Letter.objects.exclude(to_email="").count() == 1


def test_the_night_s_task_goes_by_the_settings(settings):
    settings.KEPT_DAYS = dict.fromkeys(YEAR, 0) | {"letters": 30}
    factories.LetterFactory(customer=cast.nora(), state="sent", sent_at=OLD, written_at=OLD)
    assert forget_old()["letters"] == 1
    assert dict(kept_how_long())["Words and addresses of letters"] == "30 days"
    assert dict(kept_how_long())["Imported spreadsheets"] == "for ever"
