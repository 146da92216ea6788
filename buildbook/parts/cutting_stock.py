"""Cuts pieces from lengths: owned offcuts first, then the fewest new reels."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import ceil, fsum

KERF_M = 0.002
"""Lost at every cut, squaring the end. Bench practice, no source."""

EXACT_PIECES = 20
"""Up to here the search is never cut short, so that the plan is the best there is."""

MOST_STEPS = 4_000
"""Steps of the search beyond; after them the best plan found is taken, and says so."""

HAIR_M = 1e-9


@dataclass(frozen=True)
class CuttingPattern:
    """What is cut from one length: places in the list of pieces, longest first."""

    length_m: float
    owned: bool
    pieces: tuple[int, ...]
    left_m: float


@dataclass(frozen=True)
class Cutting:
    """What is cut from every length that is used."""

    patterns: tuple[CuttingPattern, ...]
    fewest: bool
    """Whether no cutting takes fewer new reels; False where the search ended before it knew."""


def best_cutting(
    pieces_m: Sequence[float],
    reel_m: float,
    owned_m: Sequence[float] = (),
    kerf_m: float = KERF_M,
) -> Cutting | None:
    """Cut every piece from owned lengths and new reels, taking the fewest new reels.

    None where a piece is longer than every length. Owned lengths are filled first, shortest
    first, so that what is left over is new and long. A piece takes its length and one kerf;
    the last piece of a length needs none. Worked out exactly for `EXACT_PIECES` pieces and
    fewer; beyond, never more reels than first-fit decreasing takes.
    """
    # With one kerf more in every length, each piece costs its length and one kerf.
    size = [piece + kerf_m for piece in pieces_m]
    order = sorted(range(len(size)), key=lambda n: (-size[n], n))
    room = [length + kerf_m for length in sorted(owned_m)]
    search = _Search([size[n] for n in order], room, reel_m + kerf_m)
    found = search.best()
    if found is None:
        return None
    lengths = [(length, True) for length in sorted(owned_m)]
    lengths += [(reel_m, False)] * (len(found) - len(lengths))
    patterns = tuple(
        CuttingPattern(
            length,
            owned,
            tuple(order[k] for k in held),
            _left_over(length, [pieces_m[order[k]] for k in held], kerf_m),
        )
        for (length, owned), held in zip(lengths, found, strict=True)
        if held
    )
    return Cutting(patterns, search.proves(found))


def reels_by_halves(sizes: Sequence[float], reel: float) -> int:
    """Lower bound that counts pieces over half a reel, which never share one.

    Bound L2 of Martello and Toth, Knapsack Problems (1990), section 8.3.3 (from memory).
    """
    most = 0
    for least in {x for x in sizes if x <= reel / 2} | {0.0}:
        alone = sum(x > reel - least + HAIR_M for x in sizes)
        halves = [x for x in sizes if reel / 2 + HAIR_M < x <= reel - least + HAIR_M]
        small = fsum(x for x in sizes if least - HAIR_M <= x <= reel / 2 + HAIR_M)
        beside = len(halves) * reel - fsum(halves)
        most = max(most, alone + len(halves) + max(0, ceil((small - beside) / reel - HAIR_M)))
    return most


def first_fit(
    sizes: Sequence[float], rooms: Sequence[float], reel: float
) -> list[list[int]] | None:
    """First-fit decreasing: each piece, longest first, into the first length that takes it."""
    left = list(rooms)
    held: list[list[int]] = [[] for _ in rooms]
    for n, size in enumerate(sizes):
        place = next((k for k, room in enumerate(left) if size <= room + HAIR_M), None)
        if place is None:
            if size > reel + HAIR_M:
                return None
            left.append(reel)
            held.append([])
            place = len(left) - 1
        left[place] -= size
        held[place].append(n)
    return held


def _left_over(length_m: float, pieces_m: Sequence[float], kerf_m: float) -> float:
    """Length left on a reel in m; 0 where the last piece ends within a kerf of its end."""
    return max(0.0, length_m - fsum(pieces_m) - kerf_m * len(pieces_m))


class _Search:
    """Fills one length after the other with sets that no further piece fits into."""

    def __init__(self, sizes: list[float], rooms: list[float], reel: float) -> None:
        self.sizes, self.rooms, self.reel = sizes, rooms, reel
        self.steps = 0
        self.limit = MOST_STEPS if len(sizes) > EXACT_PIECES else None
        self.found = first_fit(sizes, rooms, reel)
        self.seen: set[tuple[int, tuple[int, ...]]] = set()
        self.cut_short = False

    def best(self) -> list[list[int]] | None:
        """Pieces by length, owned lengths first; None where they cannot all be cut."""
        if not self.sizes or (self.found is not None and len(self.found) == len(self.rooms)):
            return self.found
        self._fill(tuple(range(len(self.sizes))), [])
        return self.found

    def proves(self, found: list[list[int]]) -> bool:
        """Whether every other way was looked at, or none can take fewer lengths."""
        if not self.cut_short:
            return True
        return len(found) <= len(self.rooms) + self._bound(tuple(range(len(self.sizes))), 0)

    def _bound(self, left: tuple[int, ...], next_room: int) -> int:
        """New reels that the pieces left take at least."""
        rooms = self.rooms[next_room:]
        sizes = [self.sizes[n] for n in left]
        length = max(0, ceil((fsum(sizes) - fsum(rooms)) / self.reel - HAIR_M))
        largest = max(rooms, default=0.0)
        return max(length, reels_by_halves([x for x in sizes if x > largest + HAIR_M], self.reel))

    def _fill(self, left: tuple[int, ...], held: list[list[int]]) -> None:
        """Improve on the best plan with the lengths held so far and the pieces left."""
        place = len(held)
        if not left:
            if self.found is None or place < len(self.found):
                self.found = held + [[] for _ in self.rooms[place:]]
            return
        used = max(place, len(self.rooms))
        if self.found is not None and used + self._bound(left, place) >= len(self.found):
            return
        if (place, left) in self.seen:
            return
        self.seen.add((place, left))
        owned = place < len(self.rooms)
        room = self.rooms[place] if owned else self.reel
        for chosen in self._full_sets(left, room, owned):
            taken = set(chosen)
            self._fill(tuple(n for n in left if n not in taken), [*held, list(chosen)])

    def _full_sets(
        self, left: tuple[int, ...], room: float, owned: bool
    ) -> Iterator[tuple[int, ...]]:
        """Sets of pieces that leave no room for another, fullest search order first.

        A new reel always holds the longest piece left: some reel has to. Of pieces that are
        equally long only the first free one is tried.
        """
        if owned:
            yield from self._sets(left, 0, room, ())
        elif self.sizes[left[0]] <= room + HAIR_M:
            yield from self._sets(left, 1, room - self.sizes[left[0]], (left[0],))

    def _sets(
        self, left: tuple[int, ...], start: int, room: float, chosen: tuple[int, ...]
    ) -> Iterator[tuple[int, ...]]:
        """Extend `chosen`, which leaves `room`, with pieces from `start` on."""
        self.steps += 1
        last = None
        for k in range(start, len(left)):
            if self.limit is not None and self.steps > self.limit:
                self.cut_short = True
                return
            size = self.sizes[left[k]]
            if size > room + HAIR_M or size == last:
                continue
            last = size
            yield from self._sets(left, k + 1, room - size, (*chosen, left[k]))
        if not self._is_outdone(left, room, chosen):
            yield chosen

    def _is_outdone(self, left: tuple[int, ...], room: float, chosen: tuple[int, ...]) -> bool:
        """Whether a piece still fits, or fits in place of a shorter one that was chosen.

        Then the same plan with the longer piece here and the shorter one in its place is as
        good (dominance of Martello and Toth, Knapsack Problems (1990), 8.4, from memory).
        """
        taken = set(chosen)
        free = sorted(self.sizes[n] for n in left if n not in taken)
        if free and free[0] <= room + HAIR_M:
            return True
        for n in chosen:
            longer = bisect_right(free, self.sizes[n] + HAIR_M)
            if longer < len(free) and free[longer] <= self.sizes[n] + room:
                return True
        return False
