"""The verb that says how a branch books."""

from __future__ import annotations

from agreements.models import Bookkeeping


def keep_books_by(*, bookkeeping: Bookkeeping) -> Bookkeeping:
    """Write down the rule and the account names; files made from now on follow them."""
    bookkeeping.save()
    return bookkeeping
