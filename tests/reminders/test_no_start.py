"""The guide for a system that does not start: in order, safe, and with an end."""

from reminders.no_start import BREAKER, CHECKS, DISCONNECT, EMERGENCY, STOP_AND_CALL, all_words
from reminders.seasons import (
    COVER_OFF_CAUTIONS,
    COVER_ON_CAUTIONS,
    PLANTS_CAUTIONS,
    RETURNS_CAUTIONS,
    RINSE_CAUTIONS,
)


def test_the_checks_go_from_the_harmless_to_the_daring():
    assert [check.id for check in CHECKS] == ["cover", "thermostat", "breaker", "disconnect"]


def test_only_the_disconnect_asks_whether_one_is_comfortable_and_asks_it_first():
    assert [check.id for check in CHECKS if check.only_if_comfortable] == ["disconnect"]
    assert DISCONNECT.do[0].id == "disconnect_skip"


def test_a_breaker_is_reset_once_and_never_again():
    texts = {words.id: words.english for words in BREAKER.do + BREAKER.stop_and_call}
    assert "once only" in texts["breaker_reset_once"]
    assert "Leave it off" in texts["breaker_again"]


def test_power_is_off_before_the_disconnect_is_touched():
    ids = [words.id for words in DISCONNECT.do]
    assert ids.index("disconnect_off_first") < ids.index("disconnect_seated")


def test_in_an_emergency_people_leave_before_they_telephone():
    assert [words.id for words in EMERGENCY.do][:3] == [
        "emergency_leave",
        "emergency_touch_nothing",
        "emergency_call",
    ]
    assert EMERGENCY.telephone == "911"


def test_every_check_says_when_to_stop():
    assert all(check.do and check.stop_and_call for check in CHECKS)
    assert len(STOP_AND_CALL) == 6


def test_every_text_has_an_id_of_its_own():
    cautions = {
        *COVER_OFF_CAUTIONS, *COVER_ON_CAUTIONS, *PLANTS_CAUTIONS, *RETURNS_CAUTIONS,
        *RINSE_CAUTIONS,
    }  # fmt: skip
    ids = [words.id for words in (*all_words(), *cautions)]
    assert len(ids) == len(set(ids))
