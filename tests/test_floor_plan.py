"""The house rules that import-linter cannot see: foreign keys, and rooms left out of its list."""

import tomllib
from pathlib import Path

from django.apps import apps

ROOT = Path(__file__).resolve().parent.parent
FLOORS = [
    ["front"], ["books"], ["reminders"], ["fieldwork"], ["scheduling"], ["agreements"], ["letters"],
    ["customers", "weather"], ["shop"], ["kit"],
]  # fmt: skip
LEVEL = {room: len(FLOORS) - height for height, rooms in enumerate(FLOORS) for room in rooms}


def room_of(model) -> str:
    return model.__module__.split(".")[0]


def test_no_foreign_key_points_up_or_sideways():
    pointing_up = [
        f"{model.__name__}.{field.name} -> {field.related_model.__name__}"
        for model in apps.get_models()
        for field in model._meta.get_fields()
        if field.is_relation and not field.auto_created and room_of(model) in LEVEL
        if (target := room_of(field.related_model)) in LEVEL and target != room_of(model)
        if LEVEL[target] >= LEVEL[room_of(model)]
    ]
    assert pointing_up == []


def test_every_room_is_on_a_floor():
    rooms = {path.parent.name for path in ROOT.glob("*/__init__.py")} - {"config"}
    assert rooms == set(LEVEL)


def test_the_import_linter_knows_the_same_floors():
    settings = tomllib.loads((ROOT / "pyproject.toml").read_text())["tool"]["importlinter"]
    floors = next(c for c in settings["contracts"] if c["type"] == "layers")["layers"]
    assert [sorted(floor.split(" | ")) for floor in floors] == [["config"], *map(sorted, FLOORS)]
