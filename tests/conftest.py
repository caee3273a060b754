"""What every test may use."""

from __future__ import annotations

import pytest


@pytest.fixture(autouse=True)
def _same_language_everywhere(settings):
    """Words in the tests are English whatever the machine speaks."""
    settings.LANGUAGE_CODE = "en-us"
