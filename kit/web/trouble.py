"""What is answered when a page fails: plain words, nothing of the machine's inside."""

from __future__ import annotations

import errno
import sys

from django.conf import settings
from django.db import InterfaceError, OperationalError
from django.http import HttpRequest, HttpResponse
from django.template.loader import render_to_string

AGAIN_AFTER_S = 30
FULL = (errno.ENOSPC, errno.EDQUOT, errno.EFBIG)


def failed(request: HttpRequest) -> HttpResponse:
    """Django's last resort. 503: a server is away or the disk is full, so that it is worth to
    send again (phones do by themselves); 500: a mistake of ours.

    The page asks no database: that may be what is away.
    """
    trouble = sys.exc_info()[1]
    full = isinstance(trouble, OSError) and trouble.errno in FULL
    away = full or isinstance(trouble, OperationalError | InterfaceError)
    # A customer who came by a link has no Today.
    staff = settings.SESSION_COOKIE_NAME in request.COOKIES
    page = render_to_string("kit/failed.html", {"away": away, "full": full, "staff": staff})
    answer = HttpResponse(page, status=503 if away else 500)
    if away:
        answer["Retry-After"] = str(AGAIN_AFTER_S)
    return answer
