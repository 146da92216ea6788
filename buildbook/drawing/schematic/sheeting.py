"""Which paths of a system go on which sheet: cut where they must be, packed and spread out."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from itertools import permutations, product

import networkx

from buildbook.drawing.schematic.blocks import Part, edges_of, merged, owners
from buildbook.drawing.schematic.paths import (
    Element,
    Grid,
    Layout,
    Link,
    Way,
    lay_out,
    split,
    stretched,
)
from buildbook.drawing.schematic.pieces import LINE_MM, Piece, element_of, levels_of, says_more
from buildbook.drawing.shared.crossing import crossings
from buildbook.drawing.shared.model import SHEET_MM
from buildbook.drawing.shared.packing import NO_MARKS, pack, spread
from buildbook.drawing.shared.sheet import BLOCK_MM
from buildbook.drawing.shared.zones import BAND_MM

ROOM_MM = (SHEET_MM[0] - 2 * BAND_MM - 3, SHEET_MM[1] - 2 * BAND_MM - BLOCK_MM[1] - 3)
"""Width and height left inside frame and title block."""
BETWEEN_MM = 4.0
"""Least distance between groups of paths on a sheet."""
MOST_BETWEEN_MM = 30.0
MOST_TALLER_MM = 7.0
SPREADS = (
    (2.0, 20.0),
    (1.6, 20.0),
    (1.35, 12.0),
    (1.35, 1.0),
    (1.15, 8.0),
    (1.15, 1.0),
    (1.0, 12.0),
    (1.0, 4.0),
    (1.0, 1.0),
)
"""Shares of the column pitch and mm of width against bends, tried in turn on each sheet."""
CUT_SHARES = (1 / 3, 1 / 4, 2 / 5, 1 / 6, 1 / 10, 0.3, 0.2, 0.45)
"""Least shares of a group's elements in a part cut off it, tried in turn."""
FEW_PARTS = 12
"""Paths that meet blocks, tried at a time: more than a sheet takes."""
MOST_WIRES = 150
"""Wires of a system up to which every share is tried."""
MOST_ORDERED = 6
"""Sheets of a system up to which every order of them is tried."""
FLAG = Element("", 7.6, 7.6, 2.2 + 2 * LINE_MM, "flag")


@dataclass(frozen=True)
class Group:
    """Elements joined to each other, laid out."""

    elements: dict[str, Element]
    links: list[Link]
    layout: Layout
    grid: Grid
    parts: list[Part]
    """What it was made from: each pin of a block by itself."""


@dataclass(frozen=True)
class Placed:
    group: Group
    x: float
    y: float


def _flags(group: Group) -> list[str]:
    return [key for key, element in group.elements.items() if element.kind == "flag"]


def _cost(sheets: list[list[Placed]]) -> int:
    """Both sides of every cut, and every crossing: a cut is as bad as two of these."""
    groups = [placed.group for sheet in sheets for placed in sheet]
    return sum(len(_flags(g)) + len(list(crossings(g.layout.lines))) for g in groups)


def _uncut(parts: list[Part], flag: str) -> list[Part]:
    """The parts with those on the two sides of a cut in one, its flags gone."""
    flags = {flag, f"{flag}~"}
    cut = [part for part in parts if flags & part[0].keys()]
    elements = {k: e for part in cut for k, e in part[0].items() if k not in flags}
    links = [link for part in cut for link in part[1]]
    sides = [link for link in links if {link.a.element, link.b.element} & flags]
    ends = [port for link in sides for port in (link.a, link.b) if port.element not in flags]
    id_ = flag.removeprefix("flag:")
    whole = (elements, [link for link in links if link not in sides] + [Link(id_, *ends)])
    return [part for part in parts if part not in cut] + [whole]


def _joined(
    elements: dict[str, Element],
    links: list[Link],
    together: list[tuple[str, str]],
    late: set[str],
) -> list[Part]:
    """What links, or pairs to keep together, join; elements of `late` last."""
    graph = networkx.Graph()
    graph.add_nodes_from(elements)
    graph.add_edges_from([*((link.a.element, link.b.element) for link in links), *together])
    parts = []
    for mine in networkx.connected_components(graph):
        keys = sorted((k for k in elements if k in mine), key=lambda k: k in late)
        parts.append(({k: elements[k] for k in keys}, [li for li in links if li.a.element in mine]))
    return parts


class Sheeting:
    """Deals the paths of one system to sheets; `pieces` also holds the blocks made on the way."""

    def __init__(
        self, pieces: dict[str, Piece], grid: Grid, caption: Callable[[str], tuple[str, ...]]
    ) -> None:
        self.pieces, self.grid, self.caption = dict(pieces), grid, caption
        self.layouts: dict[tuple, Layout] = {}

    def sheets(
        self,
        elements: dict[str, Element],
        links: list[Link],
        together: list[tuple[str, str]],
        late: set[str],
    ) -> list[list[Placed]]:
        """Groups on as few sheets as they go on, the battery's first, each sheet spread out.

        Elements of a pair in `together` go on one sheet though no link joins them; those of
        `late` stand last in their row.
        """
        parts = _joined(elements, links, together, late)
        tried = []
        for share in CUT_SHARES if len(links) <= MOST_WIRES else CUT_SHARES[:1]:
            groups = self._groups(parts, share)
            sizes = [(g.layout.width, g.layout.height) for g in groups]
            first = self._first(groups)
            blocks = {n: self._blocks_of(group) for n, group in enumerate(groups)}
            tried += [
                (groups, pack(sizes, ROOM_MM, BETWEEN_MM, first, marks))
                for marks in (blocks, NO_MARKS)
            ]
        fewest = min(len(sheets) for _, sheets in tried)
        packed = [
            [
                self._rejoined([Placed(groups[n], x, y) for n, x, y in sorted(sheet)])
                for sheet in sheets
            ]
            for groups, sheets in tried
            if len(sheets) == fewest
        ]
        best = min(packed, key=_cost)
        return [self._spread(sheet) for sheet in self._ordered(best)]

    def _groups(self, parts: list[Part], share: float) -> list[Group]:
        """The parts, cut until each fits on a sheet, and laid out."""
        fitting = [piece for part in parts for piece in self._cut(part, share)]
        hosted = [part for part in fitting if owners(part, self.pieces)]
        done = [self._group([part]) for part in fitting if part not in hosted]
        return done + self._shared(hosted)

    def _cut(self, part: Part, share: float) -> list[Part]:
        """The part, cut where the fewest conductors are cut until each piece goes on a sheet."""
        if self._fits(self._group([part])):
            return [part]
        layout = self._laid(*part, self.grid)
        parts = split(*part, layout, layout.height > ROOM_MM[1], FLAG, share)
        if len(parts) < 2:
            return [part]
        return [piece for half in parts for piece in self._cut(half, share)]

    def _shared(self, parts: list[Part]) -> list[Group]:
        """Groups of parts that meet blocks, as few as fit on sheets; each has a block once."""
        if not parts:
            return []
        if len(parts) > 2 * FEW_PARTS:
            return self._shared(parts[:FEW_PARTS]) + self._shared(parts[FEW_PARTS:])
        whole = self._group(parts)
        if len(parts) == 1 or self._fits(whole):
            return [whole]
        if whole.layout.height > ROOM_MM[1]:
            above = [p for p in parts if True in edges_of(p, self.pieces)]
            below = [p for p in parts if p not in above]
            if above and below:
                return self._shared(above) + self._shared(below)
        low, high = 1, len(parts) - 1
        while low < high:
            middle = (low + high + 1) // 2
            fits = self._fits(self._group(parts[:middle]))
            low, high = (middle, high) if fits else (low, middle - 1)
        return [self._group(parts[:low]), *self._shared(parts[low:])]

    def _fits(self, group: Group) -> bool:
        return group.layout.width <= ROOM_MM[0] and group.layout.height <= ROOM_MM[1]

    def _group(self, parts: list[Part]) -> Group:
        """The parts laid out together, spread where that goes on a sheet."""
        found = merged(parts, self.pieces, self.grid.pitch, self.caption)
        self.pieces |= found.pieces
        layout = self._laid(found.elements, found.links, self.grid)
        return Group(found.elements, found.links, layout, self.grid, parts)

    def _laid(
        self, elements: dict[str, Element], links: list[Link], grid: Grid, low: bool = True
    ) -> Layout:
        """The layout; what is too high or wide for a sheet lower (if `low`) or narrower."""
        key = (tuple(elements.values()), tuple(link.id for link in links), grid, low)
        if key not in self.layouts:
            layout = lay_out(elements, links, grid)
            if low and layout.height > ROOM_MM[1]:
                lower = lay_out(elements, links, grid, Way(low=True))
                layout = min(layout, lower, key=lambda found: found.height)
            if layout.width > ROOM_MM[0]:
                narrow = lay_out(elements, links, grid, Way(spread=False, low=low))
                layout = min(layout, narrow, key=lambda found: found.width)
            self.layouts[key] = layout
        return self.layouts[key]

    def _has_battery(self, group: Group) -> bool:
        devices = (self.pieces[key].device for key in group.elements if key in self.pieces)
        return any(device and device.kind == "battery" for device in devices)

    def _first(self, groups: list[Group]) -> list[int]:
        """Numbers of the groups that are placed before the others."""
        return [n for n, group in enumerate(groups) if self._has_battery(group)]

    def _blocks_of(self, group: Group) -> set[str]:
        found = (self.pieces[key].device for key, e in group.elements.items() if e.spread)
        return {device.id for device in found if device}

    def _rejoined(self, sheet: list[Placed]) -> list[Placed]:
        """A sheet on which what was cut apart and came to stand on it is whole, if it holds that.

        A wire is whole again, and a block with all its pins.
        """
        for flag in [k for p in sheet for k in _flags(p.group) if not k.endswith("~")]:
            mine = [p for p in sheet if {flag, f"{flag}~"} & p.group.elements.keys()]
            if sum(len({flag, f"{flag}~"} & p.group.elements.keys()) for p in mine) == 2:
                sheet = self._with_whole(sheet, mine, flag)
        for id_ in dict.fromkeys(d for p in sheet for d in sorted(self._blocks_of(p.group))):
            mine = [p for p in sheet if id_ in self._blocks_of(p.group)]
            if len(mine) > 1:
                sheet = self._with_whole(sheet, mine)
        return sheet

    def _with_whole(self, sheet: list[Placed], mine: list[Placed], flag: str = "") -> list[Placed]:
        """The sheet with some of its groups in one, or as it was where that does not go on it."""
        parts = [part for p in mine for part in p.group.parts]
        whole = self._group(_uncut(parts, flag) if flag else parts)
        return self._taller([whole, *(p.group for p in sheet if p not in mine)], 0.0) or sheet

    def _ordered(self, sheets: list[list[Placed]]) -> list[list[Placed]]:
        """The sheets in the order in which most cut wires go on at a later sheet."""
        if len(sheets) > MOST_ORDERED:
            return sheets
        keys = [{key for p in sheet for key in _flags(p.group)} for sheet in sheets]
        battery = [any(self._has_battery(p.group) for p in sheet) for sheet in sheets]

        def against(order: tuple[int, ...]) -> tuple[int, int]:
            back = sum(
                f"{key}~" in keys[earlier]
                for place, later in enumerate(order)
                for earlier in order[:place]
                for key in keys[later]
            )
            return order.index(battery.index(True)) if any(battery) else 0, back

        return [sheets[n] for n in min(permutations(range(len(sheets))), key=against)]

    def _spread(self, packed: list[Placed]) -> list[Placed]:
        """The groups of a sheet, drawn as widely as all of them still go on it.

        Where there is room, blocks say where they are fed, and what their pins are for; sooner
        than a crossing is added, they say less.
        """
        groups = [placed.group for placed in packed]
        blocks = [
            k for g in groups for k in g.elements if k in self.pieces and says_more(self.pieces[k])
        ]
        levels = (3, 2, 1, 0) if blocks else (0,)
        for low, told, (share, wider) in product((False, True), levels, SPREADS):
            self._tell(blocks, told)
            grid = replace(
                self.grid, pitch=self.grid.pitch * share, gap=self.grid.gap * share**5, wider=wider
            )
            drawn = [self._redrawn(group, grid, low) for group in groups]
            if self._taller(drawn, 0.0):
                return self._tallest(self._telling_more(drawn, blocks, told, low))
        return packed

    def _tell(self, blocks: list[str], told: int) -> None:
        self.pieces |= {key: replace(self.pieces[key], told=told) for key in blocks}

    def _telling_more(
        self, groups: list[Group], blocks: list[str], told: int, low: bool
    ) -> list[Group]:
        """The groups with single blocks that say more than all of them may, if that fits."""
        for key in blocks:
            for more in range(levels_of(self.pieces[key]), told, -1):
                self._tell([key], more)
                tried = [self._redrawn(g, g.grid, low) if key in g.elements else g for g in groups]
                if self._taller(tried, 0.0):
                    groups = tried
                    break
                self._tell([key], told)
        return groups

    def _tallest(self, groups: list[Group]) -> list[Placed]:
        """The groups stretched as far as all of them still go on the sheet."""
        short, long, found = 0.0, MOST_TALLER_MM, self._taller(groups, 0.0)
        while long - short > 0.2:
            middle = (short + long) / 2
            tried = self._taller(groups, middle)
            short, long = (middle, long) if tried else (short, middle)
            found = tried or found
        return found

    def _taller(self, groups: list[Group], mm: float) -> list[Placed]:
        """The groups stretched and spread over one sheet; nothing where they do not go on it."""
        tried = [replace(g, layout=stretched(g.layout, mm)) for g in groups]
        sizes = [(g.layout.width, g.layout.height) for g in tried]
        sheets = pack(sizes, ROOM_MM, BETWEEN_MM, self._first(groups))
        if len(sheets) > 1 or any(w > ROOM_MM[0] or h > ROOM_MM[1] for w, h in sizes):
            return []
        spots = spread(sizes, sheets[0], ROOM_MM, BETWEEN_MM, MOST_BETWEEN_MM)
        left = (ROOM_MM[0] - max(x + sizes[n][0] for n, x, _ in spots)) / 2
        return [Placed(tried[n], left + x, y) for n, x, y in spots]

    def _redrawn(self, group: Group, grid: Grid, low: bool) -> Group:
        elements = {
            key: replace(element_of(self.pieces[key], grid.pitch), spread=element.spread)
            if key in self.pieces
            else element
            for key, element in group.elements.items()
        }
        layout = self._laid(elements, group.links, grid, low)
        return replace(group, elements=elements, layout=layout, grid=grid)
