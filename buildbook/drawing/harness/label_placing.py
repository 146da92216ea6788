"""Labels placed beside what they name, with leaders that cross as little as can be."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from itertools import product

from buildbook.drawing.harness.plot import LEADER_GAP_MM, Plot
from buildbook.drawing.shared.box import Box
from buildbook.drawing.shared.canvas import GREY
from buildbook.drawing.shared.clear import Point, crosses, cuts
from buildbook.drawing.shared.lettering import text_width_mm

LINE_EM = 1.19
"""Distance between lines of a label over its letter size."""
ROUND_SYMBOL_MM = 0.8
"""Of the room that is kept round a symbol, what a leader from beside it may begin in."""
APART_MM = (0.9, 1.1)
"""Between two labels, beside and below each other: wider than a space and than the room between
the lines of one label, so that they do not read as one."""
ROUNDS, MOST_LACKING = 8, 4
"""Times that the labels of a sheet are placed, until no leader crosses anything, and times that
one may find no room."""
TURNS = 48
"""Directions in which a label is tried."""
RINGS, NEAR_RINGS, PLAIN_RINGS = 40, 2, 18
"""Rings of places round a mark, those at which its label needs no leader, and those looked at
for a leader that crosses nothing before one may cross a rope."""
Leader = tuple[Point, Point]


@dataclass(frozen=True, eq=False)
class Label:
    """Lines of lettering, and the places on paper that they may stand beside."""

    lines: tuple[str, ...]
    marks: tuple[Point, ...]
    bold: bool = False
    """Whether the first line is."""
    reach: float = 0.0
    """From a mark to the edge of its symbol, where a leader begins."""
    free: dict[int, list[tuple[Point, Box]]] = field(default_factory=dict)
    """Ring -> mark and box of every place clear of the drawing; filled as asked."""

    def size(self, text_mm: float) -> tuple[float, float]:
        wide = max(text_width_mm(t, text_mm, self.bold) for t in self.lines)
        return wide, 0.98 * text_mm + (len(self.lines) - 1) * LINE_EM * text_mm


@dataclass(frozen=True)
class PlacedLabel:
    """A label, where it stands, and its leader where it is far from its mark."""

    label: Label
    box: Box
    leader: Leader | None = None


@dataclass
class Labelling:
    """One try at placing the labels of a plot."""

    boxes: list[Box] = field(default_factory=list)
    """Labels and a little round them: no leader crosses them."""
    leaders: list[Leader] = field(default_factory=list)
    placed: list[PlacedLabel] = field(default_factory=list)
    poor: list[Label] = field(default_factory=list)
    """Labels whose leader crosses a line, and those that have no room."""

    def keep(self, placed: PlacedLabel) -> None:
        self.placed.append(placed)
        self.boxes.append(placed.box.grown(LEADER_GAP_MM))
        if placed.leader:
            self.leaders.append(placed.leader)


def label_all(plot: Plot, labels: Sequence[Label]) -> Labelling | None:
    """The labels placed with as few leaders across a line as were found; None without room.

    Labels that fared badly are placed first in the next round. Where some still do after all
    rounds, others begin: the largest, and those that came last.
    """
    best: Labelling | None = None
    for order in (labels, sorted(labels, key=lambda label: -len(label.lines)), labels[::-1]):
        tried = _label_in_rounds(plot, order)
        if tried and (best is None or len(tried.poor) < len(best.poor)):
            best = tried
        if best is None or not best.poor:
            break
    return best


def _label_in_rounds(plot: Plot, labels: Sequence[Label]) -> Labelling | None:
    """The best of some rounds that begin with an order."""
    best: Labelling | None = None
    lacking = 0
    for _ in range(ROUNDS):
        if lacking == MOST_LACKING:
            break
        tried = Labelling()
        if all(_place(plot, tried, label) for label in labels):
            if best is None or len(tried.poor) < len(best.poor):
                best = tried
            if not tried.poor:
                break
        else:
            lacking += 1
        labels = tried.poor + [label for label in labels if label not in tried.poor]
    return best


def label_most(plot: Plot, labels: Iterable[Label]) -> Labelling:
    """The labels placed in their order; those without room go first in the next of a few tries.

    What never finds room is left out, which the sheet says.
    """
    order = list(labels)
    best, lacking = Labelling(), order
    for _ in range(MOST_LACKING):
        tried = Labelling()
        left = [label for label in order if not _place(plot, tried, label)]
        if len(left) < len(lacking):
            best, lacking = tried, left
        if not left:
            break
        order = left + [label for label in order if label not in left]
    plot.canvas.left_out.extend(", ".join(label.lines) for label in lacking)
    return best


def _around(plot: Plot, label: Label, ring: int) -> Iterator[tuple[Point, Box]]:
    """Places on a ring round a label's marks."""
    wide, high = label.size(plot.text_mm)
    away = (1.4 + ring * 1.5) * plot.k
    for mark, turn in product(label.marks, range(TURNS)):
        angle = 2 * math.pi * turn / TURNS - 0.375 * math.pi
        x = mark[0] + math.cos(angle) * (away + wide / 2) - wide / 2
        y = mark[1] + math.sin(angle) * (away + high / 2) - high / 2
        yield mark, Box(x, y, wide, high)


def _free(plot: Plot, label: Label, ring: int) -> list[tuple[Point, Box]]:
    """Those places that are clear of all that is drawn but other labels."""
    if ring not in label.free:
        label.free[ring] = [
            (mark, box)
            for mark, box in _around(plot, label, ring)
            if plot.area.holds(box)
            and plot.canvas.is_free(box, 0.35)
            and not any(crosses(a, b, box.grown(half)) for a, b, half in plot.lines)
        ]
    return label.free[ring]


def _place(plot: Plot, labels: Labelling, label: Label) -> bool:
    """Puts a label at the nearest free place to one of its marks whose leader crosses no line,
    or, where there is none within reach, at the nearest free place; False where none is."""
    crossing = None
    for ring in range(RINGS):
        if crossing and ring >= PLAIN_RINGS:
            break
        for mark, box in _free(plot, label, ring):
            if not _fits(plot, labels, box):
                continue
            if ring <= NEAR_RINGS:
                labels.keep(PlacedLabel(label, box))
                return True
            leader = _leader(mark, box, label.reach)
            plain = _is_plain(plot, labels, leader)
            if (crossing and not plain) or not _leads_clear(plot, labels, leader, mark):
                continue
            if plain:
                labels.keep(PlacedLabel(label, box, leader))
                return True
            crossing = PlacedLabel(label, box, leader)
    labels.poor.append(label)
    if crossing:
        labels.keep(crossing)
    return crossing is not None


def _leader(mark: Point, box: Box, reach: float) -> Leader:
    """From the edge of a mark's symbol to the nearest place on a label's edge."""
    edge = box.grown(LEADER_GAP_MM)
    end = min(max(mark[0], edge.x), edge.right), min(max(mark[1], edge.y), edge.bottom)
    share = reach / math.dist(mark, end)
    return (mark[0] + (end[0] - mark[0]) * share, mark[1] + (end[1] - mark[1]) * share), end


def _fits(plot: Plot, labels: Labelling, box: Box) -> bool:
    """Whether a label keeps apart from the others and off their leaders."""
    aside, below = (mm * plot.k - LEADER_GAP_MM for mm in APART_MM)
    room = Box(box.x - aside, box.y - below, box.w + 2 * aside, box.h + 2 * below)
    if any(room.overlaps(other) for other in labels.boxes):
        return False
    clear = box.grown(LEADER_GAP_MM)
    return not any(crosses(*leader, clear) for leader in labels.leaders)


def _leads_clear(plot: Plot, labels: Labelling, leader: Leader, mark: Point) -> bool:
    """Whether a leader crosses no symbol, figure or label of another.

    It may begin in the room round a symbol that its mark is beside, but not go on through it.
    """
    own, at = Box(*leader[0], 0.0, 0.0), Box(*mark, 0.0, 0.0)

    def is_left(thing: Box) -> bool:
        core = thing.grown(-ROUND_SYMBOL_MM)
        return thing.holds(own) and (core.holds(at) or not crosses(*leader, core))

    return not any(crosses(*leader, thing) and not is_left(thing) for thing in plot.things) and (
        not any(
            crosses(*leader, box) and not box.holds(own) for box in (*plot.figures, *labels.boxes)
        )
    )


def _is_plain(plot: Plot, labels: Labelling, leader: Leader) -> bool:
    """Whether a leader crosses no rope, no other leader and not the board's edge."""
    return not any(cuts(*leader, a, b) for a, b, _ in plot.lines) and not any(
        cuts(*leader, *other) for other in labels.leaders
    )


def write_labels(plot: Plot, labels: Labelling) -> None:
    """The labels with their leaders."""
    size = plot.text_mm
    for placed in labels.placed:
        if placed.leader:
            plot.canvas.line(placed.leader, 0.18, GREY, class_="leader")
        for n, line in enumerate(placed.label.lines):
            bold = placed.label.bold and n == 0
            base = placed.box.y + 0.76 * size + n * LINE_EM * size
            plot.canvas.text(placed.box.x, base, line, size, bold=bold, halo=True)
