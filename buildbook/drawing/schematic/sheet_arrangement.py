"""Which paths of a system go on which sheet: cut where they must be, packed and spread out."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from itertools import permutations, product

from buildbook.drawing.schematic.block_words import has_detail, most_detail
from buildbook.drawing.schematic.controller_blocks import (
    edges_of,
    joined_at_blocks,
    owners,
)
from buildbook.drawing.schematic.current_paths import (
    current_paths,
    cut_in_two,
    joined_again,
    unlinked,
)
from buildbook.drawing.schematic.element import LINE_SPACING_MM, Element
from buildbook.drawing.schematic.footprints import footprint_of
from buildbook.drawing.schematic.layout import lay_out
from buildbook.drawing.schematic.layout_model import (
    CurrentPath,
    Footprint,
    Grid,
    Layout,
    LayoutOptions,
    Link,
    heightened,
)
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
"""Wires of a system up to which every share is tried; beyond, there may be more cuts or sheets."""
MOST_ORDERED = 6
"""Sheets of a system up to which every order of them is tried: 720 of them."""
LayoutKey = tuple[tuple[Footprint, ...], tuple[str, ...], Grid, bool]
"""What a layout of one system follows from: elements, links, grid, whether it is to be low."""
FLAG = Footprint("", 7.6, 7.6, 2.2 + 2 * LINE_SPACING_MM, "flag")


@dataclass(frozen=True)
class Group:
    """Elements joined to each other, laid out."""

    footprints: dict[str, Footprint]
    links: list[Link]
    layout: Layout
    grid: Grid
    parts: list[CurrentPath]
    """What it was made from: each pin of a block by itself."""


@dataclass(frozen=True)
class Placed:
    group: Group
    x: float
    y: float


def _flags(group: Group) -> list[str]:
    return [key for key, footprint in group.footprints.items() if footprint.kind == "flag"]


def cut_on(sheet: list[Placed]) -> list[str]:
    """Flags of the wires that are cut and go on at another place of the same sheet."""
    keys = [key for placed in sheet for key in _flags(placed.group)]
    return [key for key in keys if f"{key}~" in keys]


def _cost(sheets: list[list[Placed]]) -> int:
    """Both sides of every cut, and every crossing: a cut is as bad as two of these."""
    groups = [placed.group for sheet in sheets for placed in sheet]
    return sum(len(_flags(g)) + len(list(crossings(g.layout.lines))) for g in groups)


def _bends(groups: list[Group]) -> int:
    """Corners of all lines."""
    return sum(len(line) - 2 for group in groups for line in group.layout.lines.values())


class SheetArrangement:
    """Deals the paths of one system to sheets; `elements` also gets the blocks made on the way."""

    def __init__(
        self,
        elements: dict[str, Element],
        grid: Grid,
        caption: Callable[[str], tuple[str, ...]],
        shared: bool = False,
    ) -> None:
        """`shared` by several small systems: then few bends go before wide columns."""
        self.elements, self.grid, self.caption = dict(elements), grid, caption
        self.shared = shared
        self.layouts: dict[LayoutKey, Layout] = {}
        self.together: list[tuple[str, str]] = []

    def sheets(
        self,
        footprints: dict[str, Footprint],
        links: list[Link],
        together: list[tuple[str, str]],
        late: set[str],
    ) -> list[list[Placed]]:
        """Groups on as few sheets as they go on, the battery's first, each sheet spread out.

        Elements of a pair in `together` go on one sheet though no link joins them; those of
        `late` stand last in their row.
        """
        self.together = together
        parts = current_paths(footprints, links, together, late)
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

    def _groups(self, parts: list[CurrentPath], share: float) -> list[Group]:
        """The parts, cut until each fits on a sheet, and laid out."""
        fitting = [one for part in parts for one in self._cut(part, share)]
        hosted = [part for part in fitting if owners(part, self.elements)]
        done = [self._group([part]) for part in fitting if part not in hosted]
        return done + self._shared(hosted)

    def _cut(self, part: CurrentPath, share: float) -> list[CurrentPath]:
        """The part, cut where the fewest conductors are cut until each part goes on a sheet."""
        if self._fits(self._group([part])):
            return [part]
        layout = self._laid(*part, self.grid)
        parts = cut_in_two(part, layout, layout.height > ROOM_MM[1], FLAG, share)
        if len(parts) < 2:
            return [part]
        return [one for half in parts for one in self._cut(half, share)]

    def _shared(self, parts: list[CurrentPath]) -> list[Group]:
        """Groups of parts that meet blocks, as few as fit on sheets; each has a block once."""
        if not parts:
            return []
        if len(parts) > 2 * FEW_PARTS:
            last = (len(parts) - 1) // FEW_PARTS - 1
            starts = [n * FEW_PARTS for n in range(last + 1)]
            few = [parts[a:b] for a, b in zip(starts, [*starts[1:], None], strict=True)]
            return [group for some in few for group in self._shared(some)]
        whole = self._group(parts)
        if len(parts) == 1 or self._fits(whole):
            return [whole]
        if whole.layout.height > ROOM_MM[1]:
            above = [p for p in parts if True in edges_of(p, self.elements)]
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

    def _group(self, parts: list[CurrentPath]) -> Group:
        """The parts laid out together, spread where that goes on a sheet."""
        found = joined_at_blocks(parts, self.elements, self.grid.pitch, self.caption)
        self.elements |= found.elements
        layout = self._laid(found.footprints, found.links, self.grid)
        return Group(found.footprints, found.links, layout, self.grid, parts)

    def _laid(
        self, footprints: dict[str, Footprint], links: list[Link], grid: Grid, low: bool = True
    ) -> Layout:
        """The layout; what is too high or wide for a sheet lower (if `low`) or narrower."""
        key = (tuple(footprints.values()), tuple(link.id for link in links), grid, low)
        if key not in self.layouts:
            layout = lay_out(footprints, links, grid)
            if low and layout.height > ROOM_MM[1]:
                lower = lay_out(footprints, links, grid, LayoutOptions(low=True))
                layout = min(layout, lower, key=lambda found: found.height)
            if layout.width > ROOM_MM[0]:
                narrow = lay_out(footprints, links, grid, LayoutOptions(spread=False, low=low))
                layout = min(layout, narrow, key=lambda found: found.width)
            self.layouts[key] = layout
        return self.layouts[key]

    def _has_battery(self, group: Group) -> bool:
        devices = (self.elements[key].device for key in group.footprints if key in self.elements)
        return any(device and device.kind == "battery" for device in devices)

    def _first(self, groups: list[Group]) -> list[int]:
        """Numbers of the groups that are placed before the others."""
        return [n for n, group in enumerate(groups) if self._has_battery(group)]

    def _blocks_of(self, group: Group) -> set[str]:
        found = (self.elements[key].device for key, e in group.footprints.items() if e.spread)
        return {device.id for device in found if device}

    def _rejoined(self, sheet: list[Placed]) -> list[Placed]:
        """A sheet on which what was cut apart and came to stand on it is whole, if it holds that.

        A wire is whole again, and a block with all its pins.
        """
        cut = cut_on(sheet)
        for flags in [cut, *([flag] for flag in cut)] if len(cut) > 1 else [cut]:
            if flags and set(flags) <= set(cut_on(sheet)):
                sheet = self._with_wires_whole(sheet, flags)
        for id_ in dict.fromkeys(d for p in sheet for d in sorted(self._blocks_of(p.group))):
            mine = [p.group for p in sheet if id_ in self._blocks_of(p.group)]
            if len(mine) > 1:
                whole = self._group([part for group in mine for part in group.parts])
                others = [p.group for p in sheet if p.group not in mine]
                sheet = self._taller([whole, *others], 0.0) or sheet
        return sheet

    def _with_wires_whole(self, sheet: list[Placed], flags: list[str]) -> list[Placed]:
        """The sheet with both sides of cuts joined, or as it was where that goes on it nowhere.

        All that hangs on them is drawn as one; where that is too much for the sheet, only the paths
        that were cut, at another block of the same controller or at one of their own.
        """
        sides = {*flags, *(f"{flag}~" for flag in flags)}
        mine = [p.group for p in sheet if sides & p.group.footprints.keys()]
        others = [p.group for p in sheet if p.group not in mine]
        apart = [[one for part in g.parts for one in unlinked(part, self.together)] for g in mine]
        parts = [part for some in apart for part in some]
        for flag in flags:
            parts = joined_again(parts, flag)
        if whole := self._taller([self._group(parts), *others], 0.0):
            return whole
        kept = [[p for p in some if not sides & p.footprints.keys()] for some in apart]
        groups = [*(self._group(some) for some in kept if some), *others]
        paths = [part for part in parts if not any(part in some for some in kept)]
        hosts = {host for path in paths for host in owners(path, self.elements)}
        ways = [
            [self._group([*group.parts, *paths]), *(g for g in groups if g is not group)]
            for group in groups
            if hosts & self._blocks_of(group)
        ]
        found = (self._taller(way, 0.0) for way in [*ways, [self._group(paths), *groups]])
        return min(filter(None, [sheet, *found]), key=lambda one: _cost([one]))

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
        than a crossing is added, they say less. What goes on the sheet with none of `SPREADS`
        stays where it was packed, with blocks that say least. A single element wider than the
        sheet would leave it there: MOST_PINS, MOST_COLUMNS and MOST_WIRES keep them narrower.
        """
        groups = [placed.group for placed in packed]
        blocks = [
            k
            for g in groups
            for k in g.footprints
            if k in self.elements and has_detail(self.elements[k])
        ]
        levels = (3, 2, 1, 0) if blocks else (0,)
        for low, detail in product((False, True), levels):
            self._set_detail(blocks, detail)
            drawn = (self._at_pitch(groups, low, *spread) for spread in SPREADS)
            fitting = (groups for groups in drawn if self._taller(groups, 0.0))
            best = min(fitting, key=_bends, default=None) if self.shared else next(fitting, None)
            if best:
                return self._tallest(self._with_more_detail(best, blocks, detail, low))
        return packed

    def _at_pitch(self, groups: list[Group], low: bool, share: float, wider: float) -> list[Group]:
        """The groups drawn at a share of the columns' pitch, so much wider against bends."""
        grid = replace(
            self.grid, pitch=self.grid.pitch * share, gap=self.grid.gap * share**5, wider=wider
        )
        return [self._redrawn(group, grid, low) for group in groups]

    def _set_detail(self, blocks: list[str], detail: int) -> None:
        self.elements |= {key: replace(self.elements[key], detail=detail) for key in blocks}

    def _with_more_detail(
        self, groups: list[Group], blocks: list[str], detail: int, low: bool
    ) -> list[Group]:
        """The groups with single blocks that say more than all of them may, if that fits."""
        for key in blocks:
            for more in range(most_detail(self.elements[key]), detail, -1):
                self._set_detail([key], more)
                tried = [
                    self._redrawn(g, g.grid, low) if key in g.footprints else g for g in groups
                ]
                if self._taller(tried, 0.0):
                    groups = tried
                    break
                self._set_detail([key], detail)
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
        tried = [replace(g, layout=heightened(g.layout, mm)) for g in groups]
        sizes = [(g.layout.width, g.layout.height) for g in tried]
        sheets = pack(sizes, ROOM_MM, BETWEEN_MM, self._first(groups))
        if len(sheets) > 1 or any(w > ROOM_MM[0] or h > ROOM_MM[1] for w, h in sizes):
            return []
        spots = spread(sizes, sheets[0], ROOM_MM, BETWEEN_MM, MOST_BETWEEN_MM)
        left = (ROOM_MM[0] - max(x + sizes[n][0] for n, x, _ in spots)) / 2
        return [Placed(tried[n], left + x, y) for n, x, y in spots]

    def _redrawn(self, group: Group, grid: Grid, low: bool) -> Group:
        footprints = {
            key: replace(footprint_of(self.elements[key], grid.pitch), spread=footprint.spread)
            if key in self.elements
            else footprint
            for key, footprint in group.footprints.items()
        }
        layout = self._laid(footprints, group.links, grid, low)
        return replace(group, footprints=footprints, layout=layout, grid=grid)
