"""Settings of the tests: quick passwords, no files outside the test's own folder."""

import os
import tempfile

os.environ.setdefault("REDBUD_VAR", tempfile.mkdtemp(prefix="redbud-test-"))

from config.settings import *  # noqa: F403

PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.InMemoryStorage"},
    "staticfiles": {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"},
}
# Tasks are called by the tests themselves; the tests of the broker start a real one.
CELERY_TASK_ALWAYS_EAGER = False
CELERY_BROKER_CONNECTION_TIMEOUT = 1
# tests/front/test_the_door.py switches it on; everywhere else an owner's password is enough.
SECOND_STEP_FOR = []
# tests/front/test_headers.py switches the counting of visitors on, in this process's memory.
RATELIMIT_ENABLE = False
CACHES["visitors"] = CACHES["default"]  # noqa: F405
SILENCED_SYSTEM_CHECKS = [*SILENCED_SYSTEM_CHECKS, "django_ratelimit.E003", "django_ratelimit.W001"]  # noqa: F405
# Each test's client builds the middleware anew, which would look every static file over (11 ms).
WHITENOISE_AUTOREFRESH = True
