"""For the machines that watch this one."""

from __future__ import annotations

import hmac

from django.conf import settings
from django.contrib.auth.decorators import login_not_required
from django.db import connection
from django.db.migrations.executor import MigrationExecutor
from django.http import Http404, HttpRequest, HttpResponse, JsonResponse
from django.utils import timezone
from django.views.decorators.http import require_GET

from front.addresses import visitor_address
from front.figures import as_text, figures
from kit.web.metrics import counted_requests
from kit.web.wake import broker_answers

# Without an address: through the socket by which our own proxy comes, but not through the proxy.
THIS_MACHINE = ("", "127.0.0.1", "::1")


@login_not_required
@require_GET
def health(request: HttpRequest) -> HttpResponse:
    """This process answers, and the database answers it."""
    with connection.cursor() as cursor:
        cursor.execute("SELECT 1")
    return HttpResponse("ok", content_type="text/plain")


@login_not_required
@require_GET
def ready(request: HttpRequest) -> JsonResponse:
    """Whether visitors may be sent here: the tables are of this version; and what else is missing.

    A broker that is away is said and no reason to turn visitors away: the rows wait for it.
    """
    executor = MigrationExecutor(connection)
    behind = executor.migration_plan(executor.loader.graph.leaf_nodes())
    answer = {"database": "behind" if behind else "ready", "broker": broker_answers()}
    return JsonResponse(answer, status=503 if behind else 200)


@login_not_required
@require_GET
def metrics(request: HttpRequest) -> HttpResponse:
    """Figures for Prometheus: for this machine, or with the token; nobody else finds the page."""
    if not (_has_token(request) or visitor_address(request) in THIS_MACHINE):
        raise Http404
    text = as_text(figures(timezone.now())) + counted_requests()
    return HttpResponse(text, content_type="text/plain; version=0.0.4; charset=utf-8")


def _has_token(request: HttpRequest) -> bool:
    said = request.headers.get("Authorization", "")
    right = f"Bearer {settings.METRICS_TOKEN}"
    return bool(settings.METRICS_TOKEN) and hmac.compare_digest(said.encode(), right.encode())
