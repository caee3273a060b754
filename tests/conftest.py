"""What every test may use."""

from __future__ import annotations

import pytest
from hypothesis import settings as hypothesis_settings

# A busy machine is no fault of what is tested.
hypothesis_settings.register_profile("redbud", deadline=None)
hypothesis_settings.load_profile("redbud")


@pytest.fixture(autouse=True)
def _same_language_everywhere(settings):
    """Words in the tests are English whatever the machine speaks."""
    settings.LANGUAGE_CODE = "en-us"
