"""How a routed circuit becomes wires: its ends, splices, numbers and lengths."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from itertools import islice

from buildbook.as_built.look_up import built_circuit, built_splices
from buildbook.as_built.model import BuiltSplice
from buildbook.harness.as_built import recorded_end, wire_as_built
from buildbook.harness.cut_length import addends
from buildbook.harness.model import End, Splice, Wire
from buildbook.harness.numbering import name_splices, name_wires
from buildbook.harness.pass_throughs import GivenContacts
from buildbook.harness.rope import Rope
from buildbook.harness.route import CircuitPiece
from buildbook.harness.splice_offsets import WantedSplice, stagger
from buildbook.harness.splices import Leg, SpliceTree, choose_splice_tree, kept_splice_tree
from buildbook.problem import Problem
from buildbook.vehicle.circuits import cable_family
from buildbook.vehicle.model import Circuit, Connector, Vehicle

LegKey = tuple[str, str, str]
"""Circuit, harness, and the pin, half or cap at the end."""


@dataclass(frozen=True)
class PlannedPiece:
    """One piece of a circuit with its terminals, and its splices if it has any."""

    piece: CircuitPiece
    ends: tuple[End, ...]
    tree: SpliceTree | None


def pin_ends(vehicle: Vehicle) -> dict[str, End]:
    """Wire end at each pin."""
    plug_of = {pin.id: plug.id for plug in vehicle.connectors.values() for pin in plug.pins}
    return {
        pin.id: End(
            kind="pin",
            node=pin.id,
            point=vehicle.devices[pin.device].point,
            connector="" if pin.stud else plug_of.get(pin.id, ""),
            cavity="" if pin.stud else pin.cavity,
            contact=pin.contact.id,
        )
        for pin in vehicle.pins.values()
    }


def half_ends(
    piece: CircuitPiece, circuit: str, given: GivenContacts, plugs: Mapping[str, Connector]
) -> list[End]:
    """Wire ends at the pass-through halves of one piece."""
    ends = []
    for device in piece.throughs:
        plug = plugs[f"{device}/{piece.harness}"]
        contact = {pin.cavity: pin.contact.id for pin in plug.pins}
        for cavity in given[device][circuit]:
            node = f"{device}.{cavity}/{piece.harness}"
            ends.append(End("half", node, plug.point, plug.id, cavity, contact[cavity]))
    return ends


def plan_piece(
    vehicle: Vehicle,
    rope: Rope,
    circuit: Circuit,
    piece: CircuitPiece,
    ends: list[End],
    known: Mapping[LegKey, Leg],
) -> PlannedPiece | Problem:
    """Add the insulated end, and choose splice points where three or more ends meet.

    `known` is what an earlier pass found of the wire to each end.
    """
    if piece.cap_point:
        ends.append(End("capped", "", piece.cap_point))
    if len(ends) == 2:
        return PlannedPiece(piece, tuple(ends), None)
    inside = rope.inside[piece.harness][ends[0].point][0]
    pinned = circuit.written.splice_at
    if pinned and pinned not in inside:
        pinned = None
    cable = vehicle.description.cables.get(circuit.cable)
    bus = cable is not None and cable.type == "twisted pair"
    legs = legs_known(ends, circuit.id, piece.harness, known)
    built = built_circuit(vehicle.as_built, circuit.id)
    splices = built_splices(built, piece.harness, inside, [recorded_end(end) for end in ends])
    tree = kept_splice_tree(
        vehicle, rope, piece.harness, legs, [s.at for s in splices.values()], pinned
    )
    tree = tree or choose_splice_tree(vehicle, rope, piece.harness, piece.points, legs, pinned, bus)
    if tree is None:
        return Problem(
            circuit.where,
            f"circuit '{circuit.id}' has to be spliced in {piece.harness}, and may be nowhere",
            f"'no splices' of {piece.harness} names every point of it",
            "allow one of its breakouts, or name a place with 'splice at'",
        )
    return PlannedPiece(piece, tuple(ends), tree)


def leg_key(circuit: str, harness: str, end: End) -> LegKey:
    """Name of an end that stays the same from pass to pass: a contact may change, not its plug."""
    if end.kind == "half":
        return circuit, harness, end.connector
    return circuit, harness, end.kind if end.kind in ("capped", "splice") else end.node


def wire_key(circuit: str, harness: str, a: End, b: End) -> LegKey:
    """Name of a wire from pass to pass: its end that is no splice, or the first of the two."""
    return leg_key(circuit, harness, b if a.kind == "splice" else a)


def legs_known(
    ends: list[End], circuit: str, harness: str, known: Mapping[LegKey, Leg]
) -> list[Leg]:
    """A leg for each end: as an earlier pass found it, or all alike where that knew not all."""
    found = [known.get(leg_key(circuit, harness, end)) for end in ends]
    return [
        replace(leg, point=end.point) if leg and all(found) else Leg(end.point)
        for leg, end in zip(found, ends, strict=True)
    ]


def place_splices(
    vehicle: Vehicle, rope: Rope, plans: Mapping[str, list[PlannedPiece]]
) -> dict[str, list[Splice]]:
    """Number the splices of every circuit and set each apart from its neighbours."""
    made: list[Splice] = []
    spots: list[WantedSplice] = []
    for id_, own in sorted(plans.items()):  # by name: a mark is no matter of the file's order
        built = built_circuit(vehicle.as_built, id_)
        placed = [(plan.piece, point) for plan in own if plan.tree for point in plan.tree.points]
        places = [(piece.harness, point) for piece, point in placed]
        names = name_splices(vehicle.circuits[id_], built, places)
        for name, (piece, point) in zip(names, placed, strict=True):
            made.append(Splice(name, id_, piece.harness, point, 0.0, ()))
            mark = kept_mark(rope, built.splices.get(name)) if built else None
            spots.append(WantedSplice(piece.harness, point, frozenset(piece.points), mark))
    found: dict[str, list[Splice]] = {circuit: [] for circuit in plans}
    for splice, (offset, run) in zip(made, stagger(vehicle, rope, spots), strict=True):
        found[splice.circuit].append(replace(splice, offset_m=offset, run=run))
    return found


def kept_mark(rope: Rope, built: BuiltSplice | None) -> tuple[float, str] | None:
    """Where a splice lies already; None where its run is gone or too short for that."""
    if built is None:
        return None
    run = rope.runs.get(built.run or "")
    if built.run and (run is None or built.offset > run.length_m):
        return None
    return built.offset, built.run or ""


def cut_wires(
    vehicle: Vehicle,
    rope: Rope,
    circuit: Circuit,
    plans: list[PlannedPiece],
    splices: list[Splice],
    parallel: Mapping[LegKey, int],
) -> list[Wire]:
    """The wires of one circuit, numbered piece by piece in terminal order.

    `parallel` says which need several conductors side by side: only between studs and splices,
    which take more than one.
    """
    by_id = {splice.id: splice for splice in splices}
    waiting = iter(splices)
    pairs: list[tuple[str, End, End]] = []
    for plan in plans:
        harness = plan.piece.harness
        if plan.tree is None:
            pairs.append((harness, plan.ends[0], plan.ends[1]))
            continue
        joints = [
            End("splice", splice.id, splice.point)
            for splice in islice(waiting, len(plan.tree.points))
        ]
        for end, at in zip(plan.ends, plan.tree.splice_of, strict=True):
            pairs.append((harness, end, joints[at]))
        pairs += [(harness, joints[a], joints[b]) for a, b in plan.tree.links]
    pairs = [
        pair
        for pair in pairs
        for _ in range(
            parallel.get(wire_key(circuit.id, *pair), 1)
            if all(_takes_several(vehicle, end) for end in pair[1:])
            else 1
        )
    ]
    built = built_circuit(vehicle.as_built, circuit.id)
    ids = name_wires(circuit, built, pairs)
    return [
        wire_as_built(_wire(vehicle, rope, circuit, harness, id_, a, b, by_id), built)
        for id_, (harness, a, b) in zip(ids, pairs, strict=True)
    ]


def _takes_several(vehicle: Vehicle, end: End) -> bool:
    return end.kind == "splice" or (end.kind == "pin" and vehicle.pins[end.node].stud)


def _wire(
    vehicle: Vehicle,
    rope: Rope,
    circuit: Circuit,
    harness: str,
    id_: str,
    a: End,
    b: End,
    splices: Mapping[str, Splice],
) -> Wire:
    a, b = (replace(end, node=f"{id_}.cap") if end.kind == "capped" else end for end in (a, b))
    points = rope.path(harness, a.point, b.point)
    runs = rope.runs_on(harness, points)
    offset = 0.0
    for end, beside in ((a, runs[:1]), (b, runs[-1:])):
        splice = splices.get(end.node)
        if splice and not (beside and beside[0].id == splice.run):
            offset += splice.offset_m
    return Wire(
        id=id_,
        circuit=circuit.id,
        harness=harness,
        a=a,
        b=b,
        runs=tuple(run.id for run in runs),
        points=points,
        addends=addends(
            vehicle, harness, runs, points, a, b, circuit.cable, offset, _way_m(circuit, a, b)
        ),
        colour="",
        family=_family(vehicle, circuit),
        cable=circuit.cable,
    )


def _way_m(circuit: Circuit, a: End, b: End) -> float | None:
    """What the author measured of a wire's way along no rope: its own, else its circuit's."""
    written = circuit.written
    own = [written.wires[end.node].way for end in (a, b) if end.node in written.wires]
    return next((way for way in (*own, written.way) if way is not None), None)


def _family(vehicle: Vehicle, circuit: Circuit) -> str:
    """Wire family: the circuit's own, its cable's, the vehicle's; battery cable above 6 mm2."""
    if circuit.written.family:
        return circuit.written.family
    if circuit.cable:
        return cable_family(vehicle.description.cables[circuit.cable], vehicle.description.vehicle)
    family = vehicle.description.vehicle.wire.family
    size = circuit.written.size
    return "battery" if size and size.area_mm2 > 6 and family.startswith("thin-wall") else family
