"""Ways to mend what makes no vehicle, tried: the hint is the one after which most does its work."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from itertools import islice, product

from buildbook.checks.joints import near_pins
from buildbook.checks.meant import SHORT_COUNTS, Meant, Wrong
from buildbook.checks.mends import mends_of
from buildbook.checks.standing import Bench
from buildbook.description.edited import Edit
from buildbook.problem import Problem
from buildbook.vehicle.model import Vehicle
from buildbook.words.say import ENGLISH, in_language

Rejoin = Callable[[tuple[Edit, ...]], Vehicle | None]
"""The vehicle with something written otherwise; None where that makes none."""
MOST_TRIED = 30
"""Combinations of ways, where several problems have several each."""
MOST_FURTHER = 3
"""Ways after which one change more is looked for, the best ones."""


@in_language(ENGLISH)  # like all that is said of a description that makes no vehicle
def with_tried_hints(problems: Sequence[Problem], rejoin: Rejoin) -> list[Problem]:
    """The problems, each with the way out of it that does best on the model as its hint.

    Only where every problem has ways to try: else no vehicle comes of it. Where some load is
    wrong after each of them, the one change that puts most of the rest right is added.
    """
    if not problems or not all(p.mends for p in problems):
        return list(problems)
    tried = [
        (len(wrong) + SHORT_COUNTS * shorts, ways, meant, wrong)
        for ways in islice(product(*(p.mends for p in problems)), MOST_TRIED)
        for vehicle in [rejoin(tuple(edit for _, edits in ways for edit in edits))]
        if vehicle is not None
        for meant in [Meant(Bench(vehicle))]
        for wrong, shorts, _ in [meant.wrong(vehicle.states)]
    ]
    if not tried:
        return list(problems)
    tried.sort(key=lambda row: row[0])
    least = tried[0][0]
    hints = [
        list(dict.fromkeys(ways[index][0] for left, ways, _, _ in tried if left == least))
        for index in range(len(problems))
    ]
    done = "then all works as written"
    if least:
        found = [_further(meant, wrong) for _, _, meant, wrong in tried[:MOST_FURTHER]]
        best = min(range(len(found)), key=lambda index: found[index][0])
        left, further = found[best]
        hints = [[says] for says, _ in tried[best][1]]
        hints[-1] = [f"{hints[-1][0]}, and {further}" if further else hints[-1][0]]
        done = done if not left else "then most works as written"
    return [
        replace(problem, hint=f"{'; or '.join(hint)} (tried on the model: {done})")
        for problem, hint in zip(problems, hints, strict=True)
    ]


def _further(meant: Meant, wrong: list[Wrong]) -> tuple[int, str]:
    """How much is left after the one change that then puts most right, and that change."""
    named = {w.load for w in wrong}
    loads = [load for d in meant.vehicle.devices.values() for load in d.loads if load.id in named]
    pins = [pin for load in loads for pin in (load.from_pin, load.to_pin)]
    answer = mends_of(meant, wrong, near_pins(meant.bench, pins))
    return answer.left, answer.mends[0].says if answer.mends else ""
