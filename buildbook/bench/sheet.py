"""The build sheets of one harness, all steps together."""

from __future__ import annotations

from collections.abc import Mapping

from buildbook.bench.bench import Bench
from buildbook.bench.covering import dress_steps
from buildbook.bench.cutting import cut_list
from buildbook.bench.gathering import gather
from buildbook.bench.labels import labels
from buildbook.bench.model import BuildSheet
from buildbook.bench.splicing import caps, splice_steps
from buildbook.bench.terminating import crimps, termination_sheets
from buildbook.bench.testing import joined, neighbours
from buildbook.bench.timing import work
from buildbook.bench.weighing import mass
from buildbook.harness.dressing import Dressed
from buildbook.harness.model import Harness
from buildbook.sizing.model import Sizing
from buildbook.vehicle.model import Vehicle


def build_sheet(
    vehicle: Vehicle,
    harness: Harness,
    sizing: Sizing,
    dressed: Mapping[str, Dressed],
    name: str,
) -> BuildSheet:
    """Everything that a helper needs to build the harness `name`."""
    bench = Bench(vehicle, harness, sizing, dressed, name)
    cuts, splices, dressing = cut_list(bench), splice_steps(bench), dress_steps(bench)
    sheets, sets, capped = termination_sheets(bench), joined(bench), caps(bench)
    return BuildSheet(
        harness=name,
        datum=bench.datum,
        root=bench.root,
        gather=gather(bench),
        cuts=cuts,
        labels=labels(bench),
        splices=splices,
        dressing=dressing,
        terminations=sheets,
        caps=capped,
        joined=sets,
        neighbours=neighbours(bench, sets),
        mass=mass(bench),
        crimps=crimps(sheets, splices),
        work=work(bench, cuts, splices, dressing, sheets, sets, len(capped)),
    )
