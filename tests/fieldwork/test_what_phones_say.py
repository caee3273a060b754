"""Whatever a phone sends is read, or refused in words; and the procedures fit the readings."""

import datetime as dt
import json
from uuid import uuid4

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldwork.actions.phone import corrected
from fieldwork.events import READERS, STAMPS, BadEvent, read_envelope, read_moment, read_payload
from fieldwork.models import StampKind
from fieldwork.procedures import PROCEDURES, TRIGGERS, triggers_of
from fieldwork.readings import FIELDS

SCALARS = st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=400)
ANYTHING = st.recursive(
    SCALARS, lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(), inner)
)
NAMES = (
    "key", "seq", "kind", "visit", "day", "phone_at", "payload", "system", "field", "typed",
    "note", "sure", "seen", "words", "quantity", "urgency", "name", "present", "number",
    "visits", "why", "item", "stamp",
)  # fmt: skip
SAID = st.dictionaries(st.sampled_from(NAMES), ANYTHING)
MOMENTS = st.integers(1_577_836_800, 2_208_988_800).map(
    lambda seconds: dt.datetime.fromtimestamp(seconds, dt.UTC)
)


def refusal(read, *raw: object) -> str | None:
    """The words in which a reader refuses; None when it does not. Any other error is a defect."""
    try:
        read(*raw)
    except BadEvent as bad:
        return str(bad)
    return None


@given(ANYTHING | SAID)
def test_an_envelope_is_read_or_refused_in_words(raw):
    assert refusal(read_envelope, raw) != ""


@given(st.sampled_from([*READERS, "unheard"]), SAID)
def test_a_payload_is_read_or_refused_in_words(kind, said):
    assert refusal(read_payload, kind, said) != ""


@given(st.dictionaries(st.text(), ANYTHING))
def test_what_is_kept_of_a_payload_is_what_a_database_takes(payload):
    raw = {"key": str(uuid4()), "kind": "part", "day": "2027-05-24", "phone_at": 0}
    try:
        kept = read_envelope(raw | {"payload": payload}).payload
    except BadEvent:
        return
    text = json.dumps(kept, allow_nan=False, ensure_ascii=False)
    text.encode()  # no half of a character
    assert "\0" not in "".join(strings_in(kept))


def strings_in(value) -> list[str]:
    if isinstance(value, dict):
        return [one for pair in value.items() for part in pair for one in strings_in(part)]
    if isinstance(value, list):
        return [one for part in value for one in strings_in(part)]
    return [value] if isinstance(value, str) else []


@pytest.mark.parametrize(
    ("sent", "kept"),
    [({"words": "a\0b"}, {"words": "ab"}), ({"words": r"a\u0000b"}, {"words": r"a\u0000b"})],
)
def test_a_nul_is_left_out_and_what_only_looks_like_one_stays(sent, kept):
    raw = {"key": str(uuid4()), "kind": "part", "day": "2027-05-24", "phone_at": 0}
    assert read_envelope(raw | {"payload": sent}).payload == kept


def test_a_number_that_is_none_is_refused():
    raw = {"key": str(uuid4()), "kind": "order", "day": "2027-05-24", "phone_at": 0}
    said = refusal(read_envelope, raw | {"payload": {"visits": {"a": float("nan")}}})
    assert said == "What an event holds are words, finite numbers, and not too deep."


@given(SCALARS)
def test_a_time_is_read_or_refused_in_words(raw):
    assert refusal(read_moment, raw) != ""


@given(MOMENTS, st.timedeltas(dt.timedelta(0), dt.timedelta(days=1)),
       st.timedeltas(dt.timedelta(days=-400), dt.timedelta(days=400)))  # fmt: skip
def test_a_wrong_clock_does_not_matter(now, ago, error):
    """What was done so long ago by any clock was done so long ago."""
    phone_now = now + error
    assert corrected(phone_now - ago, phone_now, now) == now - ago


@given(MOMENTS, MOMENTS, MOMENTS)
def test_nothing_is_done_after_it_arrived(phone_at, phone_now, now):
    assert corrected(phone_at, phone_now, now) <= now


def test_the_buttons_are_the_same_in_the_rows_and_in_what_phones_say():
    assert set(STAMPS) == set(StampKind.values)


@pytest.mark.parametrize("trigger", TRIGGERS, ids=lambda trigger: trigger.field)
def test_every_trigger_names_a_field_a_procedure_and_a_possible_value(trigger):
    field = FIELDS[trigger.field]
    assert trigger.procedure in PROCEDURES
    if trigger.word:
        assert trigger.word in {stored for stored, _ in field.choices}
    else:
        assert field.hard[0] < trigger.least <= field.hard[1]


def test_a_field_has_one_trigger_at_most_as_the_page_writes_one():
    assert all(len(triggers_of(field)) <= 1 for field in FIELDS)


def test_leaving_comes_first_where_gas_is():
    steps = PROCEDURES["leave"].steps
    assert "out" in steps[1]
    assert "911" in steps[2]
