"""The language of `as-built.yaml` as a JSON Schema, for editors."""

from __future__ import annotations

from pathlib import Path

from buildbook.as_built.model import AsBuilt
from buildbook.description.schema import schema_as_text, schema_of

FILE = Path(__file__).with_name("as-built.schema.json")


def as_built_schema_text() -> str:
    """The text of as-built.schema.json. `python -m buildbook.as_built.schema` writes it."""
    return schema_as_text(schema_of(AsBuilt, "What the harnesses were built with"))


if __name__ == "__main__":
    FILE.write_text(as_built_schema_text(), encoding="utf-8")
