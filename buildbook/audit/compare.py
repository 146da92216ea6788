"""Compares the rows of a book with those that the model asks for."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence

from buildbook.audit.expected_rows import Rows
from buildbook.audit.model import Difference, Expected, Found, Kind, Page
from buildbook.audit.read_tables import bare, rows_of

Printed = Mapping[Kind, Sequence[Found]]


def printed_on(page: Page, wanted: Rows) -> Printed:
    """The rows of the tables of these kinds on a page."""
    found: dict[Kind, list[Found]] = defaultdict(list)
    for kind, row in rows_of(page, tuple(wanted)):
        found[kind].append(row)
    return found


def differences(pages: Iterable[Printed], wanted: Rows) -> list[Difference]:
    """Everything that the tables of these kinds lack, contradict or make up, by page and line."""
    found: dict[Kind, list[Found]] = defaultdict(list)
    for page in pages:
        for kind, rows in page.items():
            found[kind] += rows
    return sorted(d for kind, rows in wanted.items() for d in _of_kind(kind, rows, found[kind]))


def _of_kind(kind: Kind, wanted: list[Expected], found: list[Found]) -> Iterator[Difference]:
    left: dict[str, list[Expected]] = defaultdict(list)
    for row in wanted:
        left[bare(row.key)].append(row)
    odd: list[Found] = []
    for printed in found:
        rows = left[printed.key]
        same = next((row for row in rows if not _differing(row, printed)), None)
        if same is None:
            odd.append(printed)
        else:
            rows.remove(same)
    known = {bare(row.key) for row in wanted}
    for printed in odd:
        rows = left[printed.key]
        if rows:
            nearest = min(rows, key=lambda row: len(_differing(row, printed)))
            rows.remove(nearest)
            what = "; ".join(_said(nearest, printed, head) for head in _differing(nearest, printed))
        elif printed.key in known:
            what = "this row is printed once more than the model has it"
        else:
            what = "the model has no such row"
        yield _difference(kind, printed, what)
    for rows in left.values():
        for row in rows:
            yield Difference(0, 0, kind.name, f"{row.key}: no page has its row")


def _differing(row: Expected, printed: Found) -> list[str]:
    """Heads of the columns in which a printed row says something else."""
    return [head for head, text in row.cells.items() if bare(text) != printed.cells.get(head, "")]


def _said(row: Expected, printed: Found, head: str) -> str:
    return f"{head} is printed “{printed.cells.get(head, '')}”, and is “{row.cells[head]}”"


def _difference(kind: Kind, printed: Found, what: str) -> Difference:
    return Difference(printed.page, printed.line, kind.name, f"{printed.key}: {what}")
