"""The least copper with which every way keeps its drop, wires shared by several ways counted once.

Each wire takes one of its sizes, and along each way currents times resistances may not add up to
more than what is left to it. The continuous relaxation, in which sizes are mixed at will, gives
what no choice can go below; sizes are rounded from it, thinned, and exchanged for one another as
long as that saves copper.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from math import fsum
from typing import Any

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[Any]

STAYS = 0.03
"""Sizes of the round before stay where they keep every way, with no more copper than rounding
gives nor than this above what no choice can go below: so sizes come to rest."""
ROUNDING = 1e-9
"""Share of a drop that is no drop."""
HAIR = 1e-4
"""Share of a price that tells two wires apart that are alike: the noise of sums is far below."""
LEAST_MIXED = 1e-7
"""Share of a size in a mixture that is none."""


@dataclass(frozen=True)
class Stretch:
    """A wire that may be thickened: mm2 m of copper and ohms of each size, thinnest first."""

    wire: str
    copper: tuple[float, ...]
    ohms: tuple[float, ...]


@dataclass(frozen=True)
class Way:
    """Volts that the stretches of a way may lose together, and by wire the amps through each."""

    rest_v: float
    amps: Mapping[str, float]


@dataclass(frozen=True)
class _Cluster:
    """Stretches and ways that hang together: `shares` [way, stretch] of what is left, per ohm."""

    stretches: tuple[Stretch, ...]
    shares: Array

    def used(self, sizes: Sequence[int]) -> Array:
        """Share of its rest that each way loses."""
        ohms = [s.ohms[size] for s, size in zip(self.stretches, sizes, strict=True)]
        found: Array = self.shares @ np.array(ohms)
        return found

    def kept(self, sizes: Sequence[int]) -> bool:
        return bool((self.used(sizes) <= 1 + ROUNDING).all())

    def copper(self, sizes: Sequence[int]) -> float:
        return fsum(s.copper[size] for s, size in zip(self.stretches, sizes, strict=True))


def least_copper(
    stretches: Sequence[Stretch], ways: Sequence[Way], before: Mapping[str, int]
) -> dict[str, int]:
    """Place of a size for each stretch, so that every way is kept.

    `before` are places that stay where they do. With the thickest sizes every way has to be kept.
    No stretch of the result can be thinner by itself. Give both in an order that does not depend
    on the file's.
    """
    found = {s.wire: 0 for s in stretches}
    stretches = [_told_apart(s, n / len(stretches)) for n, s in enumerate(stretches)]
    for cluster in _clusters(stretches, ways):
        sizes = _chosen(cluster, [before.get(s.wire, 0) for s in cluster.stretches])
        found |= {s.wire: size for s, size in zip(cluster.stretches, sizes, strict=True)}
    return found


def _told_apart(stretch: Stretch, place: float) -> Stretch:
    """The stretch a hair dearer the later it stands, so that no two choices cost the same."""
    return replace(stretch, copper=tuple(c * (1 + HAIR * place) for c in stretch.copper))


def _clusters(stretches: Sequence[Stretch], ways: Sequence[Way]) -> list[_Cluster]:
    """Ways that the thinnest sizes do not keep, less those that another implies, in groups."""
    from scipy.sparse import csr_array
    from scipy.sparse.csgraph import connected_components

    place = {s.wire: n for n, s in enumerate(stretches)}
    shares = np.zeros((len(ways), len(stretches)))
    for row, way in enumerate(ways):
        for wire, amps in way.amps.items():
            shares[row, place[wire]] = amps / way.rest_v
    thinnest = np.array([s.ohms[0] for s in stretches])
    shares = _hardest(shares[shares @ thinnest > 1 + ROUNDING])
    touched = shares > 0
    joined = csr_array(touched.T.astype(float) @ touched.astype(float))
    count, group = connected_components(joined, directed=False)
    found = []
    for number in range(count):
        columns = np.flatnonzero((group == number) & touched.any(axis=0))
        if columns.size:
            rows = touched[:, columns].any(axis=1)
            found.append(
                _Cluster(tuple(stretches[int(c)] for c in columns), shares[np.ix_(rows, columns)])
            )
    return found


def _hardest(shares: Array) -> Array:
    """The rows that no other row is everywhere as hard as; of equal ones the first."""
    shares = np.unique(shares.round(12), axis=0)[::-1]
    left = []
    for row, share in enumerate(shares):
        harder = (shares >= share).all(axis=1)
        harder[row] = False
        if not harder.any():
            left.append(row)
    found: Array = shares[left]
    return found


def _chosen(cluster: _Cluster, before: Sequence[int]) -> list[int]:
    least, relaxed = _relaxed(cluster)
    rounded = _thinned(cluster, [max(sizes) for sizes in relaxed])
    stay = [min(size, len(s.ohms) - 1) for s, size in zip(cluster.stretches, before, strict=True)]
    most = min((1 + HAIR) * cluster.copper(rounded), (1 + STAYS) * least)
    if cluster.copper(stay) <= most and cluster.kept(stay) and _thinned(cluster, stay) == stay:
        return stay
    return _exchanged(cluster, rounded)


def _relaxed(cluster: _Cluster) -> tuple[float, list[list[int]]]:
    """The least copper of sizes mixed at will, and for each stretch the sizes that it mixes."""
    from scipy.optimize import linprog
    from scipy.sparse import coo_array

    columns = [(n, size) for n, s in enumerate(cluster.stretches) for size in range(len(s.ohms))]
    stretch = np.array([n for n, _ in columns])
    copper = np.array([cluster.stretches[n].copper[size] for n, size in columns])
    ohms = np.array([cluster.stretches[n].ohms[size] for n, size in columns])
    one_each = coo_array((np.ones(len(columns)), (stretch, np.arange(len(columns)))))
    found = linprog(
        copper,
        A_ub=cluster.shares[:, stretch] * ohms,
        b_ub=np.ones(len(cluster.shares)),
        A_eq=one_each.tocsr(),
        b_eq=np.ones(len(cluster.stretches)),
        method="highs-ds",
    )
    mixed: list[list[int]] = [[] for _ in cluster.stretches]
    for (n, size), share in zip(columns, found.x, strict=True):
        if share > LEAST_MIXED:
            mixed[n].append(size)
    return float(found.fun), mixed


class _Search:
    """Sizes of a cluster while they are thinned and exchanged."""

    def __init__(self, cluster: _Cluster) -> None:
        self.cluster = cluster
        most = max(len(s.ohms) for s in cluster.stretches)
        self.copper = np.full((len(cluster.stretches), most), np.inf)
        self.ohms = np.zeros_like(self.copper)
        for row, s in enumerate(cluster.stretches):
            self.copper[row, : len(s.copper)] = s.copper
            self.ohms[row, : len(s.ohms)] = s.ohms
        self.every = np.arange(len(cluster.stretches))
        self.last = np.array([len(s.ohms) - 1 for s in cluster.stretches])

    def total(self, sizes: Array) -> float:
        return float(self.copper[self.every, sizes].sum())

    def used(self, sizes: Array) -> Array:
        found: Array = self.cluster.shares @ self.ohms[self.every, sizes]
        return found

    def thinned(self, sizes: Array) -> Array:
        """Sizes of which none can be smaller by itself: what saves most copper goes first."""
        sizes, shares = sizes.copy(), self.cluster.shares
        while True:
            less = np.maximum(sizes - 1, 0)
            saved = self.copper[self.every, sizes] - self.copper[self.every, less]
            more = shares * (self.ohms[self.every, less] - self.ohms[self.every, sizes])
            able = (self.used(sizes)[:, None] + more <= 1 + ROUNDING).all(axis=0)
            saved = np.where(able, saved, 0.0).round(9)
            best = int(saved.argmax())
            if saved[best] <= 0:
                return sizes
            sizes[best] -= 1

    def thickened(self, sizes: Array, but: int) -> Array | None:
        """Sizes that keep every way, those first that give most for their copper; one stays."""
        sizes, shares = sizes.copy(), self.cluster.shares
        while True:
            short = np.maximum(self.used(sizes) - 1 - ROUNDING, 0.0)
            if not short.any():
                return sizes
            more = np.minimum(sizes + 1, self.last)
            cost = self.copper[self.every, more] - self.copper[self.every, sizes]
            gain = shares * (self.ohms[self.every, sizes] - self.ohms[self.every, more])
            worth = np.minimum(gain, short[:, None]).sum(axis=0)
            worth = np.where(cost > 0, worth / np.where(cost > 0, cost, 1.0), 0.0)
            worth[but] = 0.0
            best = int(worth.round(12).argmax())
            if worth[best] <= 0:
                return None
            sizes[best] += 1

    def exchanged(self, sizes: Array, n: int) -> Iterator[Array]:
        """Sizes with one thicker and others thinner for it, or that one thinner, others thicker."""
        if sizes[n] < self.last[n]:
            thicker = sizes.copy()
            thicker[n] += 1
            yield self.thinned(thicker)
        if sizes[n] > 0:
            thinner = sizes.copy()
            thinner[n] -= 1
            repaired = self.thickened(thinner, n)
            if repaired is not None:
                yield self.thinned(repaired)


def _thinned(cluster: _Cluster, sizes: Sequence[int]) -> list[int]:
    return [int(size) for size in _Search(cluster).thinned(np.array(sizes))]


def _exchanged(cluster: _Cluster, sizes: Sequence[int]) -> list[int]:
    """Sizes of which no exchange saves copper: stretches in turn, until none does."""
    search = _Search(cluster)
    best, turn, still = np.array(sizes), 0, 0
    while still < len(sizes):
        found = min(search.exchanged(best, turn), key=search.total, default=best)
        still += 1
        if search.total(found) < search.total(best) - ROUNDING:
            best, still = found, 0
        turn = (turn + 1) % len(sizes)
    return [int(size) for size in best]
