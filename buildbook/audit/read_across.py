"""Tables whose columns are pins: what stands in each row of them, by its name at the left."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence

from buildbook.audit.model import Found, Line, Page, Word
from buildbook.audit.read_tables import EDGE_PT, bare

FIRST = "Pin"


def pins_across(page: Page, pins: Collection[str], names: Sequence[str]) -> Iterator[Found]:
    """A row for every pin of the tables on a page; `names` are those of their rows, in order."""
    table: _Across | None = None
    for number, line in enumerate(page.lines, start=1):
        heads = _heads(line, pins)
        if heads:
            if table:
                yield from table.rows()
            table = _Across(heads, page.number, number, [bare(name) for name in names])
        elif table and not table.take(line):
            yield from table.rows()
            table = None
    if table:
        yield from table.rows()


def _heads(line: Line, pins: Collection[str]) -> tuple[Word, ...]:
    """'Pin' and the pins beside it; () where the line is no head of such a table."""
    for at, word in enumerate(line):
        after = line[at + 1 :]
        if word.text == FIRST and after and after[0].text in pins:
            return (word, *after)
    return ()


class _Across:
    """A table that is being read, row by row."""

    def __init__(self, heads: Line, page: int, line: int, names: list[str]) -> None:
        self.heads, self.page, self.line, self.names = heads, page, line, names
        self.cells: list[dict[str, str]] = [{} for _ in heads[1:]]
        self.name = ""
        """Of the row that is being read, as far as it was."""
        self.at = -1

    def take(self, line: Line) -> bool:
        """Read a line; False where the table has ended above it."""
        words = [word for word in line if word.x >= self.heads[0].x - EDGE_PT]
        edges = [head.x for head in self.heads]
        for word in words:
            columns = [n for n, x in enumerate(edges) if abs(word.x - x) <= EDGE_PT]
            if not columns:
                return False
            if columns[0] == 0 and not self._goes_on(bare(word.text)):
                return False
            if columns[0] > 0 and self.at >= 0:
                cells, name = self.cells[columns[0] - 1], self.names[self.at]
                cells[name] = cells.get(name, "") + bare(word.text)
        return True

    def _goes_on(self, text: str) -> bool:
        """Take the name of a row, or more of it; False where no such row comes here."""
        if self.at >= 0 and self.names[self.at].startswith(self.name + text):
            self.name += text
            return True
        longer = [n for n, name in enumerate(self.names) if name.startswith(self.name + text)]
        if self.at >= 0 and longer:
            before, self.at = self.names[self.at], longer[0]
            for cells in self.cells:
                if before in cells:
                    cells[self.names[self.at]] = cells.pop(before)
            self.name += text
            return True
        for at in range(self.at + 1, len(self.names)):
            if self.names[at].startswith(text):
                self.at, self.name = at, text
                return True
        return False

    def rows(self) -> Iterator[Found]:
        """What was read, by pin."""
        for head, cells in zip(self.heads[1:], self.cells, strict=True):
            yield Found(head.text, cells, self.page, self.line)
