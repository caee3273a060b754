"""The disk is full: a clear answer, what was there before stays, nothing half written.

Played by the kernel's limit on the size of a file, which a process of its own gets.
"""

import json
import os
import resource
import signal
import subprocess
import sys

import pytest

from tests.real.services import ROOT, manage

pytestmark = pytest.mark.slow
PHOTO = """
import json, os
from pathlib import Path
from django.conf import settings
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
kept = default_storage.save("photos/whole.jpg", ContentFile(b"x" * 1000))
try:
    default_storage.save("photos/half.jpg", ContentFile(b"x" * 5_000_000))
    trouble = 0
except OSError as full:
    trouble = full.errno
files = [str(p.relative_to(settings.MEDIA_ROOT)) for p in Path(settings.MEDIA_ROOT).rglob("*")
         if p.is_file()]
print("SAID" + json.dumps([trouble, files]))
"""
HOMES = """
import json
from django.test import Client
from customers.models import Customer, Home
from kit.web.models import SentForm
from tests import cast
from tests.customers.test_entry import an_entry
browser = Client(raise_request_exception=False, SERVER_NAME="localhost")
browser.cookies["sessionid"] = {session!r}
statuses, notes = [], "x" * 60_000
for number in range(60):
    door = {{"street": f"{{number}} Elm Street", "form_key": f"{{number:032x}}"}}
    answer = browser.post("/homes/new/", an_entry(access_notes=notes, **door))
    statuses.append(answer.status_code)
    if answer.status_code != 302:
        break
homes = Home.objects.filter(street__endswith="Elm Street")
print("SAID" + json.dumps([
    statuses, homes.count(), Customer.objects.filter(name="Ana Ortiz").count(),
    SentForm.objects.count(), answer.content.decode(),
]))
"""


def asked(words: str, env: dict[str, str], most_bytes: int | None = None):
    def limited() -> None:
        if most_bytes:
            signal.signal(signal.SIGXFSZ, signal.SIG_IGN)  # an error to the writer, not its end
            resource.setrlimit(resource.RLIMIT_FSIZE, (most_bytes, most_bytes))

    run = subprocess.run(
        [sys.executable, "manage.py", "shell", "--no-imports", "-v", "0", "-c", words],
        cwd=ROOT, env=os.environ | env, text=True, capture_output=True, preexec_fn=limited,
    )  # fmt: skip
    assert "SAID" in run.stdout, run.stderr[-2000:]
    return json.loads(run.stdout.partition("SAID")[2])


def test_a_photo_that_does_not_fit_leaves_no_half_of_it(tmp_path):
    env = {"REDBUD_VAR": str(tmp_path), "MEDIA_ROOT": str(tmp_path / "media")}
    env |= {"DJANGO_SETTINGS_MODULE": "config.settings"}
    trouble, files = asked(PHOTO, env, most_bytes=1_000_000)
    assert trouble > 0
    assert files == ["photos/whole.jpg"]


def test_a_full_database_refuses_clearly_and_keeps_what_it_had(tmp_path):
    env = {"REDBUD_VAR": str(tmp_path), "DJANGO_SETTINGS_MODULE": "config.settings"}
    env |= {"SECOND_STEP_FOR": "", "LOG_LEVEL": "CRITICAL"}
    manage("migrate", "--verbosity", "0", **env)
    session = asked(
        'import json; from tests import cast; print("SAID" + json.dumps('
        'cast.signed_in(cast.odile()).cookies["sessionid"].value))', env,
    )  # fmt: skip
    size = (tmp_path / "redbud.sqlite3").stat().st_size

    statuses, homes, customers, keys, page = asked(
        HOMES.format(session=session), env, most_bytes=size + 1_000_000
    )

    assert statuses[-1] == 503, statuses
    assert statuses[0] == 302
    assert "Nothing of this page was saved" in page
    assert homes == customers == keys == len(statuses) - 1
    again, more, *_ = asked(HOMES.format(session=session), env)
    assert set(again) == {302}  # there is room again
    assert more == 60
