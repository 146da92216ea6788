"""A harness laid on its board at true length: where every point and run of rope lies."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import accumulate, pairwise

import numpy as np

from buildbook.drawing.harness.rope_tree import Tree, rope_tree
from buildbook.drawing.shared.box import Box
from buildbook.drawing.shared.clear import Point
from buildbook.harness.datum import datum_of, from_datum_mm
from buildbook.vehicle.model import Run

Paths = dict[tuple[str, str], tuple[Point, ...]]
"""(near point, far point) -> the line of the run between them."""
Move = tuple[str, float]
"""('go', mm straight on) or ('turn', degrees; positive turns clockwise on the sheet)."""

BEND_MM = 40.0
"""Radius of a bend round a peg; judgement, no source: four times a 10 mm trunk."""
ARC_STEP_DEG = 6.0
END_ROOM_MM = 60.0
"""Kept free beyond the tip of a branch for its connector."""
EDGE_MM = 20.0
"""Kept free along the edge of the board."""
ROW_MM = 160.0
"""Least distance between two rows of a folded trunk."""
CLEARANCES = ((45.0, 0.32), (30.0, 0.22), (20.0, 0.13), (12.0, 0.07))
"""(mm between runs, share of the rope between them where that is less), widest tried first."""
TRIES = 260
"""Places tried for the branches of one harness before runs are laid closer together."""
GROWTH, GROWTHS = 1.5, 4
"""A board that does not hold the harness is made larger so much each way, so many times."""
FAN_TRUNK = (90, 65, 115, 45, 135, 30, 150)
FAN_BRANCH = (0, 28, -28, 55, -55, 82, -82, 110, -110, 135, -135)
ELBOWS_MM = (70, 120, 190, 270, 360, 460)


@dataclass(frozen=True)
class Formboard:
    """A harness on its board, mm; y downwards."""

    board: Box
    wanted: Box
    """The board that the author has; smaller than `board` where the harness needs more."""
    places: dict[str, Point]
    """Point of the rope -> where it lies."""
    paths: dict[str, tuple[Point, ...]]
    """Run id -> its line on the board, from the run's first point to its second."""
    from_datum_mm: dict[str, float]
    """Point -> rope between it and the datum."""
    datum: str
    rows: int
    """Rows that the trunk lies in: 1 where it is straight."""

    @property
    def needs_more(self) -> bool:
        """True where the harness does not go on the author's board."""
        return self.board != self.wanted

    def extent(self) -> Box:
        """The smallest box round all runs."""
        xs = [x for path in self.paths.values() for x, _ in path]
        ys = [y for path in self.paths.values() for _, y in path]
        return Box(min(xs), min(ys), max(xs) - min(xs), max(ys) - min(ys))


def line_mm(path: Sequence[Point]) -> float:
    """Length of a line through points."""
    return math.fsum(math.dist(a, b) for a, b in pairwise(path))


def part_of(path: Sequence[Point], start_mm: float, end_mm: float) -> tuple[Point, ...]:
    """The part of a line between two distances along it."""
    marks = [0.0, *accumulate(math.dist(a, b) for a, b in pairwise(path))]
    inside = [p for p, at in zip(path, marks, strict=True) if start_mm < at < end_mm]
    return (along(path, start_mm)[0], *inside, along(path, end_mm)[0])


def along(path: Sequence[Point], mm: float) -> tuple[Point, float]:
    """The place at a distance along a line, and the heading there in degrees."""
    for a, b in pairwise(path):
        step = math.dist(a, b)
        if mm <= step + 1e-9 and step > 0:
            share = mm / step
            at = (a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1]))
            return at, math.degrees(math.atan2(b[1] - a[1], b[0] - a[0]))
        mm -= step
    a, b = path[-2], path[-1]
    return b, math.degrees(math.atan2(b[1] - a[1], b[0] - a[0]))


def walk(start: Point, heading: float, moves: Iterable[Move], total_mm: float) -> tuple[Point, ...]:
    """The line drawn by moves from a start, `total_mm` long; the last move goes on straight."""
    points, left = [start], total_mm
    for kind, amount in (*moves, ("go", math.inf)):
        steps = [(0.0, amount)]
        if kind == "turn":
            count = max(1, round(abs(amount) / ARC_STEP_DEG))
            chord = 2 * BEND_MM * math.sin(math.radians(abs(amount) / count / 2))
            steps = [(amount / count, chord)] * count
        for turn, length in steps:
            if left <= 1e-9:
                return tuple(points)
            heading += turn / 2
            step = min(length, left)
            x, y = points[-1]
            points.append(
                (
                    x + step * math.cos(math.radians(heading)),
                    y + step * math.sin(math.radians(heading)),
                )
            )
            left -= step
            heading += turn / 2
    return tuple(points)


def lay_on_board(runs: Sequence[Run], board: tuple[float, float]) -> Formboard:
    """Lay a harness on a board of (width, height) mm: branches fanned, a long trunk folded.

    Where no place is found the board grows; where that does not help either, every branch gets a
    wedge of its own, in which nothing can cross however large the board.
    """
    trees = (rope_tree(runs), rope_tree(runs, through=True))
    for growth in range(GROWTHS):
        factor = GROWTH**growth
        size = Box(0.0, 0.0, board[0] * factor, board[1] * factor)
        for tree in trees if trees[0].trunk != trees[1].trunk else trees[:1]:
            trunk = _trunk(tree, size)
            if trunk is None:
                continue
            for clear_mm, share in CLEARANCES:
                paths = _BranchPlacing(tree, size, trunk[0], clear_mm, share).paths()
                if paths is not None:
                    return _formboard(tree, size, board, paths, trunk[1])
    return _wedges(trees[0], board)


def _formboard(
    tree: Tree, size: Box, board: tuple[float, float], paths: Paths, rows: int
) -> Formboard:
    """The finished Formboard; `paths` is keyed (near point, far point)."""
    spots = {tree.trunk[0]: paths[tree.trunk[0], tree.trunk[1]][0]}
    lines: dict[str, tuple[Point, ...]] = {}
    for near, far in tree.outward():
        run, path = tree.runs[near, far], paths[near, far]
        spots[far] = path[-1]
        lines[run.id] = path if run.from_point == near else path[::-1]
    runs = tuple(tree.runs.values())
    wanted = Box(0.0, 0.0, *board)
    return Formboard(size, wanted, spots, lines, from_datum_mm(runs), datum_of(runs), rows)


def _trunk(tree: Tree, board: Box) -> tuple[tuple[Point, ...], int] | None:
    """The trunk's line on the board and its rows; None where its rows would lie too close."""
    total = math.fsum(tree.runs[pair].length_m * 1000 for pair in pairwise(tree.trunk))
    margin = EDGE_MM + END_ROOM_MM
    wide = board.w - 2 * margin
    if total <= wide:
        start = (board.x + (board.w - total) / 2, board.h / 2)
        return walk(start, 0.0, (), total), 1
    rows = 2
    while True:
        gap = board.h / rows
        if gap < max(ROW_MM, 2 * BEND_MM):
            return None
        if total <= rows * (wide - 2 * BEND_MM) + (rows - 1) * gap:
            break
        rows += 1
    moves: list[Move] = []
    for row in range(rows - 1):
        turn = 90.0 if row % 2 == 0 else -90.0
        level = wide - BEND_MM - (BEND_MM if row else 0.0)
        moves += [("go", level), ("turn", turn), ("go", gap - 2 * BEND_MM), ("turn", turn)]
    return walk((board.x + margin, gap / 2), 0.0, moves, total), rows


@dataclass
class _BranchPlacing:
    """One attempt at laying the branches, with the samples of rope that lie already."""

    tree: Tree
    board: Box
    trunk: tuple[Point, ...]
    clear_mm: float
    share: float

    def __post_init__(self) -> None:
        self.names = list(dict.fromkeys(p for pair in self.tree.runs for p in pair))
        self.index = {p: n for n, p in enumerate(self.names)}
        self.rope_mm = self._distances()
        self.step_mm = 0.7 * self.clear_mm
        self.tries = 0
        self.lying: Paths = {}
        self.samples: list[tuple[np.ndarray, np.ndarray]] = []
        """For each run laid: its samples' places, and their rope distance to every point."""

    def _distances(self) -> np.ndarray:
        """Rope in mm between every two points."""
        count = len(self.names)
        found = np.zeros((count, count))
        placed = [self.tree.trunk[0]]
        for near, far in self.tree.outward():
            length = self.tree.runs[near, far].length_m * 1000
            i, j = self.index[near], self.index[far]
            for other in placed:
                k = self.index[other]
                found[j, k] = found[k, j] = found[i, k] + length
            placed.append(far)
        return found

    def paths(self) -> Paths | None:
        """(near point, far point) -> line of every run; None where no place was found."""
        marks = [0.0]
        for near, far in pairwise(self.tree.trunk):
            marks.append(marks[-1] + self.tree.runs[near, far].length_m * 1000)
        for (near, far), (start, end) in zip(
            pairwise(self.tree.trunk), pairwise(marks), strict=True
        ):
            self._lay(near, far, part_of(self.trunk, start, end))
        branches = [pair for pair in self.tree.outward() if pair not in self.lying]
        return self.lying if self._place(branches, 0) else None

    def _place(self, branches: list[tuple[str, str]], n: int) -> bool:
        """Lay the branches from the n-th on, going back where one finds no place."""
        if n == len(branches):
            return True
        near, far = branches[n]
        for path in self._candidates(near, far, n):
            self.tries += 1
            if self.tries > TRIES:
                return False
            if self._clear(near, far, path):
                self._lay(near, far, path)
                if self._place(branches, n + 1):
                    return True
                self.lying.pop((near, far))
                self.samples.pop()
        return False

    def _candidates(self, near: str, far: str, n: int) -> Iterator[tuple[Point, ...]]:
        """Lines that a branch could take: straight, fanned; then bent once; then bent twice."""
        length = self.tree.runs[near, far].length_m * 1000
        start, heading = self._arrival(near)
        if near in self.tree.trunk:
            first = -1 if n % 2 == 0 else 1
            fan = [sign * angle for angle in FAN_TRUNK for sign in (first, -first)]
        else:
            fan = list(FAN_BRANCH)
        for angle in fan:
            yield walk(start, heading + angle, (), length)
        legs = [leg for leg in ELBOWS_MM if leg + 1.6 * BEND_MM < length]
        for turns in (1, 2):
            for angle in fan[:6]:
                for leg in legs:
                    for side in (90.0, -90.0):
                        moves: list[Move] = [("go", leg), ("turn", side)]
                        if turns == 2:
                            rest = length - leg - 4 * BEND_MM
                            moves += [("go", max(rest * 0.6, 0.0)), ("turn", side)]
                        yield walk(start, heading + angle, moves, length)

    def _arrival(self, point: str) -> tuple[Point, float]:
        """Where a point lies and the heading of the rope that comes to it."""
        for (near, far), path in self.lying.items():
            if far == point:
                return along(path, line_mm(path))
            if near == point and near == self.tree.trunk[0]:
                spot, heading = along(path, 0.0)
                return spot, heading + 180.0
        raise KeyError(point)

    def _sampled(self, near: str, far: str, path: tuple[Point, ...]) -> tuple[np.ndarray, ...]:
        """Samples along a line and beyond the tip of an end: places, and mm from `near`."""
        total = line_mm(path)
        count = max(2, math.ceil(total / self.step_mm) + 1)
        marks: list[float] = np.linspace(0.0, total, count).tolist()
        places = [along(path, mark)[0] for mark in marks]
        if not self.tree.onward(far) and far != self.tree.trunk[0]:
            tip, heading = along(path, total)
            u = (math.cos(math.radians(heading)), math.sin(math.radians(heading)))
            for beyond in np.arange(self.step_mm, END_ROOM_MM + self.step_mm, self.step_mm):
                places.append((tip[0] + beyond * u[0], tip[1] + beyond * u[1]))
                marks.append(total + float(beyond))
        return np.array(places), np.array(marks)

    def _lay(self, near: str, far: str, path: tuple[Point, ...]) -> None:
        """Put a run on the board."""
        places, marks = self._sampled(near, far, path)
        length = self.tree.runs[near, far].length_m * 1000
        by_near = self.rope_mm[self.index[near]][None, :] + marks[:, None]
        by_far = self.rope_mm[self.index[far]][None, :] + np.abs(length - marks)[:, None]
        self.lying[near, far] = path
        self.samples.append((places, np.minimum(by_near, by_far)))

    def _clear(self, near: str, far: str, path: tuple[Point, ...]) -> bool:
        """True where a line stays on the board and clear of all rope that lies already."""
        places, marks = self._sampled(near, far, path)
        inner = EDGE_MM
        low = (places.min(axis=0) < (self.board.x + inner, self.board.y + inner)).any()
        high = (places.max(axis=0) > (self.board.right - inner, self.board.bottom - inner)).any()
        if low or high:
            return False
        others = np.vstack([p for p, _ in self.samples])
        rope = np.concatenate([d[:, self.index[near]] for _, d in self.samples])
        apart = np.hypot(
            places[:, None, 0] - others[None, :, 0], places[:, None, 1] - others[None, :, 1]
        )
        need = np.minimum(self.clear_mm, self.share * (marks[:, None] + rope[None, :]))
        return bool((apart >= need - 1e-9).all())


def _wedges(tree: Tree, board: tuple[float, float]) -> Formboard:
    """Every branch straight within a wedge of its own, the wedges as wide as they hold ends.

    A wedge from a point inside another wedge, between the same directions, lies inside it: so
    no two runs cross, whatever their lengths.
    """
    paths: Paths = {}
    spots = {tree.trunk[0]: (0.0, 0.0)}
    wedge = {tree.trunk[0]: (-85.0, 85.0)}
    ends = {tree.trunk[0]: 0}
    for near, far in reversed(list(tree.outward())):
        ends[far] = ends.get(far, 0) or 1
        ends[near] = ends.get(near, 0) + ends[far]
    used: dict[str, float] = {}
    for near, far in tree.outward():
        low, high = wedge[near]
        begin = used.get(near, low)
        finish = begin + (high - low) * ends[far] / ends[near]
        used[near] = finish
        wedge[far] = (begin, finish)
        length = tree.runs[near, far].length_m * 1000
        paths[near, far] = walk(spots[near], (begin + finish) / 2, (), length)
        spots[far] = paths[near, far][-1]
    margin = EDGE_MM + END_ROOM_MM
    left, top = min(x for x, _ in spots.values()), min(y for _, y in spots.values())
    moved = {
        pair: tuple((x - left + margin, y - top + margin) for x, y in path)
        for pair, path in paths.items()
    }
    right = max(x for path in moved.values() for x, _ in path) + margin
    foot = max(y for path in moved.values() for _, y in path) + margin
    return _formboard(
        tree, Box(0.0, 0.0, max(right, board[0]), max(foot, board[1])), board, moved, 1
    )
