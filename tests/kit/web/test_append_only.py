"""The triggers that keep histories: still there after every migration."""

import pytest
from django.db import connection

from kit.web.append_only import trigger_names

pytestmark = pytest.mark.django_db
KEPT = (
    "agreements_agreementevent", "agreements_planversion", "customers_homelook",
    "front_erasure", "scheduling_visitevent",
)  # fmt: skip
LISTED = {
    "sqlite": "SELECT name FROM sqlite_master WHERE type = 'trigger'",
    "postgresql": "SELECT tgname FROM pg_trigger WHERE NOT tgisinternal",
}


@pytest.mark.parametrize("table", KEPT)
def test_the_database_guards_the_table(table):
    """SQLite drops a table's triggers when a migration rebuilds it; the migration puts them up."""
    with connection.cursor() as cursor:
        cursor.execute(LISTED[connection.vendor])
        assert set(trigger_names(table)) <= {name for (name,) in cursor.fetchall()}
