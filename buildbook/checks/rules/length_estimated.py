"""Finds rope whose length is only estimated, and wires that no rope measures."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from buildbook.checks.model import PRACTICE, Finding
from buildbook.checks.places import is_wired
from buildbook.checks.stages import Assessed
from buildbook.description.move.lay import to_measure
from buildbook.figures import length
from buildbook.harness.model import SHORT
from buildbook.problem import Where
from buildbook.vehicle.model import Run
from buildbook.words.joined import few_of
from buildbook.words.say import say, say_n

RULE = "length-estimated"
SEVERITY = "note"
NOWHERE = Where("vehicle.yaml")
SOURCE = f"{PRACTICE}: measure with rope in the car before a wire is cut"


def check(assessed: Assessed) -> Iterator[Finding]:
    """Each estimated run that carries wire, or a harness of which none is measured; then, harness
    by harness, wires along no rope."""
    yield from _without_rope(assessed)
    share = assessed.vehicle.description.vehicle.lengths.estimated
    wired = [run for run in assessed.vehicle.runs if is_wired(assessed.harness, run.id)]
    moved = _of_moves(assessed)
    guessed = _not_measured_at_all([run for run in wired if _ends(run) not in moved])
    for name, runs in guessed.items():
        yield Finding(
            RULE,
            "note",
            name,
            say(
                "None of the {n} runs of harness {harness} is measured: their lengths are "
                "estimates, and wires are cut {percent:g} % longer.",
                n=len(runs),
                harness=name,
                percent=share * 100,
            ),
            say(
                "Lay rope in the vehicle, measure (`make --edition ropes`, then "
                "`measure`), and take `known: estimated` out."
            ),
            SOURCE,
            runs[0].where,
        )
    for run in wired:
        if run.estimated and (run.harness not in guessed or _ends(run) in moved):
            yield Finding(
                RULE,
                "note",
                run.id,
                say(
                    "The run from {from_point} to {to_point}, {length}, is only estimated; its "
                    "wires are cut {percent:g} % longer.",
                    from_point=run.from_point,
                    to_point=run.to_point,
                    length=length(run.length_m),
                    percent=share * 100,
                ),
                say(
                    "Measure it with the rope in the vehicle, and say its length as `measured` of "
                    "the move."
                )
                if _ends(run) in moved
                else say(
                    "Measure it with the rope in the vehicle, and take `known: estimated` out."
                ),
                SOURCE,
                run.where,
            )


def _of_moves(assessed: Assessed) -> set[tuple[str, str, str]]:
    """Runs that a variant leads to where it moves something."""
    positions = assessed.vehicle.positions
    return {(r.harness, r.from_, r.to) for r in to_measure(positions.tree)} if positions else set()


def _ends(run: Run) -> tuple[str, str, str]:
    return run.harness, run.from_point, run.to_point


def _not_measured_at_all(wired: Iterable[Run]) -> dict[str, list[Run]]:
    """Harnesses of several runs, every one an estimate, with these."""
    runs: dict[str, list[Run]] = {}
    for run in wired:
        runs.setdefault(run.harness, []).append(run)
    return {
        name: own for name, own in runs.items() if len(own) > 2 and all(r.estimated for r in own)
    }


def _without_rope(assessed: Assessed) -> Iterator[Finding]:
    """Their way is a guess: behind a panel, beside a battery, from a pin to a splice next to it."""
    wires = assessed.harness.wires.values()
    for name in dict.fromkeys(wire.harness for wire in wires):
        found = {
            wire.id: part.length_m
            for wire in wires
            if wire.harness == name
            for part in wire.addends
            if part.kind == SHORT
        }
        if found:
            ways = sorted(set(found.values()))
            yield Finding(
                RULE,
                "note",
                name,
                say_n(
                    "No rope measures {n} wire of harness {harness} between things at one place "
                    "({wires}): {ways} of way is taken for each, and drop, size and mass follow "
                    "from that.",
                    "No rope measures {n} wires of harness {harness} between things at one place "
                    "({wires}): {ways} of way is taken for each, and drop, size and mass follow "
                    "from that.",
                    len(found),
                    harness=name,
                    wires=few_of(sorted(found), 4),
                    ways=say(" or ").join(map(length, ways)),
                ),
                say(
                    "Measure them with a string, the main cables first, and write it as "
                    "the `way` of their circuit, or give two points of the rope where "
                    "things stand apart."
                ),
                SOURCE,
                next((r.where for r in assessed.vehicle.runs if r.harness == name), NOWHERE),
            )
