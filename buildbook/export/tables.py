"""Rows as text that every spreadsheet reads as text and numbers, and data as JSON."""

from __future__ import annotations

import csv
import io
import json
import re
from collections.abc import Iterable, Mapping
from typing import Any

FORMULA = ("=", "+", "-", "@")
DIGITS = 9
"""Of a number in the data: what is behind them differs from one processor to the next."""
NUMBER = re.compile(r"[-+]?[0-9]*\.?[0-9]+([eE][-+]?[0-9]+)?")


def table(rows: Iterable[Mapping[str, Any]]) -> str:
    """Rows as CSV text with a header line."""
    rows = list(rows)
    text = io.StringIO()
    writer = csv.DictWriter(text, fieldnames=list(rows[0]) if rows else [], lineterminator="\n")
    writer.writerow({key: cell(key) for key in writer.fieldnames})
    writer.writerows({key: cell(value) for key, value in row.items()} for row in rows)
    return text.getvalue()


def cell(value: Any) -> Any:
    """A value of a table; text that a spreadsheet would take for a formula begins with `'`.

    Spreadsheets work out what begins with one of `= + - @` (OWASP, CSV Injection); numbers stay,
    a whole one without a point, so that nothing is printed as −0.0 on one machine and 0 on another.
    """
    if isinstance(value, float):
        value = _steady(value)
        return int(value) if value.is_integer() else value
    if isinstance(value, str) and value.lstrip()[:1] in FORMULA and not NUMBER.fullmatch(value):
        return f"'{value}"
    return value


def as_json(data: Any) -> str:
    """Data as JSON text, with numbers that every processor works out alike."""
    return json.dumps(_steadied(data), indent=1, ensure_ascii=False) + "\n"


def _steadied(data: Any) -> Any:
    if isinstance(data, Mapping):
        return {key: _steadied(value) for key, value in data.items()}
    if isinstance(data, (list, tuple)):
        return [_steadied(value) for value in data]
    return _steady(data) if isinstance(data, float) else data


def _steady(value: float) -> float:
    return float(f"{value:.{DIGITS}g}") + 0.0
