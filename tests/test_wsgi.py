"""The web server's process."""

import gc

from config import wsgi


def test_what_is_loaded_is_not_looked_through_for_garbage_again():
    wsgi.waiting.cancel()  # the server's own warming up
    try:
        wsgi.settle()
        assert gc.get_freeze_count() > 10_000
    finally:
        gc.unfreeze()
