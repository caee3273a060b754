"""Verbs of a spreadsheet's way in: upload, match, decide, bring in."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from hashlib import sha256

from django.core.cache import cache
from django.db import transaction
from django.utils import timezone

from agreements.imports.outcomes import counted
from agreements.imports.planning import OnFile, Planned, plan_import
from agreements.imports.plans import own_words, plans_for
from agreements.imports.targets import known_homes, targets_of
from agreements.imports.writing import write
from agreements.models import SpreadsheetImport
from agreements.models.imports import headings_key
from customers.spreadsheet.cleaning import Cleaned, clean_sheet
from customers.spreadsheet.columns import Matching, guess_columns, remembered_columns
from customers.spreadsheet.fields import field_named
from customers.spreadsheet.likeness import find_likeness
from customers.spreadsheet.reading import Sheet, read_sheet
from shop.models import Branch, User

CLEANED_FOR_S = 3600  # the same bytes clean to the same rows; 10,000 take about 4 s


def upload_spreadsheet(
    *, branch: Branch, file_name: str, content: bytes, by: User
) -> SpreadsheetImport:
    """Keep a file. Raises SheetRefused, with a sentence, when it cannot be read."""
    sheet = read_sheet(content, file_name)
    return SpreadsheetImport.objects.create(
        branch=branch,
        file_name=file_name[-200:],
        content=content,
        headings_key=headings_key(sheet.headers),
        created_by=by,
    )


def sheet_of(sheet_import: SpreadsheetImport) -> Sheet:
    """The rows of the kept file."""
    return read_sheet(bytes(sheet_import.content), sheet_import.file_name)


def first_matching(sheet_import: SpreadsheetImport, sheet: Sheet) -> Matching:
    """What the columns likely are: as settled, as last time for these headings, or a guess."""
    same = SpreadsheetImport.objects.of(sheet_import.branch).with_headings(sheet.headers)
    remembered = sheet_import if sheet_import.matching else same.first()
    if remembered is None:
        return guess_columns(sheet.headers)
    return remembered_columns(sheet.headers, remembered.matching)


def settle_columns(*, sheet_import: SpreadsheetImport, matching: Matching) -> None:
    """Keep what each column holds; it is remembered for the next file with these headings."""
    sheet_import.matching = matching.to_dict()
    sheet_import.save(update_fields=["matching"])


def decide_offers(*, sheet_import: SpreadsheetImport, decisions: Mapping[int, str]) -> None:
    """Keep the office's answers to offers; an empty one takes an answer back."""
    with transaction.atomic():
        locked = SpreadsheetImport.objects.select_for_update().get(pk=sheet_import.pk)
        kept = locked.decisions | {str(row): answer for row, answer in decisions.items()}
        locked.decisions = {row: answer for row, answer in kept.items() if answer}
        locked.save(update_fields=["decisions"])
    sheet_import.decisions = locked.decisions


def dry_run(*, sheet_import: SpreadsheetImport, today: dt.date) -> Planned:
    """What bringing the file in would do to each row. Writes nothing."""
    own = list(sheet_import.branch.plans.all())
    cleaned = _cleaned(sheet_import, own_words(own), today)
    targets = targets_of(sheet_import.branch)
    likeness = find_likeness(cleaned.rows, list(known_homes(sheet_import.branch, targets)))
    plans = plans_for(sheet_import.branch, own, cleaned.rows)
    headings = {field_id: heading for heading, field_id in sheet_import.matching.items()}
    return plan_import(
        cleaned,
        OnFile(sheet_import.branch, targets, plans, likeness),
        decisions=sheet_import.decisions,
        today=today,
        header_of=lambda field_id: headings.get(field_id) or field_named(field_id).label,
    )


@transaction.atomic
def bring_in(*, sheet_import: SpreadsheetImport, by: User, today: dt.date) -> dict[str, int]:
    """Write what the dry run shows: all of it, or nothing. Returns the rows of each kind.

    Rows that are refused, or alike to another and not decided, are left out; a second time brings
    in what was decided since, and changes nothing else.
    """
    Branch.objects.select_for_update().get(pk=sheet_import.branch_id)  # one import at a time
    planned = dry_run(sheet_import=sheet_import, today=today)
    write(planned.work, by=by, today=today)
    counts = counted(planned.outcomes)
    sheet_import.brought_in_at, sheet_import.brought_in_by = timezone.now(), by
    if not sheet_import.counts:
        sheet_import.counts = counts
    sheet_import.save(update_fields=["brought_in_at", "brought_in_by", "counts"])
    return counts


def _cleaned(sheet_import: SpreadsheetImport, plans: Mapping[str, str], today: dt.date) -> Cleaned:
    settled = sorted(sheet_import.matching.items())
    of = f"{sheet_import.pk} {sheet_import.created_at} {today} {settled} {sorted(plans.items())}"
    key = sha256(of.encode()).hexdigest()
    cleaned: Cleaned | None = cache.get(key)
    if cleaned is None:
        sheet = sheet_of(sheet_import)
        matching = remembered_columns(sheet.headers, sheet_import.matching)
        cleaned = clean_sheet(sheet, matching, today=today, plans=plans)
        cache.set(key, cleaned, CLEANED_FOR_S)
    return cleaned
