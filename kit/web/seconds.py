"""A moment as a whole number, straight from the database.

Where ten thousand moments are only to be subtracted from one another, making a datetime of each
costs more than the query.
"""

from __future__ import annotations

from typing import Any

from django.db.models import BigIntegerField, Func


class Seconds(Func):
    """Whole seconds of a moment (or of a day's midnight in UTC) since 1970; NULL stays NULL."""

    output_field = BigIntegerField()
    # Both databases answer whole numbers: nothing is to be made of each.
    convert_value = staticmethod(Func._convert_value_noop)  # type: ignore[attr-defined]

    def as_sqlite(self, compiler: Any, connection: Any, **more: Any) -> Any:
        # Four signs: one pair for this template, one for the parameters of the statement.
        template = "CAST(strftime('%%%%s', %(expressions)s) AS INTEGER)"
        return self.as_sql(compiler, connection, template=template, **more)

    def as_postgresql(self, compiler: Any, connection: Any, **more: Any) -> Any:
        template = "CAST(FLOOR(EXTRACT(EPOCH FROM %(expressions)s)) AS BIGINT)"
        return self.as_sql(compiler, connection, template=template, **more)
