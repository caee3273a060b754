"""Tables whose rows the database itself neither changes nor takes out, on SQLite and PostgreSQL.

A migration names them; tests/kit/web/test_append_only.py sees that the triggers are still there,
because SQLite drops them when a later migration rebuilds the table.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from django.db import migrations

# What stands where personal words stood, once a customer's data were taken out.
ERASED = "(taken out with the customer's personal data)"


def append_only(
    table: str,
    columns: Sequence[str],
    *,
    erasable: Sequence[str] = (),
    kept_days: int | None = None,
) -> migrations.RunPython:
    """Rows of `table` stay as they were written.

    `erasable`: text columns, beside `columns`, whose words may give way to ERASED and to nothing
    else. `kept_days`: older rows may be taken out, by their column `at`; None: no row ever.
    """

    def put_up(apps: Any, schema_editor: Any) -> None:
        make = _SQL[schema_editor.connection.vendor]
        for statement in make(table, _changed(columns, erasable), kept_days):
            schema_editor.execute(statement, params=None)

    def take_down(apps: Any, schema_editor: Any) -> None:
        on = f" ON {table}" if schema_editor.connection.vendor == "postgresql" else ""
        for name in trigger_names(table):
            schema_editor.execute(f"DROP TRIGGER {name}{on}", params=None)

    return migrations.RunPython(put_up, take_down)


def trigger_names(table: str) -> tuple[str, str]:
    return f"{table}_is_never_changed", f"{table}_is_never_taken_out"


def _changed(columns: Sequence[str], erasable: Sequence[str]) -> str:
    """The condition under which an UPDATE is refused."""
    if not erasable:
        return ""
    erased = ERASED.replace("'", "''")
    same = [f"NEW.{name} IS NOT DISTINCT FROM OLD.{name}" for name in columns]
    gone = [f"(NEW.{n} = '{erased}' OR NEW.{n} = OLD.{n})" for n in erasable]
    return f"NOT ({' AND '.join(same + gone)})"


def _on_sqlite(table: str, changed: str, kept_days: int | None) -> list[str]:
    never_changed, never_out = trigger_names(table)
    young = "" if kept_days is None else f"WHEN OLD.at > datetime('now', '-{kept_days} days')"
    refuse = f"BEGIN SELECT RAISE(ABORT, '{table} keeps its rows as they were written'); END"
    when = f"WHEN {changed}" if changed else ""
    return [
        f"CREATE TRIGGER {never_changed} BEFORE UPDATE ON {table} {when} {refuse}",
        f"CREATE TRIGGER {never_out} BEFORE DELETE ON {table} {young} {refuse}",
    ]


def _on_postgresql(table: str, changed: str, kept_days: int | None) -> list[str]:
    never_changed, never_out = trigger_names(table)
    young = "" if kept_days is None else f"WHEN (OLD.at > now() - interval '{kept_days} days')"
    when = f"WHEN ({changed})" if changed else ""
    refuse = "FOR EACH ROW {} EXECUTE FUNCTION kept_as_written()"
    return [
        "CREATE OR REPLACE FUNCTION kept_as_written() RETURNS trigger LANGUAGE plpgsql AS $$ BEGIN "
        "RAISE EXCEPTION '% keeps its rows as they were written', TG_TABLE_NAME "
        "USING ERRCODE = 'integrity_constraint_violation'; END $$",
        f"CREATE TRIGGER {never_changed} BEFORE UPDATE ON {table} {refuse.format(when)}",
        f"CREATE TRIGGER {never_out} BEFORE DELETE ON {table} {refuse.format(young)}",
    ]


_SQL: Mapping[str, Any] = {"sqlite": _on_sqlite, "postgresql": _on_postgresql}
