"""The splices of one harness in the order of making: along the board from the datum outwards."""

from __future__ import annotations

from dataclasses import replace

from buildbook.bench.model import SpliceStep
from buildbook.bench.on_bench import HarnessOnBench
from buildbook.harness.bundles import bundle_diameter_mm
from buildbook.harness.joints import Joint
from buildbook.harness.model import End, Splice, Wire
from buildbook.parts.cover_needs import SPLICE_SHRINK_M, over_joint, shrink_size, size_words
from buildbook.sizing.finished_runs import joints_of


def splice_steps(bench: HarnessOnBench) -> tuple[SpliceStep, ...]:
    own = {id_: s for id_, s in bench.harness.splices.items() if s.harness == bench.name}
    made = joints_of(bench.vehicle, replace(bench.harness, splices=own), bench.sizing)
    steps = [_step(bench, splice, made[splice.id]) for splice in own.values()]
    return tuple(sorted(steps, key=lambda step: (step.from_datum_mm, step.splice.id)))


def _step(bench: HarnessOnBench, splice: Splice, joint: Joint) -> SpliceStep:
    wires = [bench.harness.wires[w] for w in splice.wires]
    around = bundle_diameter_mm([bench.conductor(w).outside_mm for w in wires])
    run = next((r for r in bench.runs if r.id == splice.run), None)
    towards = ""
    if run and splice.offset_m:
        towards = run.to_point if run.from_point == splice.point else run.from_point
    away = bench.from_datum_mm[splice.point]
    off = abs(1000 * splice.offset_m)
    if towards:
        away += off if bench.from_datum_mm[towards] > away else -off
    shrink, shrink_m = over_joint(joint, around)
    return SpliceStep(
        splice,
        away,
        towards,
        tuple((w, bench.size(w), _comes_from(splice, w)) for w in wires),
        joint,
        size_words(shrink),
        round(1000 * shrink_m),
    )


def _comes_from(splice: Splice, wire: Wire) -> str:
    """The next point on a wire's way from the splice; the splice's own where it stays there."""
    points = wire.points if wire.a.node == splice.id else wire.points[::-1]
    return next((p for p in points if p != splice.point), splice.point)


def caps(bench: HarnessOnBench) -> tuple[tuple[Wire, End, str, int], ...]:
    """Insulated ends with the heat-shrink that closes each, and its length in mm."""
    return tuple(
        (
            wire,
            end,
            size_words(shrink_size(bench.conductor(wire).outside_mm)),
            round(1000 * SPLICE_SHRINK_M),
        )
        for wire in bench.wires
        for end in (wire.a, wire.b)
        if end.kind == "capped"
    )
