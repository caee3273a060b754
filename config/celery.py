"""Celery: only wiring; its settings are the CELERY_ names in config.settings.

Tasks carry an id and no thought: the database is the queue of record, the
broker only wakes a worker, and the sweeps find what a lost message left.
"""

import os

from celery import Celery

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "config.settings")

app = Celery("redbud")
app.config_from_object("django.conf:settings", namespace="CELERY")
app.autodiscover_tasks()
