"""The check lists that every branch begins with: every reading, and a caution at each step that
can hurt.

The cautions are our own words for common trade practice and for 29 CFR 1910.147 (lockout) and
40 CFR 82 subpart F (no venting); they name no figure and defer to the manufacturer, local codes
and licensed practice. Pure.
"""

from __future__ import annotations

from fieldwork.check_lists.items import Item
from fieldwork.readings import FIELDS
from fieldwork.readings.fields.field import CheckList, Field, Section

# Which readings each kind of list holds.
HOLDS: dict[str, tuple[CheckList, ...]] = {
    "cooling": ("cooling",),
    "heating": ("furnace",),
    "both": ("cooling", "furnace"),
    # A heat pump may stand beside a furnace; what a system cannot have is left out on the page.
    "heat_pump": ("cooling", "furnace", "heat_pump"),
}


def _caution(key: str, group: Section, en: str, es: str, only: str = "") -> Item:
    return Item(f"caution_{key}", "caution", group, en, es, only)


# Each stands above the first reading named; its part of the list opens with it when that is "".
CAUTIONS: tuple[tuple[str, Item], ...] = (
    (
        "",
        _caution(
            "first", "safety",
            "The manufacturer's instructions, local codes and licensed practice come before this "
            "list. If it cannot be done safely, stop and say so.",
            "Las instrucciones del fabricante, los códigos locales y la práctica con licencia van "
            "antes que esta lista. Si no se puede hacer con seguridad, deténgase y avise.",
        ),
    ),
    (
        "",
        _caution(
            "gas_co", "safety",
            "Wear a CO alarm. Gas smell or a CO alarm: touch no switch, everybody out, call 911 or "
            "the gas utility from outdoors. Look for leaks with soap solution, never with a flame.",
            "Lleve una alarma de CO. Olor a gas o alarma de CO: no toque interruptores, todos "
            "afuera, llame al 911 o a la compañía de gas desde el exterior. Busque fugas con "
            "solución de jabón, nunca con llama.",
            "burns",
        ),
    ),
    (
        "",
        _caution(
            "ladder", "conditions",
            "Ladder or roof: firm ground, tied off, three points of contact. Ice, a wet roof or "
            "wind: come another day.",
            "Escalera o techo: suelo firme, asegurada, tres puntos de contacto. Hielo, techo "
            "mojado o viento: vuelva otro día.",
        ),
    ),
    (
        "",
        _caution(
            "a2l", "refrigerant",
            "Mildly flammable refrigerant: ventilate, no flame or spark, only tools rated for A2L; "
            "never bypass the leak sensor.",
            "Refrigerante levemente inflamable: ventile, sin llama ni chispa, solo herramientas "
            "para A2L; nunca anule el sensor de fugas.",
            "a2l",
        ),
    ),
    (
        "",
        _caution(
            "refrigerant", "refrigerant",
            "Gloves and goggles. Recover, never vent. Adding or recovering refrigerant needs EPA "
            "section 608 certification.",
            "Guantes y gafas. Recupere, nunca libere. Agregar o recuperar refrigerante exige la "
            "certificación EPA sección 608.",
            "cools",
        ),
    ),
    (
        "heating_suction_psig",
        _caution(
            "heating_gauges", "heating",
            "Gloves and goggles at the gauges. Recover, never vent. With a mildly flammable "
            "refrigerant ventilate, no flame or spark. Heating strips are live: stand clear.",
            "Guantes y gafas en los manómetros. Recupere, nunca libere. Con refrigerante levemente "
            "inflamable ventile, sin llama ni chispa. Las resistencias tienen tensión: apártese.",
            "heat_pump",
        ),
    ),
    (
        "",
        _caution(
            "live", "electrical",
            "Live readings only by those trained for it, with protective equipment, one hand away.",
            "Medir con tensión solo quien esté capacitado, con protección y una mano apartada.",
        ),
    ),
    (
        "capacitor_compressor_uf",
        _caution(
            "dead", "electrical",
            "Disconnect open, locked out, and no voltage verified with a meter, back-feed and "
            "24 V included. Capacitor discharged and its terminals measured before you touch them.",
            "Desconexión abierta y bloqueada; sin tensión, comprobado con medidor, también retorno "
            "y 24 V. Capacitor descargado y sus bornes medidos antes de tocarlos.",
            "cools",
        ),
    ),
    (
        "",
        _caution(
            "burner", "combustion",
            "Close every gas port that was opened and test it for leaks. Put the doors back: never "
            "leave a door switch bypassed.",
            "Cierre cada toma de gas abierta y compruebe que no fugue. Coloque las puertas: nunca "
            "deje anulado su interruptor.",
            "burns",
        ),
    ),
    (
        "outdoor_coil",
        _caution(
            "coil_cleaner", "condition",
            "Power off and verified. Coil cleaner burns skin and eyes: gloves, goggles, fresh air; "
            "mix nothing, rinse well, indoors only what its label allows. No pressure washer.",
            "Sin corriente y comprobado. El limpiador de serpentín quema piel y ojos: guantes, "
            "gafas, aire fresco; no mezcle, enjuague bien, adentro solo lo que permita su "
            "etiqueta. Sin lavadora a presión.",
            "cools",
        ),
    ),
)  # fmt: skip


def built_in_items(kind: str) -> tuple[Item, ...]:
    """The list of a kind. Raises KeyError for a kind that is none."""
    fields = [field for field in FIELDS.values() if set(field.checks) & set(HOLDS[kind])]
    opening = [item for above, item in CAUTIONS if not above]
    return (*opening, *(item for field in fields for item in _with_caution(field)))


def _with_caution(field: Field) -> list[Item]:
    cautions = [item for above, item in CAUTIONS if above == field.name]
    return [*cautions, Item(field.name, "reading", field.group)]
