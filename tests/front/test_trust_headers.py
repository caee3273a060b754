"""What browsers are told over HTTPS: where cookies belong, what not to store, for how long."""

import os
import subprocess
import sys

import pytest
from django.urls import reverse

from tests import cast
from tests.real.services import ROOT

pytestmark = pytest.mark.django_db
STORY = """
import django
from django.conf import settings
django.setup()
for name in ("SESSION_COOKIE_NAME", "CSRF_COOKIE_NAME", "SESSION_COOKIE_SECURE",
             "CSRF_COOKIE_SECURE", "SESSION_COOKIE_HTTPONLY", "SESSION_COOKIE_SAMESITE",
             "SECURE_HSTS_SECONDS", "SECURE_HSTS_INCLUDE_SUBDOMAINS", "DEBUG"):
    print(name, getattr(settings, name))
"""


def test_a_page_of_who_is_signed_in_is_stored_nowhere():
    answer = cast.signed_in(cast.odile()).get(reverse("front:account"))
    assert {"no-store", "private"} <= set(answer.headers["Cache-Control"].split(", "))


def test_nothing_may_move_the_page_s_base_or_be_shared_with_other_hosts(client):
    headers = client.get(
        reverse("front:sign-in"), headers={"Origin": "https://example.org"}
    ).headers
    assert "base-uri 'none'" in headers["Content-Security-Policy"]
    assert "Access-Control-Allow-Origin" not in headers


def test_an_address_that_traces_is_not_answered(client):
    assert client.trace(reverse("front:sign-in")).status_code == 405


def test_over_https_cookies_belong_to_this_name_alone_and_for_a_year_nothing_else_is_spoken(
    tmp_path,
):
    real = {
        "HTTPS": "true", "PROXIES": "1", "SECRET_KEY": "k3-" + "Zq8!x" * 12,
        "REDBUD_VAR": str(tmp_path), "DJANGO_SETTINGS_MODULE": "config.settings",
    }  # fmt: skip
    told = subprocess.run(
        [sys.executable, "-c", STORY], cwd=ROOT, env=os.environ | real, text=True,
        capture_output=True, check=True,
    ).stdout  # fmt: skip
    said = dict(line.split(" ", 1) for line in told.splitlines())
    assert said == {
        "SESSION_COOKIE_NAME": "__Host-sessionid", "CSRF_COOKIE_NAME": "__Host-csrftoken",
        "SESSION_COOKIE_SECURE": "True", "CSRF_COOKIE_SECURE": "True",
        "SESSION_COOKIE_HTTPONLY": "True", "SESSION_COOKIE_SAMESITE": "Lax",
        "SECURE_HSTS_SECONDS": "31536000", "SECURE_HSTS_INCLUDE_SUBDOMAINS": "True",
        "DEBUG": "False",
    }  # fmt: skip
