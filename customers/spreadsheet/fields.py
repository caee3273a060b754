"""The facts that a spreadsheet can bring, and what offices call them (common practice)."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Field:
    """One fact: its id in code, its label on screen, an example, and headings that mean it."""

    id: str
    label: str
    example: str
    headings: str
    required: bool = False

    @property
    def spellings(self) -> tuple[str, ...]:
        """The label and every heading, each on its own."""
        return (self.label, *self.headings.split(", "))


FIELDS: tuple[Field, ...] = (
    Field(
        "name",
        "Customer name",
        "Ana Ortiz",
        "name, customer, client, homeowner, full name, account name, bill to",
        required=True,
    ),
    Field(
        "phone",
        "Phone",
        "414-555-0143",
        "phone number, phone no, telephone, tel, cell, cell phone, mobile, home phone, "
        "primary phone, contact number",
    ),
    Field(
        "email",
        "E-mail",
        "ana@example.com",
        "email address, mail, e mail",
    ),
    Field(
        "language",
        "Language",
        "English, Spanish",
        "preferred language, lang, speaks",
    ),
    Field(
        "street",
        "Street",
        "214 Oak Street Apt 2",
        "address, street address, service address, address 1, address line 1, addr, "
        "site address, home address",
        required=True,
    ),
    Field(
        "city",
        "City",
        "West Allis",
        "town, city town, municipality, village",
    ),
    Field(
        "state",
        "State",
        "WI",
        "st, state code",
    ),
    Field(
        "zip",
        "ZIP",
        "53214",
        "zip code, zipcode, postal code, post code, postal, zip 5",
        required=True,
    ),
    Field(
        "country",
        "Country",
        "US",
        "country code, nation",
    ),
    Field(
        "latitude",
        "Latitude",
        "43.0156",
        "lat, gps lat, y coord",
    ),
    Field(
        "longitude",
        "Longitude",
        "-88.0072",
        "long, lon, lng, gps long, x coord",
    ),
    Field(
        "access_notes",
        "Access notes",
        "Unit behind the garage",
        "notes, access, comments, remarks, instructions, site notes, directions",
    ),
    Field(
        "gate_code",
        "Gate code",
        "4471",
        "gate, code, entry code, access code",
    ),
    Field(
        "dog",
        "Dog",
        "yes, friendly",
        "dogs, dog on site, beware dog, dog y n",
    ),
    Field(
        "pets",
        "Pets",
        "yes",
        "pet, pets y n, animals, has pets, cats",
    ),
    Field(
        "system_kind",
        "System kind",
        "air conditioner, heat pump, furnace",
        "system, system type, type, equipment, equipment type, unit type, kind, "
        "type of system, type of unit, ac type",
        required=True,
    ),
    Field(
        "brand",
        "Brand",
        "Northwind",
        "make, manufacturer, mfr, mfg, ac brand, system brand, equipment brand",
    ),
    Field(
        "model",
        "Model",
        "NW-24A3",
        "model no, model number, ac model, unit model, mod no, ac model no",
    ),
    Field(
        "serial",
        "Serial",
        "1409 22817",
        "serial no, serial number, sn, s n, ser no, ac serial",
    ),
    Field(
        "installed_year",
        "Year installed",
        "2014",
        "installed, install date, install year, installed year, date installed, year, "
        "yr installed, year of installation, installation date",
    ),
    Field(
        "refrigerant",
        "Refrigerant",
        "R-410A",
        "freon, refrigerant type, gas, ref",
    ),
    Field(
        "metering",
        "Metering device",
        "TXV",
        "metering, txv, expansion device, txv or piston, metering type",
    ),
    Field(
        "filter_size",
        "Filter size",
        "16x25x1",
        "filter, filter dimensions, air filter, filter size in, filter wxh",
    ),
    Field(
        "filter_thickness",
        "Filter thickness",
        "1 in",
        "thickness, filter depth, filter thick, filter in",
    ),
    Field(
        "winter_cover",
        "Winter cover",
        "no",
        "cover, ac cover, covered in winter, condenser cover, cover y n",
    ),
    Field(
        "high_low_returns",
        "High and low returns",
        "yes",
        "high low returns, hi lo returns, returns, high low return, hi low returns",
    ),
    Field(
        "plan",
        "Plan",
        "annual, semi-annual",
        "agreement, agreement type, plan type, contract, contract type, "
        "maintenance plan, visits per year, visits, frequency, agreement plan",
        required=True,
    ),
    Field(
        "started_on",
        "Agreement start",
        "4/3/2026",
        "start, start date, agreement date, contract start, plan start, date sold, "
        "agreement start date, sold on, signed, member since, effective date",
        required=True,
    ),
    Field(
        "price",
        "Price",
        "$189.00",
        "amount, agreement price, fee, annual price, cost, plan price, rate",
    ),
    Field(
        "renews",
        "Renews by itself",
        "yes",
        "renews, renew, renewal, auto renew, auto renewal, automatic renewal, auto renews, "
        "agreed to renewal",
    ),
    Field(
        "last_checked_on",
        "Last check",
        "4/22/2026",
        "last service, last service date, last visit, last tune up, last checked, "
        "last maintenance, last check date, last clean and check, last done",
    ),
    Field(
        "last_checked_by",
        "Technician last year",
        "Dee",
        "technician, tech, last tech, last technician, serviced by, tech last year, "
        "done by, previous tech",
    ),
    Field(
        "days",
        "Days that suit",
        "Mon, Wed, Fri",
        "days, best days, preferred days, availability, available days, good days, "
        "days available, best day",
    ),
    Field(
        "half",
        "Morning or afternoon",
        "AM",
        "am pm, am or pm, time of day, preferred time, best time, time, "
        "time preference, morning afternoon",
    ),
    Field(
        "short_notice",
        "Short notice",
        "yes",
        "short notice ok, on short notice, call list, flexible, fill in, standby, "
        "can come on short notice",
    ),
)

_BY_ID = {field.id: field for field in FIELDS}


def field_named(field_id: str) -> Field:
    """The field with this id; KeyError when there is none."""
    return _BY_ID[field_id]
