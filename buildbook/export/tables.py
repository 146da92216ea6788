"""Rows as text, and names that files can have."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable, Mapping
from typing import Any


def table(rows: Iterable[Mapping[str, Any]]) -> str:
    """Rows as CSV text with a header line."""
    rows = list(rows)
    text = io.StringIO()
    writer = csv.DictWriter(text, fieldnames=list(rows[0]) if rows else [], lineterminator="\n")
    writer.writeheader()
    writer.writerows(rows)
    return text.getvalue()


def file_name(text: str) -> str:
    """`text` with what a file name cannot hold replaced."""
    return re.sub(r"[^A-Za-z0-9._+-]+", "-", text).strip("-")
