"""Things that must hold everywhere: migrations are written, templates load, no inline script."""

import re
from io import StringIO
from pathlib import Path

import pytest
from django.core.management import call_command
from django.template.loader import get_template

ROOT = Path(__file__).resolve().parent.parent
TEMPLATES = sorted(
    str(path.relative_to(ROOT / "templates"))
    for path in (ROOT / "templates").rglob("*")
    if path.is_file()
)


@pytest.mark.django_db
def test_every_model_change_has_its_migration():
    words = StringIO()
    call_command("makemigrations", "--check", "--dry-run", stdout=words)
    assert "No changes detected" in words.getvalue()


@pytest.mark.parametrize("name", TEMPLATES)
def test_the_template_loads(name):
    assert get_template(name)


@pytest.mark.parametrize("name", TEMPLATES)
def test_the_template_has_no_inline_style_or_script(name):
    words = (ROOT / "templates" / name).read_text()
    assert not re.search(r"\sstyle=|\son[a-z]+=\"|<style|<script(?![^>]*\ssrc=)", words)
