"""Tracks: at which height in its channel the level part of each link runs."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from buildbook.drawing.schematic.layout_model import (
    CLEAR_MM,
)

ROUNDS = 3
"""Most times that all tracks and links are tried; as with MOST_MOVED, crossings are at stake."""
MOST_MOVED = 30
"""Level lines of a channel up to which every one is tried on every track: the sum grows fast.

Spans that overlap never share a track, tried or not: this can cost crossings only."""
Numbers = NDArray[np.int_]
Span = tuple[float, float, str]
"""Left and right end of a link's level part in a channel, mm, and the link."""
Uprights = dict[str, list[tuple[float, bool]]]
"""Link -> x of its upright parts in a channel, and whether each comes from above."""


def left_edge_tracks(spans: list[Span]) -> dict[str, int]:
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


def _costs(spans: list[Span], uprights: Uprights) -> Numbers:
    """[m, n]: crossings of the links of two spans while the first one's level part is above.

    Then what comes down to the second crosses the first, and what comes up to the first the
    second.
    """
    costs = np.zeros((len(spans), len(spans)), dtype=int)
    for m, (x0, x1, one) in enumerate(spans):
        for n, (u0, u1, other) in enumerate(spans):
            if one != other:
                costs[m, n] = sum(x0 < x < x1 for x, from_above in uprights[other] if from_above)
                costs[m, n] += sum(u0 < x < u1 for x, from_above in uprights[one] if not from_above)
    return costs


def _crossings(costs: Numbers, tracks: Numbers) -> int:
    """How often the upright parts in a channel cross its level parts; a track for each span."""
    return int(costs[tracks[:, None] < tracks].sum())


def _overlapping(spans: list[Span]) -> NDArray[np.bool_]:
    """[m, n]: whether two spans may not share a track."""
    left, right = np.array([s[0] for s in spans]), np.array([s[1] for s in spans])
    return (left[:, None] < right + CLEAR_MM) & (left < right[:, None] + CLEAR_MM)


def _constrained_tracks(spans: list[Span], costs: Numbers) -> Numbers:
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


def fewest_crossings(spans: list[Span], uprights: Uprights, low: bool) -> dict[str, int]:
    """Tracks from two starts, or the one with fewest where it is to be low, then bettered."""
    given = left_edge_tracks(spans)
    costs = _costs(spans, uprights)
    starts = [np.array([given[id_] for _, _, id_ in spans])]
    if not low and _crossings(costs, starts[0]):
        starts.append(_constrained_tracks(spans, costs))
    found = [_bettered(spans, tracks, costs) for tracks in starts]
    tracks = min(found, key=lambda t: (_crossings(costs, t), int(t.max())))
    return {id_: int(track) for (_, _, id_), track in zip(spans, tracks, strict=True)}


def _bettered(spans: list[Span], tracks: Numbers, costs: Numbers) -> Numbers:
    """Whole tracks change places, and single links move, while that saves crossings."""
    best = _crossings(costs, tracks)
    for _ in range(ROUNDS):
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


def _moved(spans: list[Span], tracks: Numbers, costs: Numbers, best: int) -> tuple[Numbers, int]:
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
