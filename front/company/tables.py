"""Which tables make the company, in an order in which each points only to earlier ones."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from pathlib import Path

from django.apps import apps
from django.conf import settings
from django.db import models
from django.db.migrations.loader import MigrationLoader

Model = type[models.Model]

# Of the machine, or secrets, or of Django's own permissions that Redbud does not use; balances
# the database writes itself as the money comes in.
LEFT_OUT = {
    "agreements.Balance",
    "front.Backup",
    "front.CompanyExport",
    "front.InterfaceKey",
    "shop.User_groups",
    "shop.User_user_permissions",
}
# Fields that are written as nothing.
SECRET = {("shop.User", "password")}


def labels() -> list[str]:
    """The rooms of Redbud, without the libraries."""
    here = Path(settings.ROOT)
    return sorted(
        config.label
        for config in apps.get_app_configs()
        if Path(config.path).parent == here and config.label != "kit"
    )


def company_tables() -> list[Model]:
    """Every table that is exported, those that are pointed to first."""
    ours = {
        model
        for label in labels()
        for model in apps.get_app_config(label).get_models(include_auto_created=True)
        if model._meta.label not in LEFT_OUT and model._meta.managed and not model._meta.proxy
    }
    return list(_in_order(sorted(ours, key=lambda model: model._meta.label)))


def _in_order(wanted: Iterable[Model]) -> Iterator[Model]:
    """Depth first. Two tables that point to each other have no order: ValueError."""
    done: set[Model] = set()
    under_way: list[Model] = []
    all_of_them = list(wanted)

    def visit(model: Model) -> Iterator[Model]:
        if model in done:
            return
        if model in under_way:
            raise ValueError(f"{model._meta.label} points to itself by way of another table.")
        under_way.append(model)
        for other in pointed_to(model):
            if other in all_of_them:
                yield from visit(other)
        under_way.remove(model)
        done.add(model)
        yield model

    for model in all_of_them:
        yield from visit(model)


def pointed_to(model: Model) -> list[Model]:
    """Other tables that the foreign keys of this one name."""
    targets = [field.related_model for field in foreign_keys(model)]
    return [target for target in targets if isinstance(target, type) and target is not model]


def foreign_keys(model: Model) -> list[models.ForeignKey]:
    return [f for f in model._meta.concrete_fields if isinstance(f, models.ForeignKey)]


def file_fields(model: Model) -> list[models.FileField]:
    return [f for f in model._meta.concrete_fields if isinstance(f, models.FileField)]


def member_of(model: Model) -> str:
    """The table's file in the archive."""
    return f"data/{model._meta.label_lower}.jsonl"


def schema() -> dict[str, str]:
    """The last migration of each room: an archive fits an instance with the same ones."""
    leaves = MigrationLoader(None).graph.leaf_nodes()
    return {label: name for label, name in sorted(leaves) if label in labels()}
