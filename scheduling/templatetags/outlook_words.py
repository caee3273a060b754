"""Filters that name whose word a warmth is, for the office and for customers."""

from __future__ import annotations

import datetime as dt

from django import template
from django.utils import timezone
from django.utils.translation import gettext

from kit import words
from kit.web.templatetags.redbud import long_day
from scheduling.outlooks import CLIMATE, forecast_at, whose_word
from weather.outlook import Outlook

register = template.Library()


@register.filter
def word_for_the_office(outlook: Outlook, moment: dt.datetime) -> str:
    """ "forecast of Mon, May 24, 6:00 AM" or "climate of Milwaukee, Wisconsin"."""
    local = timezone.localtime(moment)
    return whose_word(outlook, local.date(), timezone.get_current_timezone())


@register.filter
def word_for_a_customer(outlook: Outlook, moment: dt.datetime) -> str:
    """The same in her language: "by the forecast of Monday, May 24, 6:00 AM"."""
    said = outlook.source_of(timezone.localtime(moment).date())
    made_at, place = forecast_at(outlook), outlook.climate.place
    if said == CLIMATE or made_at is None:
        return gettext("by the usual weather of %(place)s") % {"place": place}
    facts = {"day": long_day(made_at), "time": words.clock(timezone.localtime(made_at))}
    by_forecast = gettext("by the forecast of %(day)s, %(time)s") % facts
    if CLIMATE not in said:
        return by_forecast
    also = gettext("and the usual weather of %(place)s") % {"place": place}
    return f"{by_forecast}, {also}"
