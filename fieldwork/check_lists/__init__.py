"""What a check list consists of, and the lists that every branch begins with. Pure."""

from fieldwork.check_lists.built_in import built_in_items
from fieldwork.check_lists.items import (
    ITEM_KINDS,
    ONLY_AT,
    BadItem,
    Item,
    items_for,
    read_items,
)

__all__ = ["ITEM_KINDS", "ONLY_AT", "BadItem", "Item", "built_in_items", "items_for", "read_items"]
