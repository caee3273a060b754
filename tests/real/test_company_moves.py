"""A whole company moves from SQLite to PostgreSQL, by the commands that people run.

From SQLite to SQLite it is tried in tests/front/test_company.py.
"""

import pytest

from tests.real.services import manage, postgresql

# Each instance in one process, because starting one costs more than its commands.
FILL = """
from django.core.management import call_command
call_command("migrate", verbosity=0)
call_command("demo_scenario")
call_command("export_company", "{first}")
"""
MOVE_IN = """
from django.core.management import call_command
from customers.models import Customer
from shop.models import Branch
call_command("migrate", verbosity=0)
call_command("import_company", "{first}")
call_command("export_company", "{second}")
Customer.objects.create(branch=Branch.objects.first(), name="Ben Castellan")  # a number of its own
"""


@pytest.mark.slow
def test_a_company_moves_to_another_database_to_the_byte(tmp_path):
    files = {"first": tmp_path / "first.zip", "second": tmp_path / "second.zip"}
    old = {"DATABASE_URL": f"sqlite:///{tmp_path}/old.sqlite3", "MEDIA_ROOT": f"{tmp_path}/old"}
    manage("shell", "-v", "0", "-c", FILL.format(**files), **old)

    with postgresql() as address:
        new = {"DATABASE_URL": address, "MEDIA_ROOT": f"{tmp_path}/new"}
        manage("shell", "-v", "0", "-c", MOVE_IN.format(**files), **new)

    assert files["second"].read_bytes() == files["first"].read_bytes()
