"""The rows of tables on a page, found by what stands over their columns."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence

from buildbook.audit.model import Found, Kind, Line, Page, Word

TICK_PT = 15.0
"""Room of a box to tick, before what a cell says."""
NEXT_LINE_PT = 13.0
"""From one line of a row to its next, at most."""
BESIDE_PT = 60.0
"""Left of a table that stands beside a picture, at least: there begins the title of the next."""
BREAK = "\N{HYPHEN}"
"""At the end of a line where the page breaks a word by itself; one that is written is another."""
MOST_OVER = 6
"""Lines over the last of a table's heads that may hold more of them."""
EDGE_PT = 3.0
"""What a column's text may begin or end beside its head's edge."""


def bare(text: str) -> str:
    """Text without its spaces: where lines break says nothing."""
    return "".join(text.split())


def rows_of(page: Page, kinds: Sequence[Kind]) -> Iterator[tuple[Kind, Found]]:
    """Each row of the tables of these kinds, in the order of the lines."""
    open_: list[_Table] = []
    for number, line in enumerate(page.lines, start=1):
        heads = tuple(_heads(line, page.lines[max(0, number - 1 - MOST_OVER) : number - 1], kinds))
        if heads:
            for table in open_:
                yield from table.close()
            open_ = [_Table(kind, columns, page.number) for kind, columns in heads]
            for table, after in zip(open_, [*open_[1:], None], strict=True):
                table.limit = after.columns[0].x - EDGE_PT if after else float("inf")
            continue
        for table in open_:
            yield from table.take(line, number)
    for table in open_:
        yield from table.close()


def _heads(
    line: Line, above: Sequence[Line], kinds: Sequence[Kind]
) -> Iterator[tuple[Kind, tuple[Word, ...]]]:
    """(kind, heads) of every table whose heads end on this line, from left to right.

    Heads stand at the foot of their row: the last line of each is on it, in order. Of kinds whose
    last lines are the same, it is that whose heads are read in full in the lines above.
    """
    at = 0
    while at < len(line):
        found = max(
            (kind for kind in kinds if _is_head(kind, line[at : at + len(kind.heads)])),
            key=lambda kind: (len(kind.heads), _read_in_full(kind, line[at:], above)),
            default=None,
        )
        if found is None:
            at += 1
            continue
        yield found, line[at : at + len(found.heads)]
        at += len(found.heads)


def _is_head(kind: Kind, words: Line) -> bool:
    return len(words) == len(kind.heads) and all(
        bare(head).endswith(bare(word.text)) and (place != kind.key or len(bare(word.text)) > 2)
        for place, (head, word) in enumerate(zip(kind.heads, words, strict=True))
    )


def _read_in_full(kind: Kind, words: Sequence[Word], above: Sequence[Line]) -> int:
    """How many of its heads are read as they are, from their first line on."""
    pairs = zip(kind.heads, words, strict=False)
    return sum(bare(head) == _whole(word, above) for head, word in pairs)


def _whole(word: Word, above: Sequence[Line]) -> str:
    """A head with what stands over its last line, at the same edge."""
    text, y = bare(word.text), word.y
    for line in reversed(above):
        edges = ((over, min(abs(over.x - word.x), abs(over.right - word.right))) for over in line)
        over = next((one for one, off in edges if off <= EDGE_PT), None)
        if over is not None and y - over.y <= NEXT_LINE_PT:
            text, y = bare(over.text) + text, over.y
    return text


class _Table:
    """A table that is being read: its columns, and the row that is not at its end."""

    def __init__(self, kind: Kind, columns: tuple[Word, ...], page: int) -> None:
        self.kind, self.columns, self.page = kind, columns, page
        self.limit = float("inf")
        self.row: dict[int, str] = {}
        self.line = 0
        self.y = 0.0
        self.key_x = 0.0
        """Where the row's key begins."""
        self.wide: set[int] = set()
        """Columns in which the row's own text goes on into the next."""

    def take(self, line: Line, number: int) -> Iterator[tuple[Kind, Found]]:
        """Read a line: the begin of a row, more of one, or what is none."""
        words = [word for word in line if self.columns[0].x - EDGE_PT <= word.x < self.limit]
        before = self.columns[0].x - line[0].x
        if self.kind.next_title and before > BESIDE_PT and self.kind.next_title.match(line[0].text):
            self.limit = float("-inf")  # what follows a table beside a picture is not below it
            yield from self.close()
        if not words:
            return  # what stands beside the table
        if words[0].y - self.y > NEXT_LINE_PT:
            yield from self.close()
        self.y = words[0].y
        at = [self._column(word) for word in words]
        if None in at:
            yield from self.close()
            return
        cells: dict[int, str] = {}
        for place, word in zip(at, words, strict=True):
            cells[place or 0] = cells.get(place or 0, "") + bare(word.text)
        wide = {p or 0 for p, word in zip(at, words, strict=True) if self._is_wide(p or 0, word)}
        if set(cells) == {0} and cells[0].startswith(self.kind.above):
            yield from self.close()
            return
        key = self.kind.key
        begins = next((word.x for place, word in zip(at, words, strict=True) if place == key), 0.0)
        if key in cells and self.row and self._lacks_key(cells, wide, begins):
            self._go_on(cells)
        elif key in cells or self._is_keyless_row(cells):
            yield from self.close()
            if len(cells) >= min(self.kind.least, max(2, len(self.columns) - 1)):
                self.row, self.line, self.wide, self.key_x = cells, number, wide, begins
        elif wide - self.wide:
            yield from self.close()
        elif self.row:
            self._go_on(cells)

    def _go_on(self, cells: Mapping[int, str]) -> None:
        """More lines of the row: a word that the page broke is whole again."""
        for place, text in cells.items():
            self.row[place] = self.row.get(place, "").removesuffix(BREAK) + text

    def _lacks_key(self, cells: Mapping[int, str], wide: set[int], begins: float) -> bool:
        """Whether a line brings more of the row's key: it has none, or one broken at a hyphen, or
        behind its box at a space."""
        if self.kind.unbroken and self.kind.unbroken <= cells.keys():
            return False
        key = self.kind.key
        if key not in self.row:
            return True
        boxed = self.key_x - self.columns[key].x > EDGE_PT and abs(begins - self.key_x) < EDGE_PT
        broken = boxed or self.row[key].endswith("-")
        return bool(self.kind.unbroken) and broken and key not in wide

    def _is_keyless_row(self, cells: Mapping[int, str]) -> bool:
        return bool(self.kind.unbroken) and self.kind.unbroken <= cells.keys()

    def close(self) -> Iterator[tuple[Kind, Found]]:
        """The row that was read, where there is one."""
        key = self.row.get(self.kind.key, "")
        if re.fullmatch(self.kind.key_like, key):
            cells = {self.kind.heads[place]: text for place, text in self.row.items()}
            yield self.kind, Found(key, cells, self.page, self.line)
        self.row = {}

    def _column(self, word: Word) -> int | None:
        """The column whose edge a phrase keeps; None where it keeps none."""

        def off(place: int) -> float:
            column = self.columns[place]
            if place not in self.kind.right:
                return abs(word.x - column.x)
            before = self.columns[place - 1] if place else None
            if before is not None and word.x < before.x + 2 * EDGE_PT:
                return float("inf")  # it comes from further left, as what is said of several rows
            return abs(word.right - column.right)

        nearest = min(range(len(self.columns)), key=off)
        if off(nearest) <= EDGE_PT:
            return nearest
        ticked = [n for n in self.kind.ticked if 0 < word.x - self.columns[n].x < TICK_PT]
        return max(ticked, default=None)

    def _is_wide(self, place: int, word: Word) -> bool:
        """Whether a phrase goes on into the next column, as what is said of several rows does."""
        after = self.columns[place + 1 : place + 2]
        return place not in self.kind.right and any(word.right > column.x for column in after)
