"""What may be done with a letter of each kind."""

import datetime as dt

import pytest

from letters.kinds import KINDS, kind_of

REMINDERS = {"filter", "cover_off", "cover_on", "plants", "rinse", "returns", "lapsed"}


def test_what_only_a_homeowner_does_is_a_reminder_and_all_else_is_about_a_visit():
    assert {name for name, kind in KINDS.items() if kind.is_reminder} == REMINDERS
    assert KINDS.keys() - REMINDERS == {
        "offer", "second_offer", "promise_confirmed", "promise_moved", "promise_cancelled",
        "day_before", "on_the_way", "report", "no_start_received", "agreement_to_sign", "renewal",
        "payment_due", "payment_overdue", "receipt",
    }  # fmt: skip


def test_silence_about_a_visit_is_worse_than_a_double():
    assert {k.when_unsure for k in KINDS.values() if k.about_an_agreed_visit} == {"send_again"}
    assert {k.when_unsure for k in KINDS.values() if k.is_reminder} == {"keep_back"}


def test_at_night_only_what_the_customer_waits_for_goes_out():
    awake = {name for name, kind in KINDS.items() if kind.may_break_quiet_hours}
    assert awake == {"on_the_way", "no_start_received"}


def test_only_reminders_count_toward_the_daily_limit():
    assert {n for n, k in KINDS.items() if k.counts_toward_daily_limit} == REMINDERS


def test_every_letter_expires_and_a_rolling_truck_soonest():
    assert all(kind.expires_after > dt.timedelta(0) for kind in KINDS.values())
    assert min(KINDS.values(), key=lambda kind: kind.expires_after).name == "on_the_way"


def test_an_unknown_kind_is_refused_with_those_there_are():
    with pytest.raises(ValueError, match=r"no letter kind 'advert'; there are offer"):
        kind_of("advert")
