"""The language of `revisions/NAME.yaml` as a JSON Schema, for editors."""

from __future__ import annotations

from pathlib import Path

from buildbook.description.schema import schema_as_text, schema_of
from buildbook.issued.model import Revision

FILE = Path(__file__).with_name("revision.schema.json")


def revision_schema_text() -> str:
    """The text of revision.schema.json. `python -m buildbook.issued.schema` writes it."""
    return schema_as_text(schema_of(Revision, "What a revision said when it was issued"))


if __name__ == "__main__":
    FILE.write_text(revision_schema_text(), encoding="utf-8")
