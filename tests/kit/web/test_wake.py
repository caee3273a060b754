"""An office never waits for an absent broker."""

from kit.web.wake import wake


def test_without_a_broker_it_says_so_and_goes_on(settings, caplog):
    settings.REDIS_URL = "redis+socket:///nowhere/redis.sock"
    wake("letters.send_due", 7)
    assert "no worker woken for letters.send_due (7,)" in caplog.text
