"""How long one harness takes a careful helper, from counts and rates."""

from __future__ import annotations

from math import fsum

from buildbook.bench.continuity import probings
from buildbook.bench.model import (
    BenchNet,
    CoverStep,
    CutRow,
    SpliceStep,
    TerminationSheet,
    WorkTime,
)
from buildbook.bench.on_bench import HarnessOnBench
from buildbook.parts.spares import LARGE_LUG_MM2
from buildbook.words.say import say

SET_UP, CUT, LABEL, LAY, SPLICE, CRIMP, LUG, PLUG, SLEEVE, CLAMP, CAP, PROBE = (
    30.0,
    0.75,
    1.0,
    1.0,
    5.0,
    2.0,
    4.0,
    4.0,
    6.0,
    2.0,
    2.0,
    0.5,
)
"""Minutes: a harness, a piece, a label printed and slid on, a metre of wire led and tied, a splice
with its shrink, a strip with crimp, tug and insertion, a lug from 10 mm2 with shrink, a plug
closed, a metre sleeved or taped with its ends, a clamp, a cap, a probing. Common practice of a
careful amateur, no source."""


def bench_time(
    bench: HarnessOnBench,
    cuts: tuple[CutRow, ...],
    splices: tuple[SpliceStep, ...],
    dressing: tuple[CoverStep, ...],
    sheets: tuple[TerminationSheet, ...],
    nets: tuple[BenchNet, ...],
    capped: int,
) -> tuple[WorkTime, ...]:
    """Each kind of work in build order; kinds that do not occur are left out."""
    ends = [row for sheet in sheets for row in sheet.rows]
    lugs = sum(bench.sizing.wires[row.wire.id].area_mm2 >= LARGE_LUG_MM2 for row in ends)
    covered = fsum(s.run.length_m for s in dressing if s.finished.cover != "none")
    rows = (
        WorkTime(say("set up the board, gather and check"), 1, say("harness"), SET_UP),
        WorkTime(say("cut"), len(cuts), say("pieces"), CUT),
        WorkTime(say("label"), 2 * len(bench.wires), say("labels"), LABEL),
        WorkTime(say("lead along the board and tie"), fsum(w.cut_m for w in bench.wires), "m", LAY),
        WorkTime(say("splice and shrink"), len(splices), say("splices"), SPLICE),
        WorkTime(say("cap"), capped, say("ends"), CAP),
        WorkTime(say("sleeve, tape or shrink"), covered, "m", SLEEVE),
        WorkTime(say("strip, crimp, tug, insert"), len(ends) - lugs, say("ends"), CRIMP),
        WorkTime(say("lugs from 10 mm2"), lugs, say("ends"), LUG),
        WorkTime(
            say("close and boot plugs"),
            sum(s.connector is not None for s in sheets),
            say("plugs"),
            PLUG,
        ),
        WorkTime(say("clamps"), sum(s.run.clamps for s in dressing), say("clamps"), CLAMP),
        WorkTime(say("test"), probings(nets), say("probings"), PROBE),
    )
    return tuple(row for row in rows if row.count)
