"""How long one harness takes a careful helper, from counts and rates."""

from __future__ import annotations

from buildbook.bench.bench import Bench
from buildbook.bench.model import CutRow, DressStep, Joined, SpliceStep, TerminationSheet, Work
from buildbook.parts.spares import LARGE_LUG_MM2

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


def work(
    bench: Bench,
    cuts: tuple[CutRow, ...],
    splices: tuple[SpliceStep, ...],
    dressing: tuple[DressStep, ...],
    sheets: tuple[TerminationSheet, ...],
    sets: tuple[Joined, ...],
    capped: int,
) -> tuple[Work, ...]:
    """Each kind of work in build order; kinds that do not occur are left out."""
    ends = [row for sheet in sheets for row in sheet.rows]
    lugs = sum(bench.sizing.wires[row.wire.id].area_mm2 >= LARGE_LUG_MM2 for row in ends)
    covered = sum(s.run.length_m for s in dressing if s.dressed.cover != "none")
    rows = (
        Work("set up the board, gather and check", 1, "harness", SET_UP),
        Work("cut", len(cuts), "pieces", CUT),
        Work("label", 2 * len(bench.wires), "labels", LABEL),
        Work("lead along the board and tie", sum(w.cut_m for w in bench.wires), "m", LAY),
        Work("splice and shrink", len(splices), "splices", SPLICE),
        Work("cap", capped, "ends", CAP),
        Work("sleeve, tape or shrink", covered, "m", SLEEVE),
        Work("strip, crimp, tug, insert", len(ends) - lugs, "ends", CRIMP),
        Work("lugs from 10 mm2", lugs, "ends", LUG),
        Work("close and boot plugs", sum(s.connector is not None for s in sheets), "plugs", PLUG),
        Work("clamps", sum(s.run.clamps for s in dressing), "clamps", CLAMP),
        Work("test", sum(len(j.ends) for j in sets), "probings", PROBE),
    )
    return tuple(row for row in rows if row.count)
