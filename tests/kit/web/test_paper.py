"""Paper is made of what is in the page and of our own files, and of nothing else."""

from concurrent.futures import ThreadPoolExecutor
from io import BytesIO

import pytest
from pypdf import PdfReader

from kit.web.paper import OURS, OwnFilesOnly, printed

PAGE = '<!doctype html><html lang="en"><head><title>{0}</title></head><body><h1>{0}</h1></body>'


@pytest.mark.parametrize(
    "url",
    [
        "https://example.com/logo.png",
        "file:///etc/passwd",
        f"{OURS}../manage.py",
        f"{OURS}css/../../manage.py",
        f"{OURS}%2e%2e/manage.py",
        "ftp://example.com/a",
    ],
)
def test_nothing_is_fetched_from_elsewhere(url):
    with pytest.raises(ValueError, match="fetches nothing"):
        OwnFilesOnly().fetch(url)


def test_our_own_style_sheet_is_read():
    assert b"@page" in OwnFilesOnly().fetch(f"{OURS}css/print.css").read()


def test_two_pages_at_once_are_both_whole():
    with ThreadPoolExecutor(2) as printers:
        papers = list(printers.map(printed, [PAGE.format("One"), PAGE.format("Two")]))
    assert [PdfReader(BytesIO(paper)).metadata.title for paper in papers] == ["One", "Two"]


def test_a_page_is_tagged_in_its_language():
    root = PdfReader(BytesIO(printed(PAGE.format("One")))).trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"]
    assert root["/Lang"] == "en"
