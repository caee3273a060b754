"""Figures for who keeps the server: right, few, and for this machine alone."""

import datetime as dt

import pytest
import time_machine
from prometheus_client.parser import text_string_to_metric_families

from front.figures import as_text, figures
from front.models import Backup
from scheduling.models import SeasonRun
from tests import cast, factories

pytestmark = pytest.mark.django_db
NOW = dt.datetime(2027, 4, 1, 17, tzinfo=dt.UTC)
HOUR = dt.timedelta(hours=1)
METRICS = "/metrics/"


@pytest.fixture(autouse=True)
def _in_april():
    with time_machine.travel(NOW, tick=False):
        yield


def told(text: str) -> dict[str, float]:
    """As Prometheus reads it: name and labels to value."""
    return {
        sample.name
        + "".join(f" {value}" for _, value in sorted(sample.labels.items())): sample.value
        for family in text_string_to_metric_families(text)
        for sample in family.samples
    }


def test_it_tells_what_waits_and_for_how_long():
    for hours, state in ((2, "waiting"), (1, "waiting"), (1, "failed")):
        at = NOW - hours * HOUR
        factories.LetterFactory(customer=cast.nora(), state=state, written_at=at, due_at=at)
    SeasonRun.objects.create(season=factories.SeasonFactory(), asked_at=NOW - HOUR, heard_at=NOW)
    Backup.objects.create(made_at=NOW - 24 * HOUR, file="x", verified_at=NOW - 12 * HOUR)
    Backup.objects.create(made_at=NOW, file="y", trouble="The disk is full")
    found = told(as_text(figures(NOW)))
    assert found["redbud_letters waiting"] == 2
    assert found["redbud_letters failed"] == 1
    assert found["redbud_oldest_due_letter_seconds"] == 7200
    assert found["redbud_plan_runs waiting"] == 1
    assert found["redbud_oldest_waiting_run_seconds"] == 3600
    assert found["redbud_backup_age_seconds"] == 86400
    assert found["redbud_backup_proven_age_seconds"] == 43200
    assert found["redbud_broker_up"] == 0


def test_requests_are_counted_by_view_without_their_address(client):
    before = told(client.get(METRICS).text).get("redbud_requests_total 2xx front:sign-in", 0)
    client.get("/sign-in/?next=/homes/?q=Nora")
    text = client.get(METRICS).text
    assert told(text)["redbud_requests_total 2xx front:sign-in"] == before + 1
    assert "Nora" not in text


def test_only_this_machine_and_the_token_s_holder_find_it(client, settings):
    assert client.get(METRICS).status_code == 200
    assert client.get(METRICS, REMOTE_ADDR="198.51.100.7").status_code == 404
    settings.PROXIES = 1
    assert client.get(METRICS, headers={"X-Forwarded-For": "198.51.100.7"}).status_code == 404
    assert (
        client.get(METRICS, headers={"X-Forwarded-For": "127.0.0.1, 198.51.100.7"}).status_code
        == 404
    )
    settings.METRICS_TOKEN = "t" * 40
    away = {"REMOTE_ADDR": "198.51.100.7"}
    for token, status in (("t" * 40, 200), ("t" * 39, 404), ("", 404)):
        answer = client.get(METRICS, headers={"Authorization": f"Bearer {token}"}, **away)
        assert answer.status_code == status
    assert client.post(METRICS).status_code == 405


def test_a_busy_database_costs_no_more_queries(django_assert_num_queries):
    for _ in range(30):
        factories.LetterFactory(customer=cast.nora())
    with django_assert_num_queries(9):
        as_text(figures(NOW))
