"""The files that My day is made of, kept on the phone so that it opens without a signal."""

from __future__ import annotations

from functools import lru_cache
from hashlib import sha256
from pathlib import Path

from django.conf import settings
from django.contrib.staticfiles import finders

SHELL = (
    "vendored/open-props/open-props.subset.css",
    "css/tokens.css",
    "css/base.css",
    "css/parts.css",
    "css/field.css",
    "vendored/idb/index.js",
    "js/menu.js",
    "js/field/store.js",
    "js/field/send.js",
    "js/field/status.js",
    "js/field/needs.js",
    "js/field/offline.js",
    "js/field/stamps.js",
    "js/field/order.js",
    "js/field/day.js",
    "js/field/readings.js",
    "js/field/marks.js",
    "js/field/procedures.js",
    "js/field/verdicts.js",
    "js/field/lists.js",
    "js/field/photos.js",
    "js/field/removal.js",
    "js/field/signature.js",
    "js/field/visit.js",
    "redbud.svg",
    "icons/my-day-192.png",
)


@lru_cache(maxsize=1)
def version_of_shell() -> str:
    """A mark that changes whenever one of the files does, so that phones fetch them anew."""
    mark = sha256()
    for path in SHELL:
        found = finders.find(path) or str(Path(settings.STATIC_ROOT) / path)
        mark.update(Path(found).read_bytes())
    template = settings.ROOT / "templates" / "fieldwork" / "worker.js"
    mark.update(template.read_bytes())
    return mark.hexdigest()[:16]
