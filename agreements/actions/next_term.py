"""The verb that takes back a next term that is written down and has not begun."""

from __future__ import annotations

import datetime as dt

from agreements.actions.charging import settle_charges
from agreements.actions.events import AgreementRefused
from agreements.actions.owing import end_early
from agreements.models import Agreement, Ended
from agreements.money.amounts import ZERO
from agreements.renewals import next_of


def call_off_next(*, agreement: Agreement, why: str, today: dt.date) -> None:
    """End the next term before it begins, at no price.

    Raises AgreementRefused once it has begun.
    """
    following = next_of(agreement)
    if following is None:
        return
    if following.starts_on <= today:
        raise AgreementRefused("The next term has begun; cancel it instead.")
    end_early(agreement=following, on=following.starts_on, because=Ended.DECLINED, why=why)
    settle_charges(agreement=following, kept=ZERO, ends=following.starts_on)
