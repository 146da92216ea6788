"""Rows of elements, and of the places where a link passes through a row: order and places."""

from __future__ import annotations

from bisect import bisect_left
from collections import defaultdict

from buildbook.drawing.schematic.layout_model import (
    CLEAR_MM,
    GAP_MM,
    Footprint,
    Grid,
    LayoutOptions,
    Link,
    Port,
    Stretch,
)
from buildbook.drawing.schematic.ordering import best_order
from buildbook.drawing.schematic.ranking import row_numbers
from buildbook.drawing.schematic.straight import MovableEnd, MovableStretch, MoveLimits, straighten

MOST_APART = 4.0
"""Columns between neighbouring links of an element that is spread."""


class Rows:
    """Rows of elements and of the places where a link passes through a row."""

    def __init__(
        self,
        footprints: dict[str, Footprint],
        links: list[Link],
        grid: Grid,
        options: LayoutOptions,
    ) -> None:
        self.footprints, self.links, self.grid, self.options = (
            dict(footprints),
            links,
            grid,
            options,
        )
        self.ranks = row_numbers(footprints, links)
        self.depth = max(self.ranks.values()) + 1
        self.rows: list[list[str]] = [[] for _ in range(self.depth)]
        self.chains: dict[str, list[Port]] = {}
        """Link -> its ports from end to end, two to each channel crossed."""
        self.channel_of: dict[str, int] = {}
        for key in footprints:
            self.rows[self.ranks[key]].append(key)
        for link in links:
            self._chain(link)
        self.steps: list[tuple[str, int]] = []
        """Link of every stretch, and the place in its chain of the stretch's first port."""
        self.steps_in: dict[int, list[tuple[str, int]]] = defaultdict(list)
        """The same of the stretches in each channel."""
        for id_, chain in self.chains.items():
            for step in range(0, len(chain), 2):
                self.steps.append((id_, step))
                self.steps_in[self.channel_of[id_] + step // 2].append((id_, step))
        self.x: dict[str, float] = {}
        self.given = {key: list(chain) for key, chain in self.chains.items()}
        self.columns: dict[Port, float] = {}
        self.given_last = self._last_columns()
        self.last = dict(self.given_last)
        self._order()

    def channel(self, port: Port) -> int:
        return self.ranks[port.element] + (0 if port.top else 1)

    def _chain(self, link: Link) -> None:
        a, b = link.a, link.b
        if self.channel(a) > self.channel(b):
            a, b = b, a
        chain = [a]
        for row in range(self.channel(a), self.channel(b)):
            key = f"{link.id}|{row}"
            self.footprints[key] = Footprint(key, 0.7, 0.7, 0.0, "pass")
            self.ranks[key] = row
            self.rows[row].append(key)
            chain += [Port(key, True, 0), Port(key, False, 0)]
        self.chains[link.id] = [*chain, b]
        self.channel_of[link.id] = self.channel(a)

    def stretches(self) -> list[Stretch]:
        """Every stretch of every link, from its upper end on."""
        return [self._stretch(*step) for step in self.steps]

    def _stretch(self, id_: str, step: int) -> Stretch:
        a, b = self.chains[id_][step : step + 2]
        return Stretch(id_, self.channel_of[id_] + step // 2, a, b)

    def _order(self) -> None:
        if self.options.ordered:
            self._sort()
        for toward in (-1, 1, -1):
            span = range(self.depth) if toward < 0 else range(self.depth - 1, -1, -1)
            for row in span:
                self._place(row, row + toward)
            if self.options.ordered:
                self._untangle()
        for row in range(self.depth):
            self._place(row, row - 1)
        if self.options.ordered:
            self._straighten()

    def _straighten(self) -> None:
        """Takes bends out by moving elements, and ports along spread ones."""
        pitch = self.grid.pitch

        def end(port: Port) -> MovableEnd:
            return MovableEnd(port.element, port.top, port.column * pitch)

        stretches = [
            MovableStretch(s.link, s.channel, end(s.a), end(s.b)) for s in self.stretches()
        ]
        spread = {key for key, e in self.footprints.items() if e.spread}
        reach = {key: self.reach(key) for key in self.x}
        limits = MoveLimits(GAP_MM, CLEAR_MM, pitch, self.grid.wider)
        straighten(self.rows, self.x, reach, stretches, spread, limits)
        for (id_, step), stretch in zip(self.steps, stretches, strict=True):
            for side, moved in enumerate((stretch.a, stretch.b)):
                if moved.element in spread:
                    self._give([(id_, step + side)], [moved.along / pitch])
        self.last = self._last_columns()

    def _sort(self) -> None:
        """Rows, and the ends along free elements, in the order with the fewest crossings."""
        free = {key for key, footprint in self.footprints.items() if footprint.free}
        order = best_order(self.rows, self.stretches(), free)
        self.rows = [list(row) for row in order.rows]
        edges: dict[tuple[str, bool], list[tuple[float, str, int]]] = defaultdict(list)
        for (n, side), rank in order.columns.items():
            id_, step = self.steps[n]
            port = self.chains[id_][step + side]
            edges[port.element, port.top].append((rank, id_, step + side))
        for found in edges.values():
            columns = sorted(self.chains[id_][step].column for _, id_, step in found)
            self._give([(id_, step) for _, id_, step in sorted(found)], columns)

    def _last_columns(self) -> dict[str, float]:
        found: dict[str, float] = {}
        for chain in self.chains.values():
            for port in chain:
                found[port.element] = max(found.get(port.element, 0.0), port.column)
        return found

    def _give(self, ends: list[tuple[str, int]], columns: list[float]) -> None:
        for (id_, step), column in zip(ends, columns, strict=True):
            port = self.chains[id_][step]
            self.chains[id_][step] = Port(port.element, port.top, column)
            self.columns[self.given[id_][step]] = column

    def _untangle(self) -> None:
        """Along each edge of a free element, links leave in the order of where they go."""
        edges: dict[str, dict[bool, list[tuple[float, str, int]]]] = defaultdict(dict)
        for id_, chain in self.chains.items():
            for step in (0, len(chain) - 1):
                port, other = chain[step], chain[step ^ 1]
                if self.footprints[port.element].free:
                    edge = edges[port.element].setdefault(port.top, [])
                    edge.append((self.port_x(other), id_, step))
        for key, both in edges.items():
            spread = self.options.spread and self.footprints[key].spread
            start = min(x for ends in both.values() for x, _, _ in ends)
            columns = {}
            for top, ends in both.items():
                ends.sort()
                columns[top] = sorted(self.chains[id_][step].column for _, id_, step in ends)
                if spread:
                    columns[top] = self._apart([(x - start) / self.grid.pitch for x, _, _ in ends])
            for top, ends in both.items():
                self._give([(id_, step) for _, id_, step in ends], columns[top])
            if spread:
                self.x[key] = max(start, self.footprints[key].left)
        self.last = self._last_columns()

    def _apart(self, wishes: list[float]) -> list[float]:
        """Columns as near to the wishes as keeps them one apart, and not far more than that."""
        found: list[float] = []
        for wish in wishes:
            low, high = (found[-1] + 1, found[-1] + MOST_APART) if found else (0.0, MOST_APART)
            found.append(min(max(wish, low), high))
        return found

    def start_at_zero(self) -> None:
        """Moves all so that the leftmost reaches to 0."""
        shift = min(self.x[key] - self.reach(key)[0] for key in self.x)
        for key in self.x:
            self.x[key] -= shift

    def port_x(self, port: Port) -> float:
        return self.x[port.element] + port.column * self.grid.pitch

    def reach(self, key: str) -> tuple[float, float]:
        footprint = self.footprints[key]
        if footprint.kind == "pass":
            return footprint.left, footprint.right
        last = self.last.get(key, 0.0) * self.grid.pitch
        wider = last - self.given_last.get(key, 0.0) * self.grid.pitch
        labels = last + self.grid.label_w + 1.2
        return max(footprint.left, 1.2), max(footprint.right + wider, labels)

    def _place(self, row: int, beside: int) -> None:
        """Sets x along a row, left to right, in line with the row beside where there is room."""
        channel = row if beside < row else row + 1
        mine: dict[str, list[tuple[str, Port, Port]]] = defaultdict(list)
        taken: list[tuple[float, str]] = []
        for stretch in (self._stretch(*step) for step in self.steps_in[channel]):
            for port, other in ((stretch.a, stretch.b), (stretch.b, stretch.a)):
                if self.ranks[port.element] == row:
                    mine[port.element].append((stretch.link, port, other))
                elif self.ranks[port.element] == beside and port.element in self.x:
                    taken.append((self.port_x(port), stretch.link))
        taken.sort()
        edge = 0.0
        for key in self.rows[row]:
            left, right = self.reach(key)
            x = edge + left
            wishes = sorted(
                self.port_x(other) - port.column * self.grid.pitch
                for _, port, other in mine[key]
                if self.ranks[other.element] == beside and other.element in self.x
            )
            if wishes:
                x = max(x, wishes[(len(wishes) - 1) // 2])
            self.x[key] = self._clear(x, [(i, p) for i, p, _ in mine[key]], taken)
            edge = self.x[key] + right + self.grid.gap

    def _clear(
        self, x: float, ports: list[tuple[str, Port]], taken: list[tuple[float, str]]
    ) -> float:
        """The first place from x rightwards where no vertical falls on another link's.

        `taken` are the others' x and link, in order.
        """
        near = CLEAR_MM - 1e-6
        while True:
            worst = None
            for id_, port in ports:
                along = port.column * self.grid.pitch
                after = bisect_left(taken, (x + along + near, ""))
                for place in range(after - 1, -1, -1):
                    other, theirs = taken[place]
                    if other <= x + along - near:
                        break
                    if theirs != id_:
                        step = other + CLEAR_MM - along
                        worst = step if worst is None else max(worst, step)
                        break
            if worst is None:
                return x
            x = worst
