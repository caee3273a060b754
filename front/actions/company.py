"""The verbs that let a whole company out, and into an empty instance."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from typing import IO
from zipfile import BadZipFile, ZipFile

from django.core.files import File
from django.core.files.storage import default_storage
from django.core.management.color import no_style
from django.db import DatabaseError, connection, models, transaction

from front.company.manifest import CompanyRefused, Manifest
from front.company.reading import lines_of, manifest_of
from front.company.tables import Model, company_tables, foreign_keys, member_of
from front.company.values import BadRecord, row_of
from front.company.writing import export_company
from front.models import CompanyExport
from shop.models import User

A_BATCH = 500


def let_out(*, file: IO[bytes], by: User, now: dt.datetime) -> Manifest:
    """Write the company into `file`, and down who took it out."""
    manifest = export_company(file)
    CompanyExport.objects.create(made_at=now, made_by=by, bytes=file.tell())
    return manifest


def import_company(*, file: IO[bytes]) -> Manifest:
    """Bring a whole company into an empty instance, or change nothing. Raises CompanyRefused."""
    try:
        with ZipFile(file) as archive:
            manifest = manifest_of(archive)
            with _pictures_in(archive, manifest), transaction.atomic():
                _check_empty()
                _bring_in(archive)
                connection.check_constraints()
        return manifest
    except BadZipFile as trouble:
        raise CompanyRefused(f"This is no archive: {trouble}") from trouble


def _check_empty() -> None:
    for model in company_tables():
        if model._base_manager.exists():
            raise CompanyRefused(
                f"This instance is not empty: there is {model._meta.verbose_name} on file. "
                "A company comes into an instance on which nothing but “migrate” was run."
            )


def _bring_in(archive: ZipFile) -> None:
    keys: dict[Model, set[object]] = {}
    for model in company_tables():
        keys[model] = set()
        for batch in _batches(archive, model, keys):
            _insert(model, batch)
    statements = connection.ops.sequence_reset_sql(no_style(), company_tables())
    with connection.cursor() as cursor:
        for statement in statements:
            cursor.execute(statement)


Numbered = tuple[int, models.Model]


def _batches(
    archive: ZipFile, model: Model, keys: dict[Model, set[object]]
) -> Iterator[list[Numbered]]:
    """Rows with the numbers of their lines; each names only rows that are there."""
    batch: list[Numbered] = []
    later: list[tuple[int, str, object]] = []  # what rows name in their own table
    for number, line in lines_of(archive, member_of(model)):
        try:
            row = row_of(model, line)
            if row.pk in keys[model]:
                raise BadRecord(f"{model._meta.pk.attname}: {row.pk} stands there twice")
            later += [(number, *named) for named in _named_here(row)]
            _check_targets(row, keys)
        except BadRecord as trouble:
            raise _refusal(model, number, str(trouble)) from trouble
        keys[model].add(row.pk)
        batch.append((number, row))
        if len(batch) == A_BATCH:
            yield batch
            batch = []
    yield batch
    for number, name, key in later:
        if key not in keys[model]:
            raise _refusal(model, number, f"{name}: there is no row {key}")


def _named_here(row: models.Model) -> list[tuple[str, object]]:
    return [
        (field.attname, key)
        for field in foreign_keys(type(row))
        if field.related_model is type(row) and (key := getattr(row, field.attname)) is not None
    ]


def _check_targets(row: models.Model, keys: dict[Model, set[object]]) -> None:
    for field in foreign_keys(type(row)):
        key, target = getattr(row, field.attname), field.related_model
        if key is None or target is type(row):
            continue
        if key not in keys.get(target, ()):  # type: ignore[call-overload]
            raise BadRecord(f"{field.attname}: there is no {target._meta.label} {key}")  # type: ignore[union-attr]


def _insert(model: Model, batch: Sequence[Numbered]) -> None:
    """As they are: no default, no “now” is put into them. Finds the line that is refused."""
    fields = model._meta.local_concrete_fields
    room = connection.features.max_query_params or A_BATCH * len(fields)
    step = max(room // len(fields), 1)
    for part in (batch[start : start + step] for start in range(0, len(batch), step)):
        try:
            with transaction.atomic():
                model._base_manager._insert(  # type: ignore[attr-defined]
                    [row for _, row in part], fields=fields, using=connection.alias, raw=True
                )
        except (DatabaseError, ValueError, OverflowError) as trouble:
            if len(part) == 1:
                why = str(trouble).splitlines()[0]
                raise _refusal(model, part[0][0], f"the database refuses it: {why}") from None
            for one in part:
                _insert(model, [one])
            raise


def _refusal(model: Model, number: int, words: str) -> CompanyRefused:
    return CompanyRefused(f"{member_of(model)}, line {number}: {words}. Nothing was changed.")


@contextmanager
def _pictures_in(archive: ZipFile, manifest: Manifest) -> Iterator[None]:
    """Media are there before the rows that name them, and gone again when those do not come."""
    written: list[str] = []
    try:
        for member in manifest.media:
            name = member.removeprefix("media/")
            if default_storage.exists(name):
                raise CompanyRefused(f"The media folder is not empty: {name} is there already.")
            with archive.open(member) as content:
                written.append(default_storage.save(name, File(content)))
            if written[-1] != name:
                raise CompanyRefused(f"{name} cannot lie in the media folder under its name.")
        yield
    except BaseException:
        for name in written:
            default_storage.delete(name)
        raise
