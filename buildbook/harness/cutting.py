"""How a routed circuit becomes wires: its ends, splices, numbers and lengths."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from buildbook.harness.lengths import addends
from buildbook.harness.model import End, Splice, Wire
from buildbook.harness.numbering import splice_ids, wire_ids
from buildbook.harness.pass_throughs import Given
from buildbook.harness.route import Piece, Rope
from buildbook.harness.splices import Star, place, stagger
from buildbook.vehicle.model import Circuit, Connector, Vehicle


@dataclass(frozen=True)
class Plan:
    """One piece of a circuit with its terminals, and its splices if it has any."""

    piece: Piece
    ends: tuple[End, ...]
    star: Star | None

    @property
    def wire_count(self) -> int:
        return len(self.ends) + len(self.star.links) if self.star else 1


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
    piece: Piece, circuit: str, given: Given, plugs: Mapping[str, Connector]
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
    vehicle: Vehicle, rope: Rope, circuit: Circuit, piece: Piece, ends: list[End]
) -> Plan:
    """Add the insulated end, and choose splice points where three or more ends meet."""
    if piece.cap_point:
        ends.append(End("capped", "", piece.cap_point))
    if len(ends) == 2:
        return Plan(piece, tuple(ends), None)
    pinned = circuit.written.splice_at
    points = [end.point for end in ends]
    if pinned and pinned not in rope.inside[piece.harness][points[0]][0]:
        pinned = None
    cable = vehicle.description.cables.get(circuit.cable)
    bus = cable is not None and cable.type == "twisted pair"
    star = place(vehicle, rope, piece.harness, piece.points, points, pinned, bus)
    return Plan(piece, tuple(ends), star)


def place_splices(
    vehicle: Vehicle, rope: Rope, plans: Mapping[str, list[Plan]]
) -> dict[str, list[Splice]]:
    """Number the splices of every circuit and set each apart from its neighbours."""
    spots = [
        (circuit, plan.piece.harness, point, frozenset(plan.piece.points))
        for circuit, made in plans.items()
        for plan in made
        if plan.star
        for point in plan.star.points
    ]
    marks = stagger(vehicle, rope, [spot[1:] for spot in spots])
    found: dict[str, list[Splice]] = {circuit: [] for circuit in plans}
    for (circuit, harness, point, _), (offset, run) in zip(spots, marks, strict=True):
        found[circuit].append(Splice("", circuit, harness, point, offset, (), run))
    for circuit, made in found.items():
        ids = splice_ids(vehicle.circuits[circuit].number, len(made)) if made else ()
        found[circuit] = [replace(s, id=id_) for s, id_ in zip(made, ids, strict=True)]
    return found


def cut_wires(
    vehicle: Vehicle,
    rope: Rope,
    circuit: Circuit,
    plans: list[Plan],
    splices: list[Splice],
) -> list[Wire]:
    """The wires of one circuit, numbered piece by piece in terminal order."""
    ids = iter(wire_ids(circuit.number, sum(plan.wire_count for plan in plans)))
    at = 0
    made = []
    for plan in plans:
        pairs: list[tuple[End, End]] = [(plan.ends[0], plan.ends[1])]
        own: list[Splice] = []
        if plan.star:
            own = splices[at : at + len(plan.star.points)]
            at += len(own)
            joints = [End("splice", splice.id, splice.point) for splice in own]
            pairs = [
                (end, joints[i]) for end, i in zip(plan.ends, plan.star.splice_of, strict=True)
            ]
            pairs += [(joints[a], joints[b]) for a, b in plan.star.links]
        for a, b in pairs:
            made.append(
                _wire(vehicle, rope, circuit, plan.piece.harness, next(ids), a, b,
                      {splice.id: splice for splice in own})
            )  # fmt: skip
    return made


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
        addends=addends(vehicle, harness, runs, points, a, b, circuit.cable, offset),
        colour="",
        family=_family(vehicle, circuit),
        cable=circuit.cable,
    )


def _family(vehicle: Vehicle, circuit: Circuit) -> str:
    """Wire family: the circuit's own, else the vehicle's; battery cable above 6 mm2."""
    if circuit.written.family:
        return circuit.written.family
    family = vehicle.description.vehicle.wire.family
    size = circuit.written.size
    return "battery" if size and size.area_mm2 > 6 and family.startswith("thin-wall") else family
