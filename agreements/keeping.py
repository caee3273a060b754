"""How the database keeps `Balance`: triggers on charges, payments and refunds, and a recount.

A trigger sees every row, whoever writes it, in the transaction that writes it; two at once wait for
each other at the balance's row. Whole cents: as exact as decimals, and SQLite has no decimals.
SQLite drops the triggers when a migration rebuilds one of the tables: put them up again there
(tests/agreements/test_kept_balances.py sees whether they stand).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from django.db import connection, transaction

BALANCE = "agreements_balance"
# What a row adds to its agreement's balance. All names in the statements below are our own.
_CENTS = "CAST(ROUND({row}.amount * 100) AS BIGINT)"
COUNTED: Mapping[str, str] = {
    "agreements_charge": f"CASE WHEN {{row}}.withdrawn_on IS NULL THEN {_CENTS} ELSE 0 END",
    "agreements_payment": f"-{_CENTS}",
    "agreements_refund": _CENTS,
}
_TOLD_BY = {
    "agreements_charge": "agreement_id, amount, withdrawn_on",
    "agreements_payment": "agreement_id, amount",
    "agreements_refund": "agreement_id, amount",
}

_EACH = " UNION ALL ".join(
    f"SELECT agreement_id, {worth.format(row=table)} AS cents FROM {table}"  # noqa: S608
    for table, worth in COUNTED.items()
)
SUMMED = f"SELECT agreement_id, SUM(cents) AS cents FROM ({_EACH}) AS moved GROUP BY agreement_id"  # noqa: S608
_DIFFERENT = f"""
SELECT agreement_id, SUM(kept), SUM(summed) FROM (
  SELECT agreement_id, cents AS kept, 0 AS summed FROM {BALANCE}
  UNION ALL SELECT agreement_id, 0, cents FROM ({SUMMED}) AS counted
) AS both_ways GROUP BY agreement_id HAVING SUM(kept) <> SUM(summed) ORDER BY agreement_id
"""  # noqa: S608


def put_up(apps: Any, schema_editor: Any) -> None:
    """For a migration: from here on the balances are kept; those of the past are written."""
    make = {"sqlite": _on_sqlite, "postgresql": _on_postgresql}[schema_editor.connection.vendor]
    for table in COUNTED:
        for statement in make(table):
            schema_editor.execute(statement, params=None)
    # After the triggers: putting them up waits for whoever writes, and keeps out who comes.
    schema_editor.execute(_fill(), params=None)


def take_down(apps: Any, schema_editor: Any) -> None:
    for table in COUNTED:
        if schema_editor.connection.vendor == "postgresql":
            schema_editor.execute(f"DROP FUNCTION {table}_counts() CASCADE", params=None)
            continue
        for name in trigger_names(table, "sqlite"):
            schema_editor.execute(f"DROP TRIGGER {name}", params=None)


def trigger_names(table: str, vendor: str) -> list[str]:
    if vendor == "postgresql":
        return [f"{table}_counts"]
    return [f"{table}_counts_{when}" for when in ("new", "changed", "gone")]


def differing() -> list[tuple[int, int, int]]:
    """Agreements whose kept balance is not the sum: key, kept, summed (cents). Should be none."""
    with connection.cursor() as cursor:
        cursor.execute(_DIFFERENT)
        return [(key, int(kept), int(summed)) for key, kept, summed in cursor.fetchall()]


@transaction.atomic
def recount() -> None:
    """Write every balance anew; who writes money meanwhile waits."""
    with connection.cursor() as cursor:
        if connection.vendor == "postgresql":
            cursor.execute(f"LOCK TABLE {', '.join(COUNTED)} IN SHARE ROW EXCLUSIVE MODE")
        cursor.execute(f"DELETE FROM {BALANCE}")  # noqa: S608
        cursor.execute(_fill())


def _fill() -> str:
    return f"INSERT INTO {BALANCE} (agreement_id, cents) {SUMMED}"


def _add(row: str, sign: str, worth: str) -> str:
    return (
        f"UPDATE {BALANCE} SET cents = cents {sign} ({worth.format(row=row)}) "  # noqa: S608
        f"WHERE agreement_id = {row}.agreement_id;"
    )


def _on_sqlite(table: str) -> Iterator[str]:
    """One writer at a time, so a missing balance can be looked for before it is added."""
    begin = (
        f"INSERT INTO {BALANCE} (agreement_id, cents) SELECT NEW.agreement_id, 0 WHERE NOT EXISTS "  # noqa: S608
        f"(SELECT 1 FROM {BALANCE} WHERE agreement_id = NEW.agreement_id);"
    )
    add, take = _add("NEW", "+", COUNTED[table]), _add("OLD", "-", COUNTED[table])
    new, changed, gone = trigger_names(table, "sqlite")
    yield f"CREATE TRIGGER {new} AFTER INSERT ON {table} BEGIN {begin} {add} END"
    update = f"AFTER UPDATE OF {_TOLD_BY[table]} ON {table}"
    yield f"CREATE TRIGGER {changed} {update} BEGIN {take} {begin} {add} END"
    yield f"CREATE TRIGGER {gone} AFTER DELETE ON {table} BEGIN {take} END"


def _on_postgresql(table: str) -> Iterator[str]:
    worth = COUNTED[table]
    take = _add("OLD", "-", worth)
    add = (
        f"INSERT INTO {BALANCE} (agreement_id, cents) "  # noqa: S608
        f"VALUES (NEW.agreement_id, {worth.format(row='NEW')}) "
        f"ON CONFLICT (agreement_id) DO UPDATE SET cents = {BALANCE}.cents + EXCLUDED.cents;"
    )
    yield (
        f"CREATE FUNCTION {table}_counts() RETURNS trigger LANGUAGE plpgsql AS $$ BEGIN "
        f"IF TG_OP <> 'INSERT' THEN {take} END IF; IF TG_OP <> 'DELETE' THEN {add} END IF; "
        "RETURN NULL; END $$"
    )
    [name] = trigger_names(table, "postgresql")
    yield (
        f"CREATE TRIGGER {name} AFTER INSERT OR DELETE OR UPDATE OF {_TOLD_BY[table]} ON {table} "
        f"FOR EACH ROW EXECUTE FUNCTION {table}_counts()"
    )
