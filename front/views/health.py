"""For the machines that watch this one."""

from __future__ import annotations

from django.contrib.auth.decorators import login_not_required
from django.db import connection
from django.db.migrations.executor import MigrationExecutor
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.views.decorators.http import require_GET

from kit.web.wake import broker_answers


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
