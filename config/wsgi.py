"""The web server's way in."""

import gc
import os
from threading import Timer

from django.core.wsgi import get_wsgi_application

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "config.settings")
application = get_wsgi_application()
WARM_AFTER_S = 10


def settle() -> None:
    """What is loaded now stays. To look through it for garbage took an eighth of a second, in the
    middle of somebody's page."""
    gc.collect()
    gc.freeze()


def warm_up() -> None:
    """Load what prints reports and knows the ZIPs, so that nobody waits for the first of them.

    About 30 MB; half a second for the ZIPs, in which the process answers nobody.
    """
    from customers.zip_codes import zip_code

    zip_code("53092")
    _warm_the_printer()
    settle()


def _warm_the_printer() -> None:
    try:
        from kit.web.paper import printed
    except (ImportError, OSError):  # its libraries are missing: every page but the PDFs works
        return
    printed('<!doctype html><html lang="en"><title>Warm</title><p>Warm</p></html>')


# In the process that serves, after its first requests; one that prints meanwhile waits its turn.
waiting = Timer(WARM_AFTER_S, warm_up)
waiting.daemon = True
waiting.start()
