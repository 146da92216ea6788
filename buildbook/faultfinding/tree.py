"""The next question that tells suspects apart, until one or an alike few are left."""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass

import numpy as np

from buildbook.faultfinding.costs import seconds
from buildbook.faultfinding.model import Step, Symptom

MOST_TRIED = 500_000
"""Readings of suspects that are ranked side by side: bounds the memory."""
LEAST_GAP_V = 0.5
"""Readings closer than this are not told apart at the car. Our choice."""

NO, YES = 0.0, 1.0
"""What is answered where no meter is asked."""


@dataclass(frozen=True)
class Questions:
    """Nodes to probe, each in a state; readings are suspects x questions, volts.

    Where something may stand at more than one level, `readings` are the lowest and `most` the
    highest of each suspect. Of a question without a meter they are `NO` or `YES`.
    """

    nodes: tuple[str, ...]
    states: tuple[str, ...]
    seconds: np.ndarray
    """What each takes, beside reading its line."""
    readings: np.ndarray
    least_gap_v: float = LEAST_GAP_V
    what: tuple[str, ...] = ()
    """'volts' at each where it is empty; of ohms `readings` are log2 of them."""
    others: tuple[str, ...] = ()
    """The second node of each reading in ohms, or what else `Step.other` tells."""
    most: np.ndarray | None = None

    @property
    def highest(self) -> np.ndarray:
        return self.readings if self.most is None else self.most

    def kind(self, column: int) -> str:
        return self.what[column] if self.what else "volts"

    def place(self, column: int) -> tuple[str, str, str]:
        """What nobody is asked twice: the pin in the state, by the way it is measured."""
        return self.nodes[column], self.states[column], self.kind(column)


@dataclass(frozen=True)
class Split:
    column: int
    low: np.ndarray
    high: np.ndarray


def best_split(
    questions: Questions, rows: np.ndarray, weights: np.ndarray, asked: Collection[int] = ()
) -> Split | None:
    """Question and threshold that tell most for each second, in bits of the suspects' likelihood.

    `rows` are the suspects still possible, `asked` the columns that were asked before. None where
    nothing tells any of them apart.
    """
    count = len(questions.nodes)
    few = max(1, MOST_TRIED // len(rows))
    blocks = [np.arange(first, min(first + few, count)) for first in range(0, count, few)]
    found = [_best_of(questions, rows, weights, [*asked], block) for block in blocks]
    tried = [one for one in found if one is not None]
    if not tried:
        return None
    _, cut, column, order = min(tried, key=lambda one: one[:3])
    return Split(column, np.sort(rows[order[: cut + 1]]), np.sort(rows[order[cut + 1 :]]))


def _best_of(
    questions: Questions,
    rows: np.ndarray,
    weights: np.ndarray,
    asked: Sequence[int],
    block: np.ndarray,
) -> tuple[float, int, int, np.ndarray] | None:
    """The best question of some columns: what it tells, less than 0 and the less the more, after
    how many of the suspects it parts them, its column, and the suspects in the order of it."""
    values, highest = (
        questions.readings[np.ix_(rows, block)],
        questions.highest[np.ix_(rows, block)],
    )
    apart = values.max(axis=0) - highest.min(axis=0)
    apart[np.isin(block, asked)] = -np.inf
    useful = np.flatnonzero(apart >= questions.least_gap_v)
    if not len(useful):
        return None
    values, highest, columns = values[:, useful], highest[:, useful], block[useful]
    order = np.argsort(values, axis=0, kind="stable")
    ranked = np.take_along_axis(values, order, axis=0)
    below_v = np.maximum.accumulate(np.take_along_axis(highest, order, axis=0), axis=0)
    below = np.cumsum(weights[rows][order], axis=0)
    gaps = ranked[1:] - below_v[:-1]
    score = _bits(below[:-1] / below[-1]) / (seconds("read") + questions.seconds[columns])
    score = score * (1 + 1e-4 * np.minimum(gaps, 10.0))
    score = np.where(gaps >= questions.least_gap_v, np.round(score, 12), -np.inf)
    if not np.isfinite(score).any():
        return None
    cut, column = np.unravel_index(int(np.argmax(score)), score.shape)
    return -float(score[cut, column]), int(cut), int(columns[column]), order[:, column]


def _bits(share: np.ndarray) -> np.ndarray:
    """What an answer tells of which of two groups it is (Shannon's entropy)."""
    sure = np.clip(share, 1e-12, 1 - 1e-12)
    bits: np.ndarray = -sure * np.log2(sure) - (1 - sure) * np.log2(1 - sure)
    return bits


def measure(
    suspects: Sequence[str], weights: np.ndarray, questions: Questions, parts: Sequence[str] = ()
) -> tuple[Step, ...]:
    """Return the steps, depth first, that part the suspects as far as answers can.

    `parts` names the part of each suspect: one that can be worse or less so is not parted from
    itself. No way through them meets a place twice in one state.
    """
    part_of = parts or suspects
    alike: dict[tuple[str, str, str], list[int]] = {}
    for column in range(len(questions.nodes)):
        alike.setdefault(questions.place(column), []).append(column)
    steps: list[Step] = []
    waiting: list[tuple[np.ndarray, tuple[int, ...]]] = [(np.arange(len(suspects)), ())]
    while waiting:
        rows, asked = waiting.pop()
        several = len({part_of[int(row)] for row in rows}) > 1
        split = best_split(questions, rows, weights, asked) if several else None
        if split is None:
            continue
        steps.append(step_of(split, suspects, weights, questions))
        asked = (*asked, *alike[questions.place(split.column)])
        waiting += [(split.high, asked), (split.low, asked)]
    return tuple(steps)


def step_of(
    split: Split, suspects: Sequence[str], weights: np.ndarray, questions: Questions
) -> Step:
    """Expect the likeliest suspects' readings, where those lie on the right sides of half-way."""
    column = split.column
    readings, highest = questions.readings[:, column], questions.highest[:, column]
    low_range = float(readings[split.low].min()), float(highest[split.low].max())
    high_range = float(readings[split.high].min()), float(highest[split.high].max())
    low_v = float(highest[split.low[np.argmax(weights[split.low])]])
    high_v = float(readings[split.high[np.argmax(weights[split.high])]])
    middle, margin = (low_v + high_v) / 2, questions.least_gap_v / 4
    if not low_range[1] + margin <= middle <= high_range[0] - margin:
        low_v, high_v = low_range[1], high_range[0]
    if "ohms" in questions.kind(column):
        low_v, high_v = 2.0**low_v, 2.0**high_v
        low_range, high_range = _ohms(low_range), _ohms(high_range)
    return Step(
        questions.nodes[column],
        questions.states[column],
        low_v,
        high_v,
        tuple(suspects[i] for i in split.low),
        tuple(suspects[i] for i in split.high),
        questions.kind(column),
        questions.others[column] if questions.others else "",
        low_range,
        high_range,
    )


def _ohms(decades: tuple[float, float]) -> tuple[float, float]:
    return 2.0 ** decades[0], 2.0 ** decades[1]


def follow(symptom: Symptom, read: Callable[[str, str], float]) -> tuple[str, ...]:
    """Walk a symptom's steps with `read(node, state)` in volts; return the suspects left."""
    left = symptom.suspects
    for _ in symptom.steps:
        step = next((s for s in symptom.steps if {*s.low, *s.high} == {*left}), None)
        if step is None:
            break
        left = step.leads(read(step.node, step.state))
    return left
