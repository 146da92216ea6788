"""The next measurement that tells suspects apart, until one or an alike few are left."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from buildbook.faultfinding.model import Step, Symptom

LEAST_GAP_V = 0.5
"""Readings closer than this are not told apart at the car. Our choice."""

TROUBLE_WEIGHT = 0.04
"""What a unit of trouble in reaching a place costs against an even split. Our choice."""


@dataclass(frozen=True)
class Places:
    """Nodes to probe, each in a state; readings are suspects x places, volts.

    Where something may stand at more than one level, `readings` are the lowest and `most` the
    highest of each suspect.
    """

    nodes: tuple[str, ...]
    states: tuple[str, ...]
    trouble: np.ndarray
    readings: np.ndarray
    least_gap_v: float = LEAST_GAP_V
    what: tuple[str, ...] = ()
    """'volts' at each where it is empty; of others `readings` are log2 of ohms."""
    others: tuple[str, ...] = ()
    """The second node of each reading in ohms."""
    most: np.ndarray | None = None

    @property
    def highest(self) -> np.ndarray:
        return self.readings if self.most is None else self.most


@dataclass(frozen=True)
class Split:
    column: int
    low: np.ndarray
    high: np.ndarray


def best_split(places: Places, rows: np.ndarray, weights: np.ndarray) -> Split | None:
    """Place and threshold that share the suspects' likelihood most evenly for the trouble.

    `rows` are the suspects still possible; None where no place tells any of them apart.
    """
    values, highest = places.readings[rows], places.highest[rows]
    apart = values.max(axis=0) - highest.min(axis=0)
    useful = np.flatnonzero(apart >= places.least_gap_v)
    if not len(useful):
        return None
    values = values[:, useful]
    order = np.argsort(values, axis=0, kind="stable")
    ranked = np.take_along_axis(values, order, axis=0)
    below_v = np.maximum.accumulate(np.take_along_axis(highest[:, useful], order, axis=0), axis=0)
    below = np.cumsum(weights[rows][order], axis=0)
    share = below[:-1] / below[-1]
    even = np.minimum(share, 1 - share)
    gaps = ranked[1:] - below_v[:-1]
    score = even - TROUBLE_WEIGHT * places.trouble[useful] + 1e-4 * gaps
    score = np.where(gaps >= places.least_gap_v, np.round(score, 9), -np.inf)
    if not np.isfinite(score).any():
        return None
    cut, column = np.unravel_index(int(np.argmax(score)), score.shape)
    low, high = order[: cut + 1, column], order[cut + 1 :, column]
    return Split(int(useful[column]), np.sort(rows[low]), np.sort(rows[high]))


def measure(
    suspects: Sequence[str], weights: np.ndarray, places: Places, parts: Sequence[str] = ()
) -> tuple[Step, ...]:
    """Return the steps, depth first, that part the suspects as far as readings can.

    `parts` names the part of each suspect: one that can be worse or less so is not parted from
    itself.
    """
    part_of = parts or suspects
    steps: list[Step] = []
    waiting = [np.arange(len(suspects))]
    while waiting:
        rows = waiting.pop()
        several = len({part_of[int(row)] for row in rows}) > 1
        split = best_split(places, rows, weights) if several else None
        if split is None:
            continue
        steps.append(_step(split, suspects, weights, places))
        waiting += [split.high, split.low]
    return tuple(steps)


def _step(split: Split, suspects: Sequence[str], weights: np.ndarray, places: Places) -> Step:
    """Expect the likeliest suspects' readings, where those lie on the right sides of half-way."""
    readings, highest = places.readings[:, split.column], places.highest[:, split.column]
    top, bottom = highest[split.low].max(), readings[split.high].min()
    low_v = highest[split.low[np.argmax(weights[split.low])]]
    high_v = readings[split.high[np.argmax(weights[split.high])]]
    middle, margin = (low_v + high_v) / 2, places.least_gap_v / 4
    if not top + margin <= middle <= bottom - margin:
        low_v, high_v = top, bottom
    what = places.what[split.column] if places.what else "volts"
    if what != "volts":
        low_v, high_v = 2.0**low_v, 2.0**high_v
    return Step(
        places.nodes[split.column],
        places.states[split.column],
        float(low_v),
        float(high_v),
        tuple(suspects[i] for i in split.low),
        tuple(suspects[i] for i in split.high),
        what,
        places.others[split.column] if places.others else "",
    )


def follow(symptom: Symptom, read: Callable[[str, str], float]) -> tuple[str, ...]:
    """Walk a symptom's steps with `read(node, state)` in volts; return the suspects left."""
    left = symptom.suspects
    for _ in symptom.steps:
        step = next((s for s in symptom.steps if {*s.low, *s.high} == {*left}), None)
        if step is None:
            break
        volts = read(step.node, step.state)
        left = step.low if abs(volts - step.low_v) <= abs(volts - step.high_v) else step.high
    return left
