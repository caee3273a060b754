"""Signs of life on a clock that somebody puts right."""

from __future__ import annotations

import datetime as dt

from django.db.models import Q

# Clocks of one shop's servers differ by less; what lies farther ahead was written on a wrong clock.
PUT_BACK = dt.timedelta(hours=1)
# By less than this they are put right all the time.
A_MINUTE = dt.timedelta(minutes=1)


def quiet_since(moment: dt.datetime) -> Q:
    """Not heard of since the moment. A sign of life from the future counts as none: otherwise
    a worker that died on a clock that ran ahead would be waited for until the clock catches up.
    """
    return Q(heard_at__lt=moment) | Q(heard_at__gt=moment + PUT_BACK)
