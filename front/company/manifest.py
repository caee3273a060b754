"""What an archive says of itself: format, schema, and size and checksum of each file in it."""

from __future__ import annotations

import json
from dataclasses import asdict, dataclass, field
from typing import Any

from front.company.tables import LEFT_OUT

FORMAT = 1
MEMBER = "manifest.json"
ABOUT = "A whole company, exported from Redbud. See docs/decisions/0016-in-and-out.md."


class CompanyRefused(ValueError):
    """Why an archive does not come in; nothing was changed."""


@dataclass(frozen=True, slots=True)
class Content:
    """`rows`: lines of a table; 0 for a picture."""

    bytes: int
    sha256: str
    rows: int = 0


@dataclass(frozen=True, slots=True)
class Manifest:
    """`missing`: pictures that rows name and that were not there any more."""

    schema: dict[str, str]
    tables: dict[str, Content]
    media: dict[str, Content]
    missing: list[str] = field(default_factory=list)
    format: int = FORMAT

    def to_json(self) -> bytes:
        facts = asdict(self) | {"about": ABOUT, "left_out": sorted(LEFT_OUT)}
        return json.dumps(facts, indent=1, sort_keys=True).encode()

    @classmethod
    def from_json(cls, text: bytes) -> Manifest:
        """Raises CompanyRefused for what is no manifest, or of another format."""
        try:
            facts: dict[str, Any] = json.loads(text)
            made_as = facts["format"]
            if made_as != FORMAT:
                raise CompanyRefused(
                    f"The archive has format {made_as}; this Redbud reads format {FORMAT}."
                )
            tables, media = (
                {name: Content(**content) for name, content in facts[part].items()}
                for part in ("tables", "media")
            )
            return cls(dict(facts["schema"]), tables, media, list(facts["missing"]))
        except (ValueError, KeyError, TypeError, AttributeError) as trouble:
            if isinstance(trouble, CompanyRefused):
                raise
            raise CompanyRefused(f"{MEMBER} cannot be read: {trouble}") from trouble
