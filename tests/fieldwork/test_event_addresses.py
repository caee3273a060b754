"""Where phones send: batches of events, and pictures one by one."""

import json
from io import BytesIO
from uuid import uuid4

import pytest
import time_machine
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse
from PIL import Image

from fieldwork.models import Entry, PhoneEvent, Photo
from tests import cast, factories
from tests.fieldwork import day_of_checks as story

pytestmark = pytest.mark.django_db
EVENTS, PICTURES = reverse("fieldwork:events"), reverse("fieldwork:pictures")


@pytest.fixture(autouse=True)
def _monday():
    with time_machine.travel(story.NOON, tick=False):
        yield


def post(raw: list, browser=None, **changes: object):
    batch = {"device": story.DEVICE, "now": story.ms(story.NOON), "events": raw} | changes
    browser = browser or cast.signed_in(cast.ingrid().user)
    return browser.post(EVENTS, json.dumps(batch), content_type="application/json")


def jpeg(size=(3000, 2000), **more: object) -> bytes:
    out = BytesIO()
    Image.new("RGB", size, "#884422").save(out, "JPEG", **more)
    return out.getvalue()


def post_picture(visit, content: bytes, kind: str = "photo", **payload: object):
    raw = story.event(kind, visit, **payload)
    sent = {
        "device": story.DEVICE,
        "now": str(story.ms(story.NOON)),
        "event": json.dumps(raw),
        "picture": SimpleUploadedFile("any-name.php", content, "text/html"),
    }
    return cast.signed_in(cast.ingrid().user).post(PICTURES, sent)


def test_a_batch_is_answered_event_by_event():
    visit = story.stop()
    good, bad = (story.entry(visit, "outdoor_db_f", typed) for typed in ("74", "740"))
    answers = post([good, bad | {"seq": good["seq"] + 1}]).json()["answers"]
    assert [(a["key"], a["state"]) for a in answers] == [
        (good["key"], "applied"), (bad["key"], "refused"),
    ]  # fmt: skip
    assert "740" in answers[1]["words"]


def test_a_batch_is_applied_in_the_order_of_the_phone():
    visit = story.stop()
    first, second = (story.entry(visit, "outdoor_db_f", typed) for typed in ("71", "74"))
    post([second | {"seq": 2}, first | {"seq": 1}])
    assert list(Entry.objects.values_list("value", flat=True)) == [71.0, 74.0]


def test_a_batch_sent_again_says_already():
    visit = story.stop()
    raw = story.entry(visit, "outdoor_db_f", "74")
    post([raw])
    answer = post([raw]).json()["answers"][0]
    assert (answer["already"], Entry.objects.count()) == (True, 1)


@pytest.mark.parametrize(
    "changes",
    [
        {"device": ""}, {"device": "x" * 37}, {"now": "soon"}, {"now": 1e400}, {"now": None},
        {"now": True}, {"now": 1e30}, {"events": {}}, {"events": [{}] * 101},
    ],
)  # fmt: skip
def test_a_batch_that_cannot_be_read_is_refused_whole(changes):
    answer = post([], **changes)
    assert answer.status_code == 400
    assert answer.json()["error"]


@pytest.mark.parametrize("body", ["", "{", "[]", '"x"', "[" * 100_000])
def test_what_is_no_batch_is_refused(body):
    browser = cast.signed_in(cast.ingrid().user)
    assert browser.post(EVENTS, body, content_type="application/json").status_code == 400


@pytest.mark.parametrize(
    "changes",
    [
        {"key": "no"}, {"day": "2027-13-45"}, {"phone_at": "noon"}, {"payload": []},
        {"kind": "unheard"}, {"kind": ""}, {"visit": "9"}, {"visit": -1}, {"visit": 2**70},
        {"seq": "x"}, {"kind": "photo"},
    ],
)  # fmt: skip
def test_one_bad_event_does_not_hold_up_the_others(changes):
    visit = story.stop()
    good = story.entry(visit, "outdoor_db_f", "74")
    answers = post([story.entry(visit, "return_db_f", "76") | changes, good]).json()["answers"]
    assert sorted(answer["state"] for answer in answers) == ["applied", "refused"]
    assert all(answer["words"] for answer in answers if answer["state"] == "refused")


@pytest.mark.parametrize(
    ("field", "typed"),
    [
        ("outdoor_db_f", "very warm"), ("outdoor_db_f", "740"), ("suction_psig", "2500"),
        ("capacitor_compressor_uf", "0.045"), ("outdoor_coil", "splendid"), ("no_field", "1"),
        ("outdoor_db_f", "7" * 81), ("cover_off", "perhaps"), ("caution_dead", "yes"),
    ],
)  # fmt: skip
def test_a_reading_that_cannot_be_is_refused_in_words(field, typed):
    visit = story.stop()
    answer = post([story.entry(visit, field, typed)]).json()["answers"][0]
    assert (answer["state"], bool(answer["words"])) == ("refused", True)
    assert not Entry.objects.exists()


@pytest.mark.parametrize(
    ("kind", "payload"),
    [
        ("part", {"words": "", "quantity": "1"}), ("part", {"words": "Fuse", "quantity": "none"}),
        ("part", {"words": "Fuse", "quantity": "0"}), ("part", {"words": "F", "quantity": "NaN"}),
        ("recommendation", {"words": "x", "urgency": "at once"}), ("certificate", {}),
        ("recommendation", {"words": "", "urgency": "act"}), ("signed", {"name": ""}),
        ("stamp", {"stamp": "lunch"}), ("order", {"visits": [], "why": "x"}),
        ("order", {"visits": [1, 1], "why": "x"}), ("order", {"visits": ["1"], "why": "x"}),
        ("part", {"words": "Fuse", "system": "all"}), ("entry", {}),
    ],
)  # fmt: skip
def test_what_makes_no_sense_is_refused_in_words(kind, payload):
    visit = story.stop()
    answer = post([story.event(kind, visit, **payload)]).json()["answers"][0]
    assert (answer["state"], bool(answer["words"])) == ("refused", True)


def test_a_very_small_quantity_of_a_part_is_some_of_it():
    visit = story.stop()
    answer = post([story.event("part", visit, words="Oil", quantity="0.001")]).json()["answers"][0]
    assert answer["state"] == "applied"


def test_a_photo_is_made_small_and_forgets_where_it_was_taken():
    visit = story.stop()
    exif = Image.Exif()
    exif[0x8825] = {1: "N", 2: (43.0, 17.0, 48.0)}
    assert post_picture(visit, jpeg(exif=exif), words="Coil").json()["answers"][0]["state"] == (
        "applied"
    )
    photo = Photo.objects.get()
    kept = Image.open(photo.image)
    assert (kept.size, kept.format, dict(kept.getexif())) == ((1600, 1067), "JPEG", {})
    assert photo.image.name.endswith(".jpg")


def test_a_photo_sent_twice_is_kept_once():
    visit = story.stop()
    raw, content = story.event("photo", visit), jpeg((40, 30))
    story.send(raw, file=content)
    assert story.send(raw, file=content).already
    assert Photo.objects.count() == 1


@pytest.mark.parametrize(
    "content", [b"", b"<script>alert(1)</script>", b"\xff\xd8\xff\xe0broken", b"GIF89a" + b"0" * 50]
)
def test_what_is_no_picture_is_refused(content):
    visit = story.stop()
    answer = post_picture(visit, content)
    refused = answer.status_code == 400 or answer.json()["answers"][0]["state"] == "refused"
    assert refused
    assert not Photo.objects.exists()


def test_a_picture_of_too_many_pixels_is_refused():
    visit = story.stop()
    out = BytesIO()
    Image.new("1", (20_000, 20_000)).save(out, "PNG")
    answer = post_picture(visit, out.getvalue()).json()["answers"][0]
    assert (answer["state"], "million pixels" in answer["words"]) == ("refused", True)


def test_a_signature_is_kept_with_its_name():
    visit = story.stop()
    out = BytesIO()
    Image.new("RGBA", (640, 240)).save(out, "PNG")
    answer = post_picture(visit, out.getvalue(), "signature", name="Nora Whitfield", present=True)
    assert answer.json()["answers"][0]["state"] == "applied"
    record = story.record_of(visit)
    assert (record.signed_name, record.customer_present) == ("Nora Whitfield", True)
    assert Image.open(record.signature).format == "PNG"


def test_a_name_alone_signs_and_an_absent_customer_is_noted():
    visit = story.stop()
    post([story.event("signed", visit, name="Nora Whitfield", present=True)])
    assert story.record_of(visit).signed_name == "Nora Whitfield"
    post([story.event("signed", visit, name="", present=False)])
    assert story.record_of(visit).customer_present is False


def test_a_photo_is_seen_by_who_took_it_and_by_the_office_alone():
    visit = story.stop()
    post_picture(visit, jpeg((40, 30)))
    url = reverse("fieldwork:photo", args=[Photo.objects.get().pk])
    bo = factories.UserFactory(username="bo", role="technician", branch=cast.cedarburg())
    for person, status in (
        (cast.ingrid().user, 200), (cast.odile(), 200), (bo, 404), (cast.priya(), 404),
    ):  # fmt: skip
        assert cast.signed_in(person).get(url).status_code == status


@pytest.mark.parametrize("url", [EVENTS, PICTURES])
def test_only_a_technician_sends_and_only_by_post(url):
    cast.ingrid()
    assert cast.signed_in(cast.odile()).post(url).status_code == 404
    assert cast.signed_in(cast.ingrid().user).get(url).status_code == 405


def test_who_is_not_signed_in_is_sent_to_the_door(client):
    assert client.post(EVENTS, "{}", content_type="application/json").status_code == 302
    assert not PhoneEvent.objects.exists()


def test_the_address_asks_for_the_pages_own_token():
    strict = Client(enforce_csrf_checks=True)
    strict.force_login(cast.ingrid().user)
    assert post([], strict).status_code == 403


def test_a_key_of_nobody_is_new():
    visit = story.stop()
    post([story.entry(visit, "outdoor_db_f", "74") | {"key": str(uuid4())}])
    assert Entry.objects.count() == 1
