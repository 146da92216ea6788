"""Takes bends out of a layout: elements move along their rows until their links run straight."""

from __future__ import annotations

from bisect import bisect_left, insort
from collections import defaultdict
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import fsum

SAME_MM = 1e-6
ROUNDS = 4
"""Most times that all bends are looked at: every move leaves a right drawing, so more than these
could only take out more bends."""

SLACK_MM = 0.5
"""So much closer than they should may ends stand, or farther out to the left."""

Reach = tuple[float, float]
"""How far an element reaches left and right of its place, mm."""


@dataclass
class MovableEnd:
    """Where a stretch of a link meets an element; `along` mm from the element's place."""

    element: str
    top: bool
    along: float


@dataclass
class MovableStretch:
    """The part of a link within one channel, between two rows or from a row back to it."""

    link: str
    channel: int
    a: MovableEnd
    b: MovableEnd


@dataclass(frozen=True)
class MoveLimits:
    """What limits the moves, mm."""

    gap: float
    """Between neighbours in a row."""
    clear: float
    """Between upright lines of two links in a channel."""
    pitch: float
    """Between ends along an edge of a spread element."""
    wider: float
    """So much wider may the whole become."""


def straighten(
    rows: Sequence[Sequence[str]],
    x: dict[str, float],
    reach: Mapping[str, Reach],
    stretches: Sequence[MovableStretch],
    spread: Collection[str],
    limits: MoveLimits,
) -> None:
    """Changes places in `x` and `along` of ends, mm, so that there are fewer bends.

    The order along rows and edges is kept. An element moves by itself, or with all that it
    hangs on by straight links; a end moves along the edge of a `spread` element.
    """
    search = _Straightening(rows, x, reach, stretches, spread, limits)
    for _ in range(ROUNDS):
        if not search.round():
            break


class _Straightening:
    def __init__(
        self,
        rows: Sequence[Sequence[str]],
        x: dict[str, float],
        reach: Mapping[str, Reach],
        stretches: Sequence[MovableStretch],
        spread: Collection[str],
        limits: MoveLimits,
    ) -> None:
        self.x, self.reach, self.stretches = x, dict(reach), stretches
        self.spread, self.limits = spread, limits
        self.beside = {
            key: (row[n - 1] if n else None, row[n + 1] if n + 1 < len(row) else None)
            for row in rows
            for n, key in enumerate(row)
        }
        self.width = limits.wider + max(x[key] + reach[key][1] for row in rows for key in row)
        self.met: dict[str, list[MovableStretch]] = defaultdict(list)
        self.upright: dict[int, list[tuple[float, str]]] = defaultdict(list)
        self.ends: dict[str, list[tuple[MovableStretch, MovableEnd]]] = defaultdict(list)
        self.joined: dict[str, frozenset[str]] = {}
        """Element -> what straight stretches join it to, as far as known since the last move that
        was kept: most are taken back."""
        for stretch in stretches:
            for element in dict.fromkeys((stretch.a.element, stretch.b.element)):
                self.met[element].append(stretch)
            for end in (stretch.a, stretch.b):
                self.ends[end.element].append((stretch, end))
                self.upright[stretch.channel].append((self._place(end), stretch.link))
        for places in self.upright.values():
            places.sort()

    def round(self) -> bool:
        """Tries every bend once; True where one was taken out or made shorter."""
        moved = False
        for stretch in self.stretches:
            bend = self._bend(stretch)
            if abs(bend) > SAME_MM and stretch.a.element != stretch.b.element:
                moved |= self._is_bettered(stretch, bend)
        return moved

    def _is_bettered(self, stretch: MovableStretch, bend: float) -> bool:
        for end, by in ((stretch.a, bend), (stretch.b, -bend)):
            if self._slid(stretch, end, by):
                return True
            for keys in self._movable(end.element, stretch, by):
                if self._have_room(keys, by) and self._try(keys, [], by):
                    return True
        return False

    def _place(self, end: MovableEnd) -> float:
        return self.x[end.element] + end.along

    def _bend(self, stretch: MovableStretch) -> float:
        a, b = stretch.a, stretch.b
        return (self.x[b.element] + b.along) - (self.x[a.element] + a.along)

    def _is_straight(self, stretch: MovableStretch) -> bool:
        return abs(self._bend(stretch)) <= SAME_MM

    def _slid(self, stretch: MovableStretch, end: MovableEnd, by: float) -> bool:
        """Slides the far end of what is straight of a link along the edge that it stands on."""
        passed: set[str] = set()
        while end.element not in passed and self._is_pass(end.element):
            passed.add(end.element)
            stretch = next(b for b in self.met[end.element] if b is not stretch)
            if not self._is_straight(stretch):
                return False
            end = stretch.b if stretch.a.element == end.element else stretch.a
        if end.element not in self.spread or not self._have_room(passed, by):
            return False
        over = [(b, f) for b, f in self._others(end) if abs(f.along - end.along) <= SAME_MM]
        sets = ([(stretch, end)], [(stretch, end), *over], self._shoved(stretch, end, by))
        for slid in sets:
            moved = [f for _, f in slid]
            more = self._outwards(end.element, moved, by)
            if self._may_slide(end.element, moved, by, more) and self._try(passed, slid, by):
                left, right = self.reach[end.element]
                self.reach[end.element] = (left, right + more)
                return True
        return False

    def _shoved(
        self, stretch: MovableStretch, end: MovableEnd, by: float
    ) -> list[tuple[MovableStretch, MovableEnd]]:
        """The end and those next to it that have to make room."""
        side = 1 if by > 0 else -1
        found, edge = [(stretch, end)], end.along
        beyond = [
            (side * (f.along - end.along), b, f)
            for b, f in self._others(end)
            if f.top == end.top and side * (f.along - end.along) > SAME_MM
        ]
        for _, other, f in sorted(beyond, key=lambda found: found[0]):
            if abs(f.along - edge) - abs(by) >= self.limits.pitch - SLACK_MM:
                break
            found.append((other, f))
            edge = f.along
        return found

    def _others(self, end: MovableEnd) -> list[tuple[MovableStretch, MovableEnd]]:
        return [(b, f) for b, f in self.ends[end.element] if f is not end]

    def _is_pass(self, key: str) -> bool:
        """True where a link only goes through a row."""
        met = self.met[key]
        return len(met) == 2 and met[0].link == met[1].link

    def _joined_to(self, element: str) -> frozenset[str]:
        """The element with all that straight stretches join to it."""
        if element not in self.joined:
            found, waiting = {element}, [element]
            while waiting:
                for stretch, end in self.ends[waiting.pop()]:
                    other = (stretch.b if end is stretch.a else stretch.a).element
                    if other not in found and self._is_straight(stretch):
                        found.add(other)
                        waiting.append(other)
            self.joined |= dict.fromkeys(found, frozenset(found))
        return self.joined[element]

    def _outwards(self, element: str, slid: list[MovableEnd], by: float) -> float:
        """How much farther to the right an element reaches once ends have slid."""
        last = max(f.along for _, f in self.ends[element])
        return max(0.0, max(f.along + by for f in slid) - last)

    def _may_slide(self, element: str, slid: list[MovableEnd], by: float, more: float) -> bool:
        """Whether ends stay in order and apart, and the last has room if it slides outwards.

        A end stands right over one of the other edge, or well beside it.
        """
        ends = [f for _, f in self.ends[element]]
        sliding = {id(one) for one in slid}
        still = [f for f in ends if id(f) not in sliding]
        for one in slid:
            along = one.along + by
            for f in still:
                apart = abs(f.along - along)
                if f.top != one.top and SAME_MM < apart < self.limits.pitch / 2:
                    return False
                in_order = (f.along < one.along) == (f.along < along)
                if f.top == one.top and (apart < self.limits.pitch - SLACK_MM or not in_order):
                    return False
        leftmost = min(f.along for f in ends) - SLACK_MM
        if min(one.along + by for one in slid) < leftmost:
            return False
        return not more or self._has_room(element, more)

    def _movable(self, key: str, stretch: MovableStretch, by: float) -> Iterator[set[str]]:
        """The element alone; with what hangs on it by straight links; with what these push."""
        yield {key}
        together = self._together(key, stretch, 0.0)
        if len(together) > 1:
            yield together
        pushed = self._together(key, stretch, by)
        if len(pushed) > len(together):
            yield pushed

    def _together(self, key: str, stretch: MovableStretch, by: float) -> set[str]:
        """What straight links join to an element, and the neighbours that all these push.

        Nothing where a wall is in the way, or where both ends of the stretch would move.
        """
        far = stretch.b.element if stretch.a.element == key else stretch.a.element
        found: set[str] = set()
        waiting = [key]
        while waiting:
            if (one := waiting.pop()) in found:
                continue
            joined = self._joined_to(one)
            if far in joined:
                return set()
            found |= joined
            for pushing in joined if by else ():
                if not self._has_room(pushing, by):
                    beside = self.beside[pushing][by > 0]
                    if beside is None:
                        return set()
                    waiting.append(beside)
        return found

    def _try(
        self, keys: set[str], slid: list[tuple[MovableStretch, MovableEnd]], by: float
    ) -> bool:
        """Moves elements and ends, and back again if it is no better or falls on another's line."""
        met = list({id(b): b for key in keys for b in self.met[key]}.values())
        ends = [(b, f) for b in met for f in (b.a, b.b) if f.element in keys] + slid
        met += [b for b, _ in slid if b not in met]
        before = self._cost(met)
        self._lift(ends)
        self._shift(keys, slid, by)
        if self._cost(met) < before and all(self._is_clear(*pair) for pair in ends):
            self._set(ends)
            self.joined.clear()
            return True
        self._shift(keys, slid, -by)
        self._set(ends)
        return False

    def _shift(
        self, keys: set[str], slid: list[tuple[MovableStretch, MovableEnd]], by: float
    ) -> None:
        for key in keys:
            self.x[key] += by
        for _, end in slid:
            end.along += by

    def _lift(self, ends: list[tuple[MovableStretch, MovableEnd]]) -> None:
        for stretch, end in ends:
            there, at = self.upright[stretch.channel], self._place(end)
            first = bisect_left(there, (at - SAME_MM, ""))
            del there[next(n for n in range(first, len(there)) if there[n][1] == stretch.link)]

    def _set(self, ends: list[tuple[MovableStretch, MovableEnd]]) -> None:
        for stretch, end in ends:
            insort(self.upright[stretch.channel], (self._place(end), stretch.link))

    def _cost(self, met: Iterable[MovableStretch]) -> tuple[int, float]:
        bends = [abs(bend) for b in met if abs(bend := self._bend(b)) > SAME_MM]
        return len(bends), round(fsum(bends), 3)

    def _have_room(self, keys: set[str], by: float) -> bool:
        return all(self.beside[key][by > 0] in keys or self._has_room(key, by) for key in keys)

    def _has_room(self, key: str, by: float) -> bool:
        """Whether an element may move while its neighbours stand still."""
        (left, right), x = self.reach[key], self.x[key] + by
        if by > 0:
            after = self.beside[key][True]
            return x + right <= SAME_MM + (
                self.width
                if after is None
                else self.x[after] - self.reach[after][0] - self.limits.gap
            )
        before = self.beside[key][False]
        return x - left >= -SAME_MM + (
            0.0 if before is None else self.x[before] + self.reach[before][1] + self.limits.gap
        )

    def _is_clear(self, stretch: MovableStretch, end: MovableEnd) -> bool:
        there, at = self.upright[stretch.channel], self._place(end)
        first = bisect_left(there, (at - self.limits.clear + SAME_MM, ""))
        last = bisect_left(there, (at + self.limits.clear - SAME_MM, ""))
        return all(other == stretch.link for _, other in there[first:last])
