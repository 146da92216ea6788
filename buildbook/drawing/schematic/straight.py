"""Takes bends out of a layout: elements move along their rows until their links run straight."""

from __future__ import annotations

from bisect import bisect_left, insort
from collections import defaultdict
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

SAME_MM = 1e-6
ROUNDS = 4
"""Most times that all bends are looked at."""

SLACK_MM = 0.5
"""So much closer than they should may feet stand, or farther out to the left."""

Reach = tuple[float, float]
"""How far an element reaches left and right of its place, mm."""


@dataclass
class Foot:
    """Where a stretch of a link meets an element; `along` mm from the element's place."""

    element: str
    top: bool
    along: float


@dataclass
class Bridge:
    """The part of a link within one channel, between two rows or from a row back to it."""

    link: str
    channel: int
    a: Foot
    b: Foot


@dataclass(frozen=True)
class Room:
    """What limits the moves, mm."""

    gap: float
    """Between neighbours in a row."""
    clear: float
    """Between upright lines of two links in a channel."""
    pitch: float
    """Between feet along an edge of a spread element."""
    wider: float
    """So much wider may the whole become."""


def straighten(
    rows: Sequence[Sequence[str]],
    x: dict[str, float],
    reach: Mapping[str, Reach],
    bridges: Sequence[Bridge],
    spread: Collection[str],
    room: Room,
) -> None:
    """Changes places in `x` and `along` of feet, mm, so that there are fewer bends.

    The order along rows and edges is kept. An element moves by itself, or with all that it
    hangs on by straight links; a foot moves along the edge of a `spread` element.
    """
    search = _Straightening(rows, x, reach, bridges, spread, room)
    for _ in range(ROUNDS):
        if not search.round():
            break


class _Straightening:
    def __init__(
        self,
        rows: Sequence[Sequence[str]],
        x: dict[str, float],
        reach: Mapping[str, Reach],
        bridges: Sequence[Bridge],
        spread: Collection[str],
        room: Room,
    ) -> None:
        self.x, self.reach, self.bridges = x, dict(reach), bridges
        self.spread, self.room = spread, room
        self.beside = {
            key: (row[n - 1] if n else None, row[n + 1] if n + 1 < len(row) else None)
            for row in rows
            for n, key in enumerate(row)
        }
        self.width = room.wider + max(x[key] + reach[key][1] for row in rows for key in row)
        self.met: dict[str, list[Bridge]] = defaultdict(list)
        self.upright: dict[int, list[tuple[float, str]]] = defaultdict(list)
        for bridge in bridges:
            for element in dict.fromkeys((bridge.a.element, bridge.b.element)):
                self.met[element].append(bridge)
            for foot in (bridge.a, bridge.b):
                self.upright[bridge.channel].append((self._place(foot), bridge.link))
        for places in self.upright.values():
            places.sort()

    def round(self) -> bool:
        """Tries every bend once; True where one was taken out or made shorter."""
        moved = False
        for bridge in self.bridges:
            bend = self._bend(bridge)
            if abs(bend) > SAME_MM and bridge.a.element != bridge.b.element:
                moved |= self._is_bettered(bridge, bend)
        return moved

    def _is_bettered(self, bridge: Bridge, bend: float) -> bool:
        for foot, by in ((bridge.a, bend), (bridge.b, -bend)):
            if self._slid(bridge, foot, by):
                return True
            for keys in self._movable(foot.element, bridge, by):
                if self._have_room(keys, by) and self._try(keys, [], by):
                    return True
        return False

    def _place(self, foot: Foot) -> float:
        return self.x[foot.element] + foot.along

    def _bend(self, bridge: Bridge) -> float:
        return self._place(bridge.b) - self._place(bridge.a)

    def _is_straight(self, bridge: Bridge) -> bool:
        return abs(self._bend(bridge)) <= SAME_MM

    def _slid(self, bridge: Bridge, foot: Foot, by: float) -> bool:
        """Slides the far end of what is straight of a link along the edge that it stands on."""
        passed: set[str] = set()
        while foot.element not in passed and self._is_pass(foot.element):
            passed.add(foot.element)
            bridge = next(b for b in self.met[foot.element] if b is not bridge)
            if not self._is_straight(bridge):
                return False
            foot = bridge.b if bridge.a.element == foot.element else bridge.a
        if foot.element not in self.spread or not self._have_room(passed, by):
            return False
        over = [(b, f) for b, f in self._others(foot) if abs(f.along - foot.along) <= SAME_MM]
        sets = ([(bridge, foot)], [(bridge, foot), *over], self._shoved(bridge, foot, by))
        for slid in sets:
            moved = [f for _, f in slid]
            more = self._outwards(foot.element, moved, by)
            if self._may_slide(foot.element, moved, by, more) and self._try(passed, slid, by):
                left, right = self.reach[foot.element]
                self.reach[foot.element] = (left, right + more)
                return True
        return False

    def _shoved(self, bridge: Bridge, foot: Foot, by: float) -> list[tuple[Bridge, Foot]]:
        """The foot and those next to it that have to make room."""
        side = 1 if by > 0 else -1
        found, edge = [(bridge, foot)], foot.along
        beyond = [
            (side * (f.along - foot.along), b, f)
            for b, f in self._others(foot)
            if f.top == foot.top and side * (f.along - foot.along) > SAME_MM
        ]
        for _, other, f in sorted(beyond, key=lambda found: found[0]):
            if abs(f.along - edge) - abs(by) >= self.room.pitch - SLACK_MM:
                break
            found.append((other, f))
            edge = f.along
        return found

    def _others(self, foot: Foot) -> list[tuple[Bridge, Foot]]:
        return [
            (b, f)
            for b in self.met[foot.element]
            for f in (b.a, b.b)
            if f.element == foot.element and f is not foot
        ]

    def _is_pass(self, key: str) -> bool:
        """True where a link only goes through a row."""
        met = self.met[key]
        return len(met) == 2 and met[0].link == met[1].link

    def _feet(self, element: str) -> list[Foot]:
        return [f for b in self.met[element] for f in (b.a, b.b) if f.element == element]

    def _outwards(self, element: str, slid: list[Foot], by: float) -> float:
        """How much farther to the right an element reaches once feet have slid."""
        last = max(f.along for f in self._feet(element))
        return max(0.0, max(f.along + by for f in slid) - last)

    def _may_slide(self, element: str, slid: list[Foot], by: float, more: float) -> bool:
        """Whether feet stay in order and apart, and the last has room if it slides outwards.

        A foot stands right over one of the other edge, or well beside it.
        """
        feet = self._feet(element)
        still = [f for f in feet if all(f is not one for one in slid)]
        for one in slid:
            along = one.along + by
            for f in still:
                apart = abs(f.along - along)
                if f.top != one.top and SAME_MM < apart < self.room.pitch / 2:
                    return False
                in_order = (f.along < one.along) == (f.along < along)
                if f.top == one.top and (apart < self.room.pitch - SLACK_MM or not in_order):
                    return False
        leftmost = min(f.along for f in feet) - SLACK_MM
        if min(one.along + by for one in slid) < leftmost:
            return False
        return not more or self._has_room(element, more)

    def _movable(self, key: str, bridge: Bridge, by: float) -> Iterator[set[str]]:
        """The element alone; with what hangs on it by straight links; with what these push."""
        yield {key}
        together = self._together(key, bridge, 0.0)
        if len(together) > 1:
            yield together
        pushed = self._together(key, bridge, by)
        if len(pushed) > len(together):
            yield pushed

    def _together(self, key: str, bridge: Bridge, by: float) -> set[str]:
        """What straight links join to an element, and the neighbours that all these push.

        Nothing where a wall is in the way, or where both ends of the bridge would move.
        """
        found, queue = {key}, [key]
        while queue:
            one = queue.pop()
            near = {
                f.element
                for b in self.met[one]
                if b is not bridge and self._is_straight(b)
                for f in (b.a, b.b)
            }
            if by and not self._has_room(one, by):
                beside = self.beside[one][by > 0]
                if beside is None:
                    return set()
                near.add(beside)
            queue += near - found
            found |= near
            if bridge.a.element in found and bridge.b.element in found:
                return set()
        return found

    def _try(self, keys: set[str], slid: list[tuple[Bridge, Foot]], by: float) -> bool:
        """Moves elements and feet, and back again if it is no better or falls on another's line."""
        met = list({id(b): b for key in keys for b in self.met[key]}.values())
        feet = [(b, f) for b in met for f in (b.a, b.b) if f.element in keys] + slid
        met += [b for b, _ in slid if b not in met]
        before = self._cost(met)
        self._lift(feet)
        self._shift(keys, slid, by)
        if self._cost(met) < before and all(self._is_clear(*pair) for pair in feet):
            self._set(feet)
            return True
        self._shift(keys, slid, -by)
        self._set(feet)
        return False

    def _shift(self, keys: set[str], slid: list[tuple[Bridge, Foot]], by: float) -> None:
        for key in keys:
            self.x[key] += by
        for _, foot in slid:
            foot.along += by

    def _lift(self, feet: list[tuple[Bridge, Foot]]) -> None:
        for bridge, foot in feet:
            there, at = self.upright[bridge.channel], self._place(foot)
            first = bisect_left(there, (at - SAME_MM, ""))
            del there[next(n for n in range(first, len(there)) if there[n][1] == bridge.link)]

    def _set(self, feet: list[tuple[Bridge, Foot]]) -> None:
        for bridge, foot in feet:
            insort(self.upright[bridge.channel], (self._place(foot), bridge.link))

    def _cost(self, met: Iterable[Bridge]) -> tuple[int, float]:
        bends = [abs(bend) for b in met if abs(bend := self._bend(b)) > SAME_MM]
        return len(bends), round(sum(bends), 3)

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
                else self.x[after] - self.reach[after][0] - self.room.gap
            )
        before = self.beside[key][False]
        return x - left >= -SAME_MM + (
            0.0 if before is None else self.x[before] + self.reach[before][1] + self.room.gap
        )

    def _is_clear(self, bridge: Bridge, foot: Foot) -> bool:
        there, at = self.upright[bridge.channel], self._place(foot)
        first = bisect_left(there, (at - self.room.clear + SAME_MM, ""))
        last = bisect_left(there, (at + self.room.clear - SAME_MM, ""))
        return all(other == bridge.link for _, other in there[first:last])
