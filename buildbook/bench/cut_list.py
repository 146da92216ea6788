"""The cut list of one harness, sorted for cutting: type, colour, size, then longest first."""

from __future__ import annotations

from collections import defaultdict

from buildbook.bench.model import CutRow
from buildbook.bench.on_bench import HarnessOnBench
from buildbook.figures import whole_mm
from buildbook.harness.cables import named_pieces
from buildbook.harness.model import SHORT, Wire
from buildbook.words.say import mark

WORDS = {
    "rope": mark("rope"),
    "way": mark("way"),
    SHORT: mark("estimate"),
    "moving": mark("slack"),
    "estimated": mark("estimated"),
    "lay": mark("lay"),
    "pair": mark("twist"),
    "offset": mark("off mark"),
    "strip": mark("strip"),
    "crimp": mark("crimp"),
    "loop": mark("loop"),
    "cut back": mark("spare"),
    "cap": mark("cap"),
    "not fitted": mark("not fitted"),
    "cable": mark("as its cable"),
    "as built": mark("as built"),
}
"""Kind of an addend -> what the cut list calls it, said where it is printed."""


def cut_list(bench: HarnessOnBench) -> tuple[CutRow, ...]:
    """Every wire, and every length of cable as one piece."""
    rows = [_wire(bench, wire) for wire in bench.wires if not wire.cable]
    pieces = named_pieces(bench.harness.wires.values())
    rows += [
        _cable(bench, name, piece)
        for name, piece in pieces.items()
        if piece[0].harness == bench.name
    ]
    return tuple(sorted(rows, key=lambda row: _order(bench, row)))


def _order(bench: HarnessOnBench, row: CutRow) -> tuple[bool, str, str, float, int, str]:
    area = max(bench.sizing.wires[w.id].area_mm2 for w in row.wires)
    return not row.colour, row.family, row.colour, area, -row.cut_mm, row.name


def _wire(bench: HarnessOnBench, wire: Wire) -> CutRow:
    sized = bench.sizing.wires[wire.id]
    return CutRow(
        wire.id,
        (wire,),
        sized.family,
        wire.colour,
        sized.label,
        whole_mm(wire.cut_m),
        addends_mm(wire),
        wire.is_estimate,
    )


def _cable(bench: HarnessOnBench, name: str, cores: tuple[Wire, ...]) -> CutRow:
    """A length of cable is as long as its longest core."""
    longest = max(cores, key=lambda core: core.cut_m)
    kind = bench.vehicle.description.cables[longest.cable].type
    return CutRow(
        name,
        cores,
        kind,
        "",
        bench.size(cores[0]),
        whole_mm(longest.cut_m),
        addends_mm(longest),
        longest.is_estimate,
    )


def addends_mm(wire: Wire) -> tuple[tuple[str, float], ...]:
    """Every part of a cut length in tenths of a mm by kind, both ends added up."""
    parts: dict[str, float] = defaultdict(float)
    for part in wire.addends:
        parts[WORDS.get(part.kind, part.what)] += 1000 * part.length_m
    return tuple((what, round(length, 1)) for what, length in parts.items() if length > 0.05)
