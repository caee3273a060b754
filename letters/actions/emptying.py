"""The verb that empties letters: that one was sent stays on file, to whom and what it said goes."""

from __future__ import annotations

from kit.web.append_only import ERASED
from letters.models import LetterState
from letters.models.letter import LetterQuerySet


def empty_letters(*, letters: LetterQuerySet) -> int:
    """For letters in nobody's hands. Nothing of them is sent any more, and none is written twice,
    because the row stays."""
    letters.exclude(state=LetterState.SENT).update(
        state=LetterState.WITHDRAWN, claim="", lease_until=None
    )
    return letters.update(
        to_email="", facts={}, invitation={}, subject=ERASED, body=ERASED, html="", trouble=""
    )
