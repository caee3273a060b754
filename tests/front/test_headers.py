"""What every answer tells a browser, and how often a stranger may knock."""

import os
import subprocess
import sys

import pytest
from django.core.cache import cache
from django.urls import reverse

from tests import cast
from tests.real.services import ROOT

pytestmark = pytest.mark.django_db
SIGN_IN = reverse("front:sign-in")


@pytest.fixture
def _counted(settings):
    settings.RATELIMIT_ENABLE, settings.VISITOR_RATE = True, "3/m"
    cache.clear()
    yield
    cache.clear()


def test_no_page_may_run_what_stands_inside_it(client):
    headers = client.get(SIGN_IN).headers
    assert "unsafe" not in headers["Content-Security-Policy"]
    assert "default-src 'self'" in headers["Content-Security-Policy"]
    assert headers["X-Frame-Options"] == "DENY"
    assert headers["X-Content-Type-Options"] == "nosniff"
    assert headers["Referrer-Policy"] == "same-origin"
    assert "geolocation=()" in headers["Permissions-Policy"]


def test_neither_pages_nor_files_are_for_the_scripts_of_other_sites(client):
    for address in (SIGN_IN, "/static/css/tokens.css"):
        answer = client.get(address, headers={"Origin": "https://other.example.com"})
        assert answer.status_code == 200
        assert "Access-Control-Allow-Origin" not in answer.headers


@pytest.mark.usefixtures("_counted")
def test_a_stranger_who_knocks_too_often_waits(client):
    assert [client.get(SIGN_IN).status_code for _ in range(4)] == [200, 200, 200, 429]
    assert client.get(SIGN_IN, REMOTE_ADDR="198.51.100.7").status_code == 200


@pytest.mark.usefixtures("_counted")
def test_pages_open_when_the_cache_is_away(client, settings):
    away = {"BACKEND": "django.core.cache.backends.redis.RedisCache", "LOCATION": "unix:///none"}
    settings.CACHES = settings.CACHES | {"visitors": away}
    assert client.get(SIGN_IN).status_code == 200


@pytest.mark.usefixtures("_counted")
def test_who_has_signed_in_is_not_counted():
    browser = cast.signed_in(cast.odile())
    assert {browser.get(reverse("front:account")).status_code for _ in range(5)} == {200}


def test_the_settings_of_a_real_installation_raise_no_warning(tmp_path):
    real = {
        "HTTPS": "true", "PROXIES": "1", "ALLOWED_HOSTS": "redbud.example.com",
        "SECRET_KEY": "k3-" + "Zq8!x" * 12, "REDBUD_VAR": str(tmp_path),
    }  # fmt: skip
    checked = subprocess.run(
        [sys.executable, "manage.py", "check", "--deploy", "--fail-level", "WARNING"],
        cwd=ROOT, env=os.environ | real, text=True, capture_output=True,
    )  # fmt: skip
    assert checked.returncode == 0, checked.stderr
