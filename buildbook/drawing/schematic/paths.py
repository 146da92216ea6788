"""Layout of current paths: elements in rows, each link an orthogonal line of its own."""

from __future__ import annotations

from bisect import bisect_left
from collections import defaultdict
from dataclasses import dataclass, replace

import numpy as np

from buildbook.drawing.schematic.ordering import End, Stretch, best_order
from buildbook.drawing.schematic.straight import Bridge, Foot, Room, straighten

TRACK_MM = 1.8
"""Distance between horizontal lines in a channel."""
CLEAR_MM = 1.8
"""Least distance between two vertical lines that must not be taken for one."""
GAP_MM = 1.0
SHORT_MM = 2.4
"""Least length of an upright line that no label stands beside."""
PIN = "pin"
"""Kind of an element that stands for one pin of a block until its sheet is known."""
MOST_MOVED = 30
"""Level lines of a channel up to which every one is tried on every track: the sum grows fast."""
MOST_APART = 4.0
"""Columns between neighbouring links of an element that is spread."""


Rises = dict[str, list[tuple[float, bool]]]
"""Link -> x of its upright parts in a channel, and whether each comes from above."""


@dataclass(frozen=True)
class Port:
    """Where a link meets an element: on its upper or lower edge, in a column."""

    element: str
    top: bool
    column: float


@dataclass(frozen=True)
class Link:
    id: str
    a: Port
    b: Port
    labelled: bool = True


@dataclass(frozen=True)
class Element:
    """Something with ports; `left` and `right` reach from column 0, in mm."""

    key: str
    left: float
    right: float
    height: float
    kind: str = ""
    """'supply' is held at the top, 'return' at the bottom, 'flag' follows its neighbour."""
    free: bool = False
    """Its links may change places along an edge."""
    spread: bool = False
    """Its links may also stand as far apart as what they go to."""


@dataclass(frozen=True)
class Grid:
    """Column pitch, and height and width of a wire label, in mm."""

    pitch: float
    label_h: float
    label_w: float
    gap: float = GAP_MM
    """Least distance between neighbours in a row."""
    wider: float = 1.0
    """So much wider may a layout become where that takes bends out of it, mm."""


@dataclass(frozen=True)
class Way:
    """How a layout is searched for."""

    ordered: bool = True
    """False: rows and tracks stay as they are given, to be compared with."""
    spread: bool = True
    low: bool = False
    """True: no track is added to save a crossing."""


SEARCHED = Way()


@dataclass(frozen=True)
class Layout:
    at: dict[str, tuple[float, float]]
    """Element -> column 0 and top."""
    lines: dict[str, list[tuple[float, float]]]
    labels: dict[str, tuple[float, float]]
    """Link -> left and top of its label's place, right of a vertical stretch."""
    ranks: dict[str, int]
    columns: dict[Port, float]
    """Port of a free element -> the column that it was given."""
    width: float
    height: float
    cuts: tuple[float, ...] = ()
    """Heights where a level strip may be let in: above, between and below the level lines."""


def stretched(layout: Layout, mm: float) -> Layout:
    """The layout with a strip of `mm` let in at each of its cuts."""
    if mm <= 0:
        return layout

    def down(y: float) -> float:
        return y + mm * sum(cut <= y for cut in layout.cuts)

    return replace(
        layout,
        at={key: (x, down(y)) for key, (x, y) in layout.at.items()},
        lines={id_: [(x, down(y)) for x, y in line] for id_, line in layout.lines.items()},
        labels={id_: (x, down(y)) for id_, (x, y) in layout.labels.items()},
        height=down(layout.height),
    )


def _ranks(elements: dict[str, Element], links: list[Link]) -> dict[str, int]:
    """Row of every element: below what feeds it, as far as that has no circle."""
    below: dict[str, list[str]] = defaultdict(list)
    for link in links:
        if link.a.top != link.b.top and link.a.element != link.b.element:
            upper, lower = (link.b, link.a) if link.a.top else (link.a, link.b)
            below[upper.element].append(lower.element)
    order: list[str] = []
    state: dict[str, int] = {}
    forward: dict[str, list[str]] = defaultdict(list)

    def visit(key: str) -> None:
        state[key] = 1
        for child in below[key]:
            if state.get(child) == 1:
                continue
            forward[key].append(child)
            if child not in state:
                visit(child)
        state[key] = 2
        order.append(key)

    fed = {child for children in below.values() for child in children}
    for key in sorted(elements, key=lambda k: k in fed):
        if key not in state:
            visit(key)
    ranks = dict.fromkeys(elements, 0)
    for key in reversed(order):
        for child in forward[key]:
            ranks[child] = max(ranks[child], ranks[key] + 1)
    return _settled(elements, forward, ranks)


def _settled(
    elements: dict[str, Element], forward: dict[str, list[str]], ranks: dict[str, int]
) -> dict[str, int]:
    """Returns go to the last row; what nothing feeds, unless supply, sits just above its load."""
    last = max(ranks.values())
    fed = {child for children in forward.values() for child in children}
    for key, element in elements.items():
        if element.kind == "return" and not forward[key]:
            ranks[key] = last
    for key, element in elements.items():
        if key not in fed and element.kind != "supply" and forward[key]:
            ranks[key] = min(ranks[child] for child in forward[key]) - 1
    return ranks


class _Rows:
    """Rows of elements and of the places where a link passes through a row."""

    def __init__(
        self, elements: dict[str, Element], links: list[Link], grid: Grid, way: Way
    ) -> None:
        self.elements, self.links, self.grid, self.way = dict(elements), links, grid, way
        self.ranks = _ranks(elements, links)
        self.depth = max(self.ranks.values()) + 1
        self.rows: list[list[str]] = [[] for _ in range(self.depth)]
        self.chains: dict[str, list[Port]] = {}
        """Link -> its ports from end to end, two to each channel crossed."""
        self.channel_of: dict[str, int] = {}
        for key in elements:
            self.rows[self.ranks[key]].append(key)
        for link in links:
            self._chain(link)
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
            self.elements[key] = Element(key, 0.7, 0.7, 0.0, "pass")
            self.ranks[key] = row
            self.rows[row].append(key)
            chain += [Port(key, True, 0), Port(key, False, 0)]
        self.chains[link.id] = [*chain, b]
        self.channel_of[link.id] = self.channel(a)

    def pieces(self):
        """(link id, channel, port, port) of every stretch of a link within one channel."""
        for id_, chain in self.chains.items():
            for step in range(0, len(chain), 2):
                yield id_, self.channel_of[id_] + step // 2, chain[step], chain[step + 1]

    def _order(self) -> None:
        if self.way.ordered:
            self._sort()
        for toward in (-1, 1, -1):
            span = range(self.depth) if toward < 0 else range(self.depth - 1, -1, -1)
            for row in span:
                self._place(row, row + toward)
            if self.way.ordered:
                self._untangle()
        for row in range(self.depth):
            self._place(row, row - 1)
        if self.way.ordered:
            self._straighten()

    def _straighten(self) -> None:
        """Takes bends out by moving elements, and ports along spread ones."""
        pitch = self.grid.pitch

        def foot(port: Port) -> Foot:
            return Foot(port.element, port.top, port.column * pitch)

        bridges = [Bridge(id_, channel, foot(a), foot(b)) for id_, channel, a, b in self.pieces()]
        spread = {key for key, e in self.elements.items() if e.spread}
        reach = {key: self._reach(key) for key in self.x}
        room = Room(GAP_MM, CLEAR_MM, pitch, self.grid.wider)
        straighten(self.rows, self.x, reach, bridges, spread, room)
        steps = [
            (id_, step) for id_, chain in self.chains.items() for step in range(0, len(chain), 2)
        ]
        for (id_, step), bridge in zip(steps, bridges, strict=True):
            for side, end in enumerate((bridge.a, bridge.b)):
                if end.element in spread:
                    self._give([(id_, step + side)], [end.along / pitch])
        self.last = self._last_columns()

    def _sort(self) -> None:
        """Rows, and the ends along free elements, in the order with the fewest crossings."""
        ends = [
            (id_, step, channel)
            for id_, chain in self.chains.items()
            for step, channel in zip(
                range(0, len(chain), 2), range(self.channel_of[id_], self.depth + 1), strict=False
            )
        ]
        stretches = []
        for id_, step, channel in ends:
            a, b = (End(p.element, p.top, p.column) for p in self.chains[id_][step : step + 2])
            stretches.append(Stretch(channel, a, b))
        free = {key for key, element in self.elements.items() if element.free}
        order = best_order(self.rows, stretches, free)
        self.rows = [list(row) for row in order.rows]
        edges: dict[tuple[str, bool], list[tuple[float, str, int]]] = defaultdict(list)
        for (n, side), rank in order.columns.items():
            id_, step, _ = ends[n]
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
                if self.elements[port.element].free:
                    edge = edges[port.element].setdefault(port.top, [])
                    edge.append((self.port_x(other), id_, step))
        for key, both in edges.items():
            spread = self.way.spread and self.elements[key].spread
            start = min(x for ends in both.values() for x, _, _ in ends)
            columns = {}
            for top, ends in both.items():
                ends.sort()
                columns[top] = sorted(self.chains[id_][step].column for _, id_, step in ends)
                if spread:
                    columns[top] = self._apart([(x - start) / self.grid.pitch for x, _, _ in ends])
            if spread and len(columns) == 2:
                fewer, more = sorted(columns.values(), key=len)
                fewer[:] = _snapped(fewer, more)
            for top, ends in both.items():
                self._give([(id_, step) for _, id_, step in ends], columns[top])
            if spread:
                self.x[key] = max(start, self.elements[key].left)
        self.last = self._last_columns()

    def _apart(self, wishes: list[float]) -> list[float]:
        """Columns as near to the wishes as keeps them one apart, and not far more than that."""
        found: list[float] = []
        for wish in wishes:
            low, high = (found[-1] + 1, found[-1] + MOST_APART) if found else (0.0, MOST_APART)
            found.append(min(max(wish, low), high))
        return found

    def port_x(self, port: Port) -> float:
        return self.x[port.element] + port.column * self.grid.pitch

    def _reach(self, key: str) -> tuple[float, float]:
        element = self.elements[key]
        if element.kind == "pass":
            return element.left, element.right
        last = self.last.get(key, 0.0) * self.grid.pitch
        wider = last - self.given_last.get(key, 0.0) * self.grid.pitch
        labels = last + self.grid.label_w + 1.2
        return max(element.left, 1.2), max(element.right + wider, labels)

    def _place(self, row: int, beside: int) -> None:
        """Sets x along a row, left to right, in line with the row beside where there is room."""
        channel = row if beside < row else row + 1
        mine: dict[str, list[tuple[str, Port, Port]]] = defaultdict(list)
        taken: list[tuple[float, str]] = []
        for id_, where, a, b in self.pieces():
            if where != channel:
                continue
            for port, other in ((a, b), (b, a)):
                if self.ranks[port.element] == row:
                    mine[port.element].append((id_, port, other))
                elif self.ranks[port.element] == beside and port.element in self.x:
                    taken.append((self.port_x(port), id_))
        taken.sort()
        edge = 0.0
        for key in self.rows[row]:
            left, right = self._reach(key)
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


def _snapped(columns: list[float], others: list[float]) -> list[float]:
    """Columns of one edge, each right on one of the other edge that is near it."""
    found = list(columns)
    for n, column in enumerate(columns):
        near = min(others, key=lambda other: abs(other - column))
        low = found[n - 1] + 1 if n else near
        high = found[n + 1] - 1 if n + 1 < len(found) else near
        if abs(near - column) < 0.5 and low <= near <= high:
            found[n] = near
    return found


def _tracks(spans: list[tuple[float, float, str]]) -> dict[str, int]:
    """Left-edge assignment of horizontal stretches to tracks."""
    ends: list[float] = []
    found: dict[str, int] = {}
    for x0, x1, id_ in sorted(spans):
        track = next((n for n, end in enumerate(ends) if end + CLEAR_MM < x0), len(ends))
        if track == len(ends):
            ends.append(x1)
        else:
            ends[track] = x1
        found[id_] = track
    return found


def _costs(spans: list[tuple[float, float, str]], rises: Rises) -> np.ndarray:
    """[m, n]: crossings of the links of two spans while the first one's level part is above.

    Then what comes down to the second crosses the first, and what comes up to the first the
    second.
    """
    costs = np.zeros((len(spans), len(spans)), dtype=int)
    for m, (x0, x1, one) in enumerate(spans):
        for n, (u0, u1, other) in enumerate(spans):
            if one != other:
                costs[m, n] = sum(x0 < x < x1 for x, from_above in rises[other] if from_above)
                costs[m, n] += sum(u0 < x < u1 for x, from_above in rises[one] if not from_above)
    return costs


def _crossings(costs: np.ndarray, tracks: np.ndarray) -> int:
    """How often the upright parts in a channel cross its level parts; a track for each span."""
    return int(costs[tracks[:, None] < tracks].sum())


def _overlapping(spans: list[tuple[float, float, str]]) -> np.ndarray:
    """[m, n]: whether two spans may not share a track."""
    left, right = np.array([s[0] for s in spans]), np.array([s[1] for s in spans])
    return (left[:, None] < right + CLEAR_MM) & (left < right[:, None] + CLEAR_MM)


def _constrained_tracks(spans: list[tuple[float, float, str]], costs: np.ndarray) -> np.ndarray:
    """Tracks from the top for spans in an order in which each is below those it would cross.

    A constrained left-edge assignment; where the wishes go round in a circle, the span that
    has fewest of them against it comes first.
    """
    above = costs < costs.T
    overlap = _overlapping(spans)
    left = set(range(len(spans)))
    tracks = np.zeros(len(spans), dtype=int)
    placed: list[int] = []
    while left:
        waiting = sorted(left)
        n = min(waiting, key=lambda k: (int(above[waiting, k].sum()), spans[k]))
        least = max((tracks[m] + 1 for m in placed if above[m, n]), default=0)
        taken = {int(tracks[m]) for m in placed if overlap[m, n]}
        tracks[n] = next(t for t in range(least, least + len(spans) + 1) if t not in taken)
        placed.append(n)
        left.remove(n)
    return tracks


def _fewest_crossings(
    spans: list[tuple[float, float, str]], rises: Rises, low: bool
) -> dict[str, int]:
    """Tracks from two starts, or the one with fewest where it is to be low, then bettered."""
    given = _tracks(spans)
    costs = _costs(spans, rises)
    starts = [np.array([given[id_] for _, _, id_ in spans])]
    if not low and _crossings(costs, starts[0]):
        starts.append(_constrained_tracks(spans, costs))
    found = [_improved(spans, tracks, costs) for tracks in starts]
    tracks = min(found, key=lambda t: (_crossings(costs, t), int(t.max())))
    return {id_: int(track) for (_, _, id_), track in zip(spans, tracks, strict=True)}


def _improved(
    spans: list[tuple[float, float, str]], tracks: np.ndarray, costs: np.ndarray
) -> np.ndarray:
    """Whole tracks change places, and single links move, while that saves crossings."""
    best = _crossings(costs, tracks)
    for _ in range(3):
        before, count = best, int(tracks.max()) + 1
        for a in range(count):
            for b in range(a + 1, count):
                tried = np.where(tracks == a, b, np.where(tracks == b, a, tracks))
                found = _crossings(costs, tried)
                if found < best:
                    tracks, best = tried, found
        tracks, best = _moved(spans, tracks, costs, best)
        if best == before:
            break
    return tracks


def _moved(
    spans: list[tuple[float, float, str]], tracks: np.ndarray, costs: np.ndarray, best: int
) -> tuple[np.ndarray, int]:
    """Single links put on another track, or on one let in between, while that saves crossings."""
    overlap = _overlapping(spans)
    for n in range(len(spans)) if best and len(spans) <= MOST_MOVED else ():
        count = int(tracks.max()) + 1
        taken = {int(tracks[m]) for m in np.flatnonzero(overlap[n]) if m != n}
        tries = [(tracks, track) for track in range(count) if track not in taken]
        tries += [(tracks + (tracks >= new), new) for new in range(count + 1)]
        for others, track in tries:
            tried = others.copy()
            tried[n] = track
            found = _crossings(costs, tried)
            if found < best:
                tracks, best = tried, found
    return np.unique(tracks, return_inverse=True)[1], best


def lay_out(
    elements: dict[str, Element], links: list[Link], grid: Grid, way: Way = SEARCHED
) -> Layout:
    """Places elements and draws links; any input gives a layout without overlaps."""
    rows = _Rows(elements, links, grid, way)
    shift = min(rows.x[key] - rows._reach(key)[0] for key in rows.x)
    for key in rows.x:
        rows.x[key] -= shift
    spans: dict[int, list[tuple[float, float, str]]] = defaultdict(list)
    rises: dict[int, Rises] = defaultdict(dict)
    for id_, channel, a, b in rows.pieces():
        rises[channel][id_] = [(rows.port_x(port), not port.top) for port in (a, b)]
        x0, x1 = sorted((rows.port_x(a), rows.port_x(b)))
        if x1 - x0 > 1e-6 or a.top == b.top:
            spans[channel].append((x0, x1, id_))
    choose = (
        (lambda found, c: _fewest_crossings(found, rises[c], way.low))
        if way.ordered
        else (lambda found, c: _tracks(found))
    )
    tracks = {c: choose(found, c) for c, found in spans.items()}
    label_ports = {}
    for link in links:
        if link.labelled:
            first, last = rows.chains[link.id][0], rows.chains[link.id][-1]
            label_ports[link.id] = first if first.top else last
    upper = {rows.channel(p) for p in label_ports.values() if not p.top}
    lower = {rows.channel(p) for p in label_ports.values() if p.top}
    y, row_y, track_y = 0.0, [], {}
    cuts: list[float] = []
    for channel in range(rows.depth + 1):
        used = len(set(tracks.get(channel, {}).values()))
        y += grid.label_h + 0.6 if channel in upper else 0.0
        track_y[channel] = y + TRACK_MM * 0.7
        if 0 < channel < rows.depth or used:
            cuts += [y + TRACK_MM * (n + 0.2) for n in range(used + 1)]
        plain = 0.5 if channel in upper | lower | {0, rows.depth} else SHORT_MM
        y += TRACK_MM * (used + 0.4) if used else plain
        y += grid.label_h + 0.6 if channel in lower else 0.0
        if channel < rows.depth:
            row_y.append(y)
            y += max(rows.elements[key].height for key in rows.rows[channel])
    lines = {id_: _line(id_, rows, row_y, tracks, track_y) for id_ in rows.chains}
    labels = {}
    for id_, port in label_ports.items():
        edge = row_y[rows.ranks[port.element]]
        edge += -grid.label_h - 0.3 if port.top else rows.elements[port.element].height + 0.6
        labels[id_] = (rows.port_x(port) + 0.7, edge)
    width = max(rows.x[key] + rows._reach(key)[1] for key in rows.x)
    at = {key: (rows.x[key], row_y[rows.ranks[key]]) for key in elements}
    return Layout(at, lines, labels, rows.ranks, rows.columns, width, y, tuple(cuts))


def _line(
    id_: str,
    rows: _Rows,
    row_y: list[float],
    tracks: dict[int, dict[str, int]],
    track_y: dict[int, float],
) -> list[tuple[float, float]]:
    def end(port: Port) -> tuple[float, float]:
        height = rows.elements[port.element].height
        y = row_y[rows.ranks[port.element]]
        return rows.port_x(port), y if port.top else y + height

    points: list[tuple[float, float]] = []
    chain, first = rows.chains[id_], rows.channel_of[id_]
    for step in range(0, len(chain), 2):
        channel = first + step // 2
        a, b = end(chain[step]), end(chain[step + 1])
        points.append(a)
        if id_ in tracks.get(channel, {}):
            y = track_y[channel] + TRACK_MM * tracks[channel][id_]
            points += [(a[0], y), (b[0], y)]
        points.append(b)
    return points


def split(
    elements: dict[str, Element],
    links: list[Link],
    layout: Layout,
    by_row: bool,
    flag: Element,
    share: float = 1 / 3,
) -> list[tuple[dict[str, Element], list[Link]]]:
    """Two parts cut where the fewest links cross, flags put on both sides of each link cut.

    Each part has at least that share of the elements.

    In the part of the upper end the link keeps its id and label; in the other it is
    '<id>~', unlabelled. The flags' keys are 'flag:<id>' and 'flag:<id>~'.
    """
    host = {}
    for link in links:
        for mine, other in ((link.a, link.b), (link.b, link.a)):
            if elements[mine.element].kind in ("flag", PIN, "return"):
                host[mine.element] = other.element
    real = sorted(
        (key for key in elements if key not in host),
        key=lambda k: (layout.ranks[k] if by_row else 0, layout.at[k][0], k),
    )
    if len(real) < 2:
        return [(elements, links)]

    def crossing(count: int) -> int:
        first = set(real[:count])
        return sum(
            (li.a.element in first) != (li.b.element in first)
            for li in links
            if li.a.element not in host and li.b.element not in host
        )

    least = int(len(real) * share)
    low, high = max(1, least), max(2, len(real) - least)
    best = min(range(low, high), key=lambda n: (crossing(n), abs(2 * n - len(real))))
    first = set(real[:best]) | {f for f, h in host.items() if h in set(real[:best])}
    parts: list[tuple[dict[str, Element], list[Link]]] = [
        ({k: e for k, e in elements.items() if k in first}, []),
        ({k: e for k, e in elements.items() if k not in first}, []),
    ]
    for link in links:
        in_a, in_b = link.a.element not in first, link.b.element not in first
        if in_a == in_b:
            parts[in_a][1].append(link)
            continue
        main, other = (link.b, link.a) if link.a.top and not link.b.top else (link.a, link.b)
        for port, id_, labelled in ((main, link.id, True), (other, link.id + "~", False)):
            part = parts[port.element not in first]
            key = f"flag:{id_}"
            part[0][key] = replace(flag, key=key)
            part[1].append(Link(id_, port, Port(key, not port.top, 0), labelled))
    return parts
