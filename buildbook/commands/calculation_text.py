"""A calculator's working as plain text of 80 columns, and as data in SI units."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Iterable, Sequence
from dataclasses import fields, is_dataclass
from typing import Any

from buildbook.calculators.model import Amount, Answer, Calculator, Given, Step, Table, Working
from buildbook.description.quantities import registry
from buildbook.figures import squared

COLUMNS = 80
OTHER_UNITS = {"m": "ft", "mm": "in", "degC": "degF"}
"""Shown beside an answer where the person wrote one of these."""
OTHER_WORDS = re.compile(r"(?<![A-Za-z])(ft|in|inch|inches|foot|feet|degF|yd|psi|AWG)(?![A-Za-z])")
"""Not within a word: 'min' and 'thin-wall' are no inches."""


def amount_text(amount: Amount) -> str:
    """A number to the digits that it is worth, with its unit."""
    return f"{amount.value:.{amount.digits}g} {amount.unit}".strip()


def example_line(found: Calculator) -> str:
    """The calculator's example as a command, broken where it is long: it runs as it stands."""
    lines = [f"buildbook calc {found.name}"]
    for option in re.split(r" (?=--)", found.example):
        if len(lines[-1]) + len(option) > COLUMNS - 10:
            lines.append(f"    {option}")
        else:
            lines[-1] += f" {option}"
    short = [part for line in lines for part in _cut(line)]
    return " \\\n".join(f"    {line}" for line in short)


def _cut(line: str) -> list[str]:
    """A line cut between words where it is too long, its other parts set in."""
    return textwrap.wrap(
        line,
        COLUMNS - 8,
        initial_indent=line[: len(line) - len(line.lstrip())],
        subsequent_indent=" " * 8,
        break_on_hyphens=False,
    )


def as_text(found: Calculator, given: Sequence[Given], working: Working) -> str:
    """Inputs, assumptions, steps and answer, as a person reads them in a terminal."""
    other = any(OTHER_WORDS.search(g.text) for g in given if not g.assumed)
    used = [g for g in given if g.input.name not in working.unused]
    idle = [f"--{g.input.name}" for g in given if g.input.name in working.unused and not g.assumed]
    parts = [
        wrapped(f"{found.name}: {found.teaches}"),
        _given_text("Given", [g for g in given if not g.assumed]),
        _assumed_text([g for g in used if g.assumed and g.text], working.assumed),
        "\n".join(["Working", *(_step_text(i, s) for i, s in enumerate(working.steps, 1))]),
        *(_table_text(table) for table in working.tables),
        _answers_text(working.answers, other),
        *(wrapped(note) for note in working.notes),
        wrapped(f"Had no part in it: {', '.join(idle)}.") if idle else "",
        "The numbers are an aid and do not replace a qualified person.",
    ]
    return squared("\n\n".join(part for part in parts if part))


def wrapped(text: str, first: str = "", rest: str = "") -> str:
    """Text broken at 80 columns; `first` and `rest` begin its first line and the others."""
    return textwrap.fill(
        squared(text), COLUMNS, initial_indent=first, subsequent_indent=rest, break_on_hyphens=False
    )


def _pairs(rows: Iterable[tuple[str, str]]) -> list[str]:
    known = list(rows)
    width = max((len(name) for name, _ in known), default=0)
    return [wrapped(text, f"  {name:<{width}}  ", " " * (width + 4)) for name, text in known]


def _given_text(title: str, given: Sequence[Given]) -> str:
    return "\n".join([title, *_pairs((g.input.name, _as_read(g)) for g in given)]) if given else ""


def _assumed_text(given: Sequence[Given], more: Sequence[str]) -> str:
    rows = _pairs((f"--{g.input.name}", g.text) for g in given)
    rows += [wrapped(text, "  ", "  ") for text in more]
    return "\n".join(["Assumed, as it was not given", *rows]) if rows else ""


def _as_read(given: Given) -> str:
    """What was written, with the value in the unit of the working where that differs."""
    unit = given.input.reader.unit
    if unit in ("", "1") or not isinstance(given.value, float):
        return given.text
    read = amount_text(Amount(given.value, unit))
    return (
        given.text
        if given.text.replace(" ", "") == read.replace(" ", "")
        else (f"{given.text} = {read}")
    )


def _step_text(number: int, step: Step) -> str:
    put_in = step.put_in.format(*(amount_text(n) for n in step.numbers))
    lines = [
        wrapped(f"{number}. {step.what}", "  ", "     "),
        wrapped(step.formula, "     ", "       "),
        wrapped(f"= {put_in}", "     ", "       "),
        wrapped(f"= {amount_text(step.result)}", "     ", "       "),
        wrapped(f"[{step.source}]", "     ", "      "),
    ]
    return "\n".join(lines)


def _table_text(table: Table) -> str:
    rows = [table.columns, *table.rows]
    widths = [max(len(row[i]) for row in rows) for i in range(len(table.columns))]
    lines = ["  ".join(f"{cell:<{w}}" for cell, w in zip(row, widths, strict=True)) for row in rows]
    return "\n".join([table.title, *(f"  {line.rstrip()}" for line in lines)])


def _answers_text(answers: Sequence[Answer], other: bool) -> str:
    return "\n".join(["Result", *_pairs((a.name, _answer(a, other)) for a in answers)])


def _answer(answer: Answer, other: bool) -> str:
    if isinstance(answer.value, str):
        return answer.value
    text = amount_text(answer.value)
    unit = OTHER_UNITS.get(answer.value.unit)
    if not other or unit is None:
        return text
    written = registry().Quantity(answer.value.value, answer.value.unit).to(unit).magnitude
    return f"{text} = {amount_text(Amount(float(written), unit))}"


def as_data(found: Calculator, given: Sequence[Given], working: Working) -> dict[str, Any]:
    """The same for a program: values in the units of the working, each named."""
    return {
        "calculator": found.name,
        "inputs": {
            g.input.name: _given_data(g)
            for g in given
            if g.text and not (g.assumed and g.input.name in working.unused)
        },
        "assumed": list(working.assumed),
        "steps": [_step_data(step) for step in working.steps],
        "tables": [
            {"title": t.title, "columns": list(t.columns), "rows": [list(r) for r in t.rows]}
            for t in working.tables
        ],
        "result": {a.name: _value(a.value) for a in working.answers},
        "notes": list(working.notes),
        "source": list(working.sources),
    }


def _given_data(given: Given) -> dict[str, Any]:
    return {
        "given": given.text,
        "value": _plain(given.value),
        "unit": given.input.reader.unit,
        "assumed": given.assumed,
    }


def _plain(value: Any) -> Any:
    """Lists and mappings instead of tuples and dataclasses."""
    if isinstance(value, tuple):
        return [_plain(item) for item in value]
    if is_dataclass(value):
        return {f.name: _plain(getattr(value, f.name)) for f in fields(value)}
    return value


def _step_data(step: Step) -> dict[str, Any]:
    return {
        "what": step.what,
        "formula": step.formula,
        "numbers": [_value(n) for n in step.numbers],
        "put in": step.put_in.format(*(amount_text(n) for n in step.numbers)),
        "result": _value(step.result),
        "source": step.source,
    }


def _value(value: Amount | str) -> dict[str, Any]:
    if isinstance(value, str):
        return {"value": value, "unit": ""}
    return {"value": value.value, "unit": value.unit}
