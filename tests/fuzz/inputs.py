"""What nobody means to send: strings, files, headers and JSON for every form and address."""

from __future__ import annotations

import datetime as dt
import json
from dataclasses import dataclass, field
from functools import cache
from typing import Any
from urllib.parse import quote

from hypothesis import strategies as st

AWKWARD = (
    "", " ", "\x00", "a\x00b", "٣٤", "१२", "²", "１２", "½", "0", "-1", "1e400", "1e-400", "NaN",
    "Infinity", "-inf", "-0", "9" * 12, "9" * 19, "9" * 400, str(2**31), str(2**63), "0x10",
    "1,5", "2027-02-30", "2027-13-01", "0000-00-00", "0001-01-01", "9999-12-31", "10000-01-01",
    "2027-05-24", "٢٠٢٧-٠٥-٢٤", "25:61", "24:00", "true", "on", "null", "[]", "{}", "None",
    "<script>alert(1)</script>", "'; DROP TABLE shop_user;--", "../../../etc/passwd", "%s%n%x",
    "{{ 7|add:7 }}", "{% debug %}", "\u202e\u2066", "\u2028", "a" * 5000, "😀" * 300,
    "\r\nX-Injected: yes", "=1+1", "\\", "\ufffe", "a@b", "a@" + "b" * 300 + ".com", "+1" * 40,
    "owner", "cedarburg", "sheboygan", "//example.com", "javascript:alert(1)",
)  # fmt: skip
NAMES = (
    "q", "page", "show", "kind", "language", "state", "until", "customer", "home", "new", "day",
    "tried", "stop", "next", "plan", "on", "ends", "branch", "technician", "back", "from", "season",
)  # fmt: skip
HEADERS: dict[str, tuple[str, ...]] = {
    "HTTP_ACCEPT": ("", "*/*", "application/json", "q=;;;,,", "text/html;q=zz", "\xff"),
    "HTTP_ACCEPT_LANGUAGE": ("es", "es-MX,es;q=0.5", "xx" * 200, "en;q=NaN", "*", "\x00"),
    "HTTP_IF_NONE_MATCH": ("*", '"', 'W/"x', "\xe9", '"a","b"'),
    "HTTP_IF_MODIFIED_SINCE": ("yesterday", "Thu, 01 Jan 1970 00:00:00 GMT", "0"),
    "HTTP_RANGE": ("bytes=0-0", "bytes=9-1", "lines=1"),
    "HTTP_HX_REQUEST": ("true", "false", "\xff"),
    "HTTP_HX_CURRENT_URL": ("http://[", "%zz", "//"),
    "HTTP_X_FORWARDED_FOR": ("1.2.3.4", "not an address", "::1, x", "," * 50),
    "HTTP_USER_AGENT": ("", "x" * 5000, "\x00"),
    "HTTP_REFERER": ("http://[::1", "javascript:", "\xff"),
    "HTTP_COOKIE": ("messages=zzz", "sessionid=\x00", "csrftoken=1; ;;=", "django_language=%00"),
    "HTTP_HOST": ("testserver", "evil.example.com", "a b", "[::1", "localhost:99999"),
    "CONTENT_TYPE": (
        "text/plain",
        "application/json",
        "multipart/form-data",
        "x/y; charset=klingon",
    ),
}
NO_PICTURES = (
    b"", b"\x00" * 64, b"GIF89a", b"\x89PNG\r\n\x1a\n" + b"\x00" * 40, b"\xff\xd8\xff\xe0junk",
    b"<svg xmlns='http://www.w3.org/2000/svg'/>", b"%PDF-1.7", b"PK\x03\x04" + b"\xff" * 60,
    b"RIFF\x00\x00\x00\x00WEBPVP8 ", b"\xef\xbb\xbfName;Street\n", b"Name,Street\n\x00,\xff\n",
    b"Name\n" + b"x" * 200_000, b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + b"\x00" * 600,
)  # fmt: skip
BROKEN_MULTIPART = (
    b"", b"--x", b"--x\r\n", b"--x\r\n\r\n\r\n--x--",
    b'--x\r\nContent-Disposition: form-data; name="a',
    b'--x\r\nContent-Disposition: form-data; name="file"; filename="a\x00.csv"\r\n\r\nx\r\n--x--',
    b'--x\r\nContent-Disposition: form-data\r\n\r\nx\r\n--x--\r\n',
    b'--x\r\nContent-Disposition: form-data; name="\xff\xfe"\r\n\r\n\xff\r\n--x--\r\n',
    b'--x\r\nContent-Transfer-Encoding: base64\r\n'
    b'Content-Disposition: form-data; name="a"\r\n\r\n!\r\n',
)  # fmt: skip


@dataclass(frozen=True)
class Sent:
    """One request, as it goes out."""

    who: str
    name: str
    method: str
    path_part: tuple[int, str] | None
    query: dict[str, str]
    fields: dict[str, Any]
    keep: bool
    """Begin with what the page's own form holds."""
    body: bytes | None
    content_type: str
    file: bytes | None
    headers: dict[str, str] = field(default_factory=dict)


@cache  # Hypothesis looks each new strategy over, which costs more than the page it is for
def words() -> st.SearchStrategy[str]:
    return st.one_of(
        st.sampled_from(AWKWARD),
        st.text(st.characters(exclude_categories=["Cs"]), max_size=40),
        st.integers().map(str),
        st.floats().map(str),
        st.decimals(allow_nan=True).map(str),
        st.dates().map(str),
        st.times().map(lambda time: time.isoformat("minutes")),
        st.dates(dt.date(2026, 1, 1), dt.date(2028, 12, 31)).map(str),
    )


@cache
def anything() -> st.SearchStrategy[Any]:
    """JSON of any shape."""
    return st.recursive(
        st.none() | st.booleans() | st.integers() | st.floats() | words(),
        lambda part: st.lists(part, max_size=3) | st.dictionaries(words(), part, max_size=3),
        max_leaves=6,
    )


@st.composite
def batches(draw: st.DrawFn, good: list[dict[str, Any]]) -> bytes:
    """What a phone might send: good events with some of it replaced by anything."""
    events = [dict(event) for event in draw(st.lists(st.sampled_from(good), max_size=4))]
    for event in events:
        event["payload"] = dict(event["payload"])
        if draw(st.booleans()):
            event["key"] = draw(st.uuids()).hex
        for place in (event, event["payload"]):
            for name in draw(st.lists(st.sampled_from(sorted(place)), max_size=2)) if place else ():
                place[name] = draw(anything())
    batch: Any = {"device": "phone", "now": good[0]["phone_at"], "events": events}
    if draw(st.integers(0, 5)) == 0:
        batch[draw(st.sampled_from(sorted(batch)))] = draw(anything())
    return json.dumps(batch).encode()


@st.composite
def requests(
    draw: st.DrawFn, addresses: list[str], people: list[str], shop: Any, good: list[Any]
) -> Sent:
    """Mostly by somebody who may, by a method that is taken: beyond the door, where it counts."""
    name = draw(st.sampled_from(addresses))
    known = shop.fields_of(name)
    usual = "post" if name in shop.posted else "get"
    method = draw(st.sampled_from([usual] * 12 + ["get", "post", "head", "put", "delete"]))
    names = st.sampled_from([*known, *NAMES]) if known else st.sampled_from(NAMES)
    body, content_type = None, "application/x-www-form-urlencoded"
    if method == "post" and name == "fieldwork:events":
        body, content_type = draw(batches(good)), "application/json"
    elif method == "post" and draw(st.integers(0, 11)) == 0:
        body, content_type = (
            draw(st.sampled_from(BROKEN_MULTIPART)),
            "multipart/form-data; boundary=x",
        )
    elif method == "post" and draw(st.integers(0, 11)) == 0:
        body = quote(draw(words())).encode() + draw(
            st.sampled_from([b"=%ED%A0%80", b"=%FF&=&&", b"%"])
        )
    file = st.sampled_from(NO_PICTURES) | st.binary(max_size=200)
    return Sent(
        who=draw(st.sampled_from([*shop.allowed[name] * 6, *people])),
        name=name,
        method=method,
        path_part=draw(st.tuples(st.integers(1, 6), words()))
        if not draw(st.integers(0, 9))
        else None,
        query=draw(st.dictionaries(names, words(), max_size=3)) if draw(st.booleans()) else {},
        fields=draw(st.dictionaries(names, words() | st.lists(words(), max_size=3), max_size=4)),
        keep=draw(st.integers(0, 3)) > 0,
        body=body,
        content_type=content_type,
        file=draw(st.none() | file),
        headers=draw(_headers()),
    )


@st.composite
def _headers(draw: st.DrawFn) -> dict[str, str]:
    if draw(st.integers(0, 2)):
        return {}
    chosen = draw(st.lists(st.sampled_from(sorted(HEADERS)), max_size=3, unique=True))
    return {name: draw(st.sampled_from(HEADERS[name]) | words()) for name in chosen}
