"""The build sheets of one harness, all steps together."""

from __future__ import annotations

from collections.abc import Mapping

from buildbook.bench.bare_mass import bare_mass
from buildbook.bench.bench_time import bench_time
from buildbook.bench.continuity import bench_nets
from buildbook.bench.cover_steps import cover_steps
from buildbook.bench.cut_list import cut_list
from buildbook.bench.labels import wire_labels
from buildbook.bench.laying_order import laying_orders
from buildbook.bench.model import BuildSheet
from buildbook.bench.on_bench import HarnessOnBench
from buildbook.bench.pick_list import every_need, pick_list
from buildbook.bench.rework import rework
from buildbook.bench.splice_steps import caps, splice_steps
from buildbook.bench.terminations import crimp_counts, termination_sheets
from buildbook.bench.tool_numbers import tool_numbers
from buildbook.harness.finishing import FinishedRun
from buildbook.harness.model import Harness
from buildbook.sizing.model import Sizing
from buildbook.vehicle.model import Vehicle


def build_sheet(
    vehicle: Vehicle,
    harness: Harness,
    sizing: Sizing,
    finished_runs: Mapping[str, FinishedRun],
    name: str,
) -> BuildSheet:
    """Everything that a helper needs to build the harness `name`."""
    bench = HarnessOnBench(vehicle, harness, sizing, finished_runs, name)
    cuts, splices, dressing = cut_list(bench), splice_steps(bench), cover_steps(bench)
    sheets, nets, capped = termination_sheets(bench), bench_nets(bench), caps(bench)
    every = every_need(bench)
    return BuildSheet(
        harness=name,
        datum=bench.datum,
        gather=pick_list(bench, every),
        tools=tool_numbers(every),
        cuts=cuts,
        labels=wire_labels(bench),
        laying=laying_orders(bench),
        splices=splices,
        dressing=dressing,
        terminations=sheets,
        caps=capped,
        nets=nets,
        mass=bare_mass(bench),
        crimps=crimp_counts(sheets, splices),
        work=bench_time(bench, cuts, splices, dressing, sheets, nets, len(capped)),
        rework=rework(bench),
    )
