"""HTML onto paper by WeasyPrint, as a PDF that a screen reader can read (PDF/UA-1).

Nothing is fetched from anywhere: pictures come in the page, fonts and style sheets from static/.
Loading WeasyPrint takes a second, so import this where a page is printed, not above.
"""

from __future__ import annotations

from functools import cache
from threading import Lock
from typing import Any
from urllib.parse import unquote

from django.conf import settings
from weasyprint import CSS, HTML
from weasyprint.text.fonts import FontConfiguration
from weasyprint.urls import URLFetcher, URLFetcherResponse

STATIC = settings.ROOT / "static"
OURS = STATIC.as_uri() + "/"


# The fonts that are kept for all pages must not be used by two threads of the server at once.
_one_at_a_time = Lock()


class OwnFilesOnly(URLFetcher):
    """Opens data: addresses and files of static/; refuses all else."""

    def __init__(self) -> None:
        super().__init__(allowed_protocols=("data", "file"))

    def fetch(self, url: str, headers: Any = None) -> URLFetcherResponse:
        if not url.startswith(("data:", OURS)) or ".." in unquote(url):
            raise ValueError(f"A printed page fetches nothing from {url!r}.")
        return super().fetch(url, headers)


def printed(html: str, sheet: str = "print.css") -> bytes:
    """The PDF of a whole page, styled by a sheet of static/css/."""
    css, fonts = _style(sheet)
    page = HTML(string=html, url_fetcher=OwnFilesOnly())
    with _one_at_a_time:
        return page.write_pdf(stylesheets=[css], font_config=fonts, pdf_variant="pdf/ua-1")


@cache
def _style(sheet: str) -> tuple[CSS, FontConfiguration]:
    """The style sheet and its fonts, read once."""
    fonts = FontConfiguration()
    path = STATIC / "css" / sheet
    return CSS(path, font_config=fonts, url_fetcher=OwnFilesOnly()), fonts
