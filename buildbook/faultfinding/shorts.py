"""Where a wire touches the body: ohms from each piece of harness, everything unplugged."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from math import fsum

from buildbook.electrical.faults import SHORT_OHMS
from buildbook.faultfinding.access import probe_places
from buildbook.faultfinding.bolted import TELLS_OHM, ohms_to_body, pieces_of_nodes
from buildbook.faultfinding.costs import seconds
from buildbook.faultfinding.faults import likelihood
from buildbook.faultfinding.model import Fault, Step
from buildbook.harness.model import Harness
from buildbook.vehicle.model import Vehicle


def _of_wires(harness: Harness, piece: Mapping[str, str]) -> dict[str, str]:
    """Wire -> the piece it belongs to, by the pieces of nodes."""
    return {name: piece[wire.a.node] for name, wire in harness.wires.items()}


def measure_ohms(vehicle: Vehicle, harness: Harness, suspects: Sequence[Fault]) -> tuple[Step, ...]:
    """Piece by piece, likeliest first, until one is left; what joins within stays together.

    So do the pieces that what is bolted to them joins to the body as well as a wire would.
    """
    of_nodes = pieces_of_nodes(vehicle, harness)
    piece_of, well = _of_wires(harness, of_nodes), ohms_to_body(vehicle, of_nodes)
    places = probe_places(vehicle, harness)
    groups: dict[str, list[Fault]] = {}
    for fault in suspects:
        groups.setdefault(piece_of[fault.branch.partition(":")[2]], []).append(fault)
    probe = {piece: _probe(harness, piece, piece_of, places) for piece in groups}
    order = sorted(
        groups, key=lambda p: (-fsum(likelihood(f) for f in groups[p]), places[probe[p]], probe[p])
    )
    order.sort(key=lambda piece: well[piece] < TELLS_OHM)
    told = [piece for piece in order[:-1] if well[piece] >= TELLS_OHM]
    steps = []
    for place, piece in enumerate(told):
        low = tuple(fault.id for fault in groups[piece])
        high = tuple(fault.id for later in order[place + 1 :] for fault in groups[later])
        node = probe[piece]
        steps.append(Step(node, "off", SHORT_OHMS, well[piece], low, high, "ohms"))
    return tuple(steps)


def part_shorts(
    vehicle: Vehicle, harness: Harness, suspects: Sequence[Fault], steps: Sequence[Step]
) -> tuple[Step, ...]:
    """Steps with ohms to the body behind those that leave a short and something else together.

    Volts do not tell a wire on the body from a driver that does not switch off.
    """
    by_id = {fault.id: fault for fault in suspects}
    parted = {frozenset((*step.low, *step.high)) for step in steps}
    ends = [tuple(by_id), *(left for step in steps for left in (step.low, step.high))]
    more: list[Step] = []
    for left in ends:
        shorts = [by_id[f] for f in left if by_id[f].mode == "short"]
        if shorts and len(left) > 1 and frozenset(left) not in parted:
            others = [f for f in left if by_id[f].mode != "short"]
            more += _peeled(vehicle, harness, shorts, others)
    return (*steps, *more)


def _peeled(
    vehicle: Vehicle, harness: Harness, shorts: Sequence[Fault], others: Sequence[str]
) -> list[Step]:
    """Piece by piece of the shorts, the others being what is left where none is on the body."""
    found = list(measure_ohms(vehicle, harness, shorts))
    last = found[-1].high if found else tuple(short.id for short in shorts)
    found = [replace(step, high=(*step.high, *others)) for step in found]
    if not others:
        return found
    of_nodes = pieces_of_nodes(vehicle, harness)
    piece_of = _of_wires(harness, of_nodes)
    of_last = {piece_of[short.partition(":")[2]] for short in last}
    piece = min(of_last)
    well_ohm = ohms_to_body(vehicle, of_nodes)[piece]
    if len(of_last) == 1 and well_ohm >= TELLS_OHM:
        node = _probe(harness, piece, piece_of, probe_places(vehicle, harness))
        found.append(Step(node, "off", SHORT_OHMS, well_ohm, last, tuple(others), "ohms"))
    return found


def _probe(harness: Harness, piece: str, piece_of: dict[str, str], places: dict[str, float]) -> str:
    """The easiest end of the piece; a stud before a cut-open splice."""
    nodes = [
        end.node
        for name, wire in harness.wires.items()
        if piece_of[name] == piece
        for end in (wire.a, wire.b)
    ]
    return min(nodes, key=lambda n: (places.setdefault(n, 2 * seconds("splice")), n))
