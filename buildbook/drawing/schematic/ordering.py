"""The order of elements along their rows in which the fewest links cross each other."""

from __future__ import annotations

from bisect import bisect_left, bisect_right, insort
from collections import defaultdict
from collections.abc import Sequence, Set
from dataclasses import dataclass
from functools import lru_cache
from math import fsum

from buildbook.drawing.schematic.layout_model import Port, Stretch

SWEEPS = 8
"""Most times that the rows are sorted, downwards and upwards in turn."""
EXCHANGES = 4
"""Most times of neighbours changing places after the sweeps."""
FEW = 40
"""Stretches up to which all neighbours are tried in each other's place at the end."""
MANY = 150
"""Stretches from which one start has to do: such a layout is only made to be cut."""


@dataclass(frozen=True)
class Order:
    rows: tuple[tuple[str, ...], ...]
    columns: dict[tuple[int, int], float]
    """(stretch, 0 or 1) -> rank of that end among the ends of its edge, for free elements."""
    crossings: int


def best_order(
    rows: Sequence[Sequence[str]], stretches: Sequence[Stretch], free: Set[str]
) -> Order:
    """Barycentre sweeps and neighbour exchange (Sugiyama), from several starts; the best kept.

    `free` elements may have the ends along an edge in any order. Every order is a right drawing:
    the caps on sweeps, exchanges and starts can cost crossings only.
    """
    return _searched(tuple(tuple(row) for row in rows), tuple(stretches), frozenset(free))


@lru_cache(maxsize=256)
def _searched(
    rows: tuple[tuple[str, ...], ...], stretches: tuple[Stretch, ...], free: Set[str]
) -> Order:
    """The same, once for all the widths at which one group is laid out."""
    best: Order | None = None
    for start in _starts(rows, stretches):
        found = _OrderSearch(start, stretches, free).run()
        if best is None or found.crossings < best.crossings:
            best = found
        if not best.crossings:
            break
    assert best is not None
    return best


def _starts(rows: Sequence[Sequence[str]], stretches: Sequence[Stretch]) -> list[list[list[str]]]:
    """The order given, the same backwards, and what is joined followed through one by one."""
    near: dict[str, list[str]] = defaultdict(list)
    for s in stretches:
        near[s.a.element].append(s.b.element)
        near[s.b.element].append(s.a.element)
    seen: dict[str, int] = {}
    for first in (key for row in rows for key in row):
        waiting = [first]
        while waiting:
            key = waiting.pop()
            if key not in seen:
                seen[key] = len(seen)
                waiting += reversed(near[key])
    given = [list(row) for row in rows]
    if len(stretches) > MANY:
        return [[sorted(row, key=seen.__getitem__) for row in given]]
    return [
        given,
        [sorted(row, key=seen.__getitem__) for row in given],
        [row[::-1] for row in given],
    ]


class _OrderSearch:
    """One start: the order under way and the best of it so far."""

    def __init__(self, rows: list[list[str]], stretches: Sequence[Stretch], free: Set[str]) -> None:
        self.rows, self.stretches, self.free = rows, stretches, sorted(free)
        self.edges: dict[tuple[str, bool], list[tuple[int, int]]] = defaultdict(list)
        self.ends: list[tuple[Port, Port]] = [(s.a, s.b) for s in stretches]
        for n, pair in enumerate(self.ends):
            for side, end in enumerate(pair):
                self.edges[end.element, end.top].append((n, side))
        self.columns = {
            (n, side): end.column
            for n, pair in enumerate(self.ends)
            for side, end in enumerate(pair)
        }
        self.channels: dict[int, list[int]] = defaultdict(list)
        for n, s in enumerate(stretches):
            self.channels[s.channel].append(n)
        self.place: dict[str, int] = {}
        self.share: dict[tuple[int, int], float] = {}
        for row in rows:
            self._number(row)
        for edge in self.edges:
            self._share(edge)

    def _number(self, row: list[str]) -> None:
        self.place.update({key: n for n, key in enumerate(row)})

    def _share(self, edge: tuple[str, bool]) -> None:
        """Where along its edge every end sits, from 0 to just under 1."""
        ends = sorted(self.edges[edge], key=lambda end: (self.columns[end], end))
        for n, end in enumerate(ends):
            self.share[end] = (n + 0.5) / (len(ends) + 0.5)

    def _at(self, end: tuple[int, int]) -> float:
        return self.place[self.ends[end[0]][end[1]].element] + self.share[end]

    def _sort_free(self) -> None:
        """Ends of free elements in the order of where they go; those that turn back go last."""
        for key in self.free:
            for top in (True, False):
                ends = sorted(
                    self.edges.get((key, top), ()), key=lambda e: (self._at((e[0], 1 - e[1])), e)
                )
                for n, end in enumerate(ends):
                    self.columns[end] = float(n)
                self._share((key, top))

    def run(self) -> Order:
        self._sort_free()
        best = self._snapshot()
        for sweep in range(SWEEPS):
            down = sweep % 2 == 0
            for row in self.rows if down else self.rows[::-1]:
                self._sort_row(row, down)
            self._sort_free()
            if sweep % 2 and len(self.stretches) <= MANY:
                self._exchange()
                self._sort_free()
            found = self._snapshot()
            if found.crossings < best.crossings:
                best = found
            if not best.crossings:
                break
        return self._tried(best) if len(self.stretches) <= FEW else best

    def _tried(self, best: Order) -> Order:
        """Every two neighbours of the best order in each other's place, counted anew.

        `_saved` holds what they are joined to for fixed: of two that are joined to each other,
        or whose links turn back, it does not know.
        """
        while best.crossings:
            before = best
            for n, row in enumerate(before.rows):
                for place in range(len(row) - 1):
                    swapped = [*row]
                    swapped[place], swapped[place + 1] = row[place + 1], row[place]
                    self._put([*before.rows[:n], swapped, *before.rows[n + 1 :]])
                    found = self._snapshot()
                    if found.crossings < best.crossings:
                        best = found
            if best is before:
                return best
        return best

    def _put(self, rows: Sequence[Sequence[str]]) -> None:
        self.rows = [[*row] for row in rows]
        for row in self.rows:
            self._number(row)
        self._sort_free()

    def _snapshot(self) -> Order:
        free = {
            end: column
            for end, column in self.columns.items()
            if self.ends[end[0]][end[1]].element in self.free
        }
        rows = tuple(tuple(row) for row in self.rows)
        return Order(rows, free, sum(self._crossings(c) for c in self.channels))

    def _sort_row(self, row: list[str], down: bool) -> None:
        """Elements by the mean place of what they are joined to; those joined to none stay."""
        wish = {}
        for key in row:
            ends = self.edges.get((key, down), ())
            if ends:
                wish[key] = fsum(self._at((n, 1 - side)) for n, side in ends) / len(ends)
        moved = iter(sorted(wish, key=lambda key: (wish[key], self.place[key], key)))
        row[:] = [next(moved) if key in wish else key for key in row]
        self._number(row)

    def _exchange(self) -> None:
        for _ in range(EXCHANGES):
            changed = False
            for row in self.rows:
                for n in range(len(row) - 1):
                    if self._saved(row[n], row[n + 1]) > 0:
                        row[n], row[n + 1] = row[n + 1], row[n]
                        self._number(row)
                        changed = True
            if not changed:
                return

    def _saved(self, left: str, right: str) -> int:
        """Crossings fewer if two neighbours change places."""
        saved = 0
        for top in (True, False):
            ones = sorted(self._at((n, 1 - s)) for n, s in self.edges.get((left, top), ()))
            others = sorted(self._at((n, 1 - s)) for n, s in self.edges.get((right, top), ()))
            for x in ones:
                saved += bisect_left(others, x) - (len(others) - bisect_right(others, x))
        return saved

    def _crossings(self, channel: int) -> int:
        """Links in one channel that cross; what turns back crosses all that leaves beneath it."""
        across: list[tuple[float, float]] = []
        turning: list[tuple[bool, float, float]] = []
        for n in self.channels[channel]:
            a, b = self.ends[n]
            x, y = self._at((n, 0)), self._at((n, 1))
            if a.top == b.top:
                turning.append((a.top, min(x, y), max(x, y)))
            else:
                across.append((y, x) if a.top else (x, y))
        count = 0
        seen: list[float] = []
        for _, lower in sorted(across):
            count += len(seen) - bisect_right(seen, lower)
            insort(seen, lower)
        for n, (top, x, y) in enumerate(turning):
            side = [lower if top else upper for upper, lower in across]
            count += sum(x < at < y for at in side)
            count += sum(t == top and (x < u < y) != (x < v < y) for t, u, v in turning[:n])
        return count
