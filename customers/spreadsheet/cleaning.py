"""A matched row to facts, or to every refusal that it earns: all of them at once, in words."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass, replace

from customers.spreadsheet.address_cells import home_of, yes_no_of
from customers.spreadsheet.cells import check_length, read_emails, read_price, tidy
from customers.spreadsheet.columns import Matching
from customers.spreadsheet.dates import read_date, read_year
from customers.spreadsheet.facts import (
    AgreementFacts,
    CleanRow,
    CustomerFacts,
    FilterFacts,
    SystemFacts,
)
from customers.spreadsheet.outcomes import Refusal
from customers.spreadsheet.phones import Phone, read_phones, take_phones
from customers.spreadsheet.reading import Sheet, SheetRow
from customers.spreadsheet.row_cells import RowCells
from customers.spreadsheet.trade_words import (
    read_filter,
    read_kinds,
    read_language,
    read_metering,
    read_plan,
    read_refrigerant,
    read_thickness,
)

_EARLIEST_START = dt.date(1990, 1, 1)
_YEARS_AHEAD = 2  # an agreement may be sold ahead, a year of birth may not pass for its start


@dataclass(frozen=True, slots=True)
class Cleaned:
    """A sheet, cleaned: every row of it is in `rows` or has refusals, never both.

    `refused_names`: the customer's name in each refused row, as it stands there.
    """

    rows: tuple[CleanRow, ...]
    refusals: tuple[Refusal, ...]
    refused_names: dict[int, str]


def clean_sheet(
    sheet: Sheet, matching: Matching, *, today: dt.date, plans: Mapping[str, str] | None = None
) -> Cleaned:
    """Clean every row of a sheet. `plans`: the shop's own, as for `read_plan`."""
    rows: list[CleanRow] = []
    refusals: list[Refusal] = []
    refused_names: dict[int, str] = {}
    name_place = matching.place_of("name")
    for sheet_row in sheet.rows:
        outcome = clean_row(sheet_row, matching, today=today, plans=plans)
        if isinstance(outcome, CleanRow):
            rows.append(outcome)
        else:
            refusals.extend(outcome)
            name = "" if name_place is None else sheet_row.cells[name_place]
            refused_names[sheet_row.number] = tidy(name)
    return Cleaned(tuple(rows), tuple(refusals), refused_names)


def clean_row(
    sheet_row: SheetRow,
    matching: Matching,
    *,
    today: dt.date,
    plans: Mapping[str, str] | None = None,
) -> CleanRow | tuple[Refusal, ...]:
    """One row's facts, or all of its refusals in the order of its columns. Never raises.

    `today` bounds the dates: nothing was installed or checked after it.
    """
    cells = RowCells(sheet_row, matching)
    cells.refuse_surplus()
    customer = _customer(cells)
    home = home_of(cells)
    systems = _systems(cells, today)
    agreement = _agreement(cells, today, plans)
    if cells.refusals or not (customer and home and systems and agreement):
        return cells.refusals_in_order()
    return CleanRow(sheet_row.number, customer, home, systems, agreement, tuple(cells.notes))


def _customer(cells: RowCells) -> CustomerFacts | None:
    written = cells.text("name", 400)
    in_name, name = take_phones(written)
    name = name.strip(" ,;") or written
    in_phone = cells.read("phone", read_phones) or []
    if in_name:
        cells.note("name", "a phone number stood in the name; it was moved to the phone.")
    phones = list(dict.fromkeys((*in_phone, *in_name)))
    emails = cells.read("email", read_emails) or []
    if not cells.need("name", cells.checked("name", name, lambda text: check_length(text, 120))):
        return None
    numbers = list(dict.fromkeys(phone.e164 for phone in phones))
    return CustomerFacts(
        name=name,
        phone=numbers[0] if numbers else "",
        second_phone=numbers[1] if len(numbers) > 1 else "",
        email=emails[0] if emails else "",
        language=cells.read("language", read_language) or "",
        notes="\n".join(_left_over(cells, phones, numbers, emails)),
    )


def _left_over(
    cells: RowCells, phones: list[Phone], numbers: list[str], emails: list[str]
) -> list[str]:
    """Numbers and addresses beyond those that have a place of their own: kept as notes."""
    kept = [f"Phone {p.e164} has extension {p.extension}" for p in phones if p.extension]
    kept += [f"Also phone {number}" for number in numbers[2:]]
    if kept:
        cells.note("phone", "extensions and further numbers were kept in the customer's notes.")
    if len(emails) > 1:
        cells.note("email", "the first address is used; the others were kept in the notes.")
    return kept + [f"Also e-mail {address}" for address in emails[1:]]


def _systems(cells: RowCells, today: dt.date) -> tuple[SystemFacts, ...]:
    kinds = cells.need("system_kind", cells.read("system_kind", read_kinds))
    system = SystemFacts(
        kind="",
        brand=cells.text("brand", 60),
        model_number=cells.text("model", 60),
        serial=cells.text("serial", 60),
        installed_year=cells.read("installed_year", lambda t: read_year(t, latest=today.year)),
        refrigerant=cells.read("refrigerant", read_refrigerant) or "",
        metering=cells.read("metering", read_metering) or "",
        last_checked_on=cells.read("last_checked_on", lambda t: read_date(t, latest=today)),
        last_checked_by=cells.text("last_checked_by", 80),
        filter=_filter(cells),
    )
    if not kinds:
        return ()
    if len(kinds) > 1:
        cells.note("system_kind", "two systems in one cell; the first has the row's particulars.")
    return (replace(system, kind=kinds[0]), *(SystemFacts(kind) for kind in kinds[1:]))


def _filter(cells: RowCells) -> FilterFacts | None:
    size, third = cells.read("filter_size", read_filter) or ("", None)
    thickness = cells.read("filter_thickness", read_thickness)
    if third is not None and thickness is not None and third != thickness:
        cells.refuse(
            "filter_thickness",
            "thickness_twice",
            f"it says {thickness} inches, the filter size says {third}; one is wrong.",
        )
    thickness = third if thickness is None else thickness
    return FilterFacts(size, thickness) if size or thickness is not None else None


def _agreement(
    cells: RowCells, today: dt.date, plans: Mapping[str, str] | None
) -> AgreementFacts | None:
    last_start = today.replace(year=today.year + _YEARS_AHEAD, day=min(today.day, 28))
    plan = cells.need("plan", cells.read("plan", lambda text: read_plan(text, plans)))
    started_on = cells.need(
        "started_on",
        cells.read(
            "started_on", lambda t: read_date(t, earliest=_EARLIEST_START, latest=last_start)
        ),
    )
    price = cells.read("price", read_price)
    renews = _renews(cells)
    return AgreementFacts(plan, started_on, price, renews) if plan and started_on else None


def _renews(cells: RowCells) -> bool | None:
    """Many mark only who agreed, so an empty cell is no consent; None: no column tells of it."""
    answer = yes_no_of(cells, "renews")
    if answer is not None or not cells.has_column("renews") or cells.was_refused("renews"):
        return answer
    cells.note("renews", "nothing stands there, so it is taken as no; write yes if it was agreed.")
    return False
