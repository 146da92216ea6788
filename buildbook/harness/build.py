"""The harness as built: every wire, splice, pass-through contact and bundle of a vehicle."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from buildbook.catalogue.load import contact_families
from buildbook.harness.bundles import bundles
from buildbook.harness.colours import choose_colours
from buildbook.harness.lengths import addends
from buildbook.harness.model import End, Harness, PassPin, Splice, Wire
from buildbook.harness.numbering import splice_ids, wire_ids
from buildbook.harness.pass_throughs import Demand, allocate, full, halves
from buildbook.harness.route import Piece, Rope, Route, find_route, lay_rope
from buildbook.harness.splices import Star, place, stagger
from buildbook.problem import Problem
from buildbook.vehicle.model import Circuit, Connector, Vehicle

Given = dict[str, dict[str, tuple[str, ...]]]
"""Pass-through -> circuit -> cavities."""


@dataclass(frozen=True)
class _Plan:
    """One piece of a circuit with its terminals, and its splices if it has any."""

    piece: Piece
    ends: tuple[End, ...]
    star: Star | None

    @property
    def wire_count(self) -> int:
        return len(self.ends) + len(self.star.links) if self.star else 1


def build_harness(
    vehicle: Vehicle, current_a: Mapping[str, float] | None = None
) -> tuple[Harness | None, list[Problem]]:
    """Cut every circuit into wires; or say what stands in the way.

    `current_a` is the largest current of each circuit id in A from an earlier pass; without it
    every circuit takes one contact of a pass-through.
    """
    rope = lay_rope(vehicle)
    routes, problems = _route_all(vehicle, rope)
    if problems:
        return None, problems
    given, problems = _give_contacts(vehicle, rope, routes, current_a or {})
    problems = problems or _check_pinned(vehicle, rope, routes, given)
    if problems:
        return None, sorted(problems)
    return _assemble(vehicle, rope, routes, given), []


def _in_order(vehicle: Vehicle) -> list[Circuit]:
    return sorted(vehicle.circuits.values(), key=lambda c: (c.number, c.id))


def _cap_point(vehicle: Vehicle, rope: Rope, circuit: Circuit) -> str:
    """Point where a circuit ends insulated, or ''.

    A screen with one pin is insulated where its cable's cores are furthest from that pin, so
    that no current runs along it.
    """
    if circuit.written.capped_at:
        return circuit.written.capped_at
    if not circuit.is_screen or len(circuit.pins) > 1:
        return ""
    home = vehicle.devices[circuit.pins[0].device].point
    cores = vehicle.description.cables[circuit.cable].cores
    points = [
        vehicle.devices[pin.device].point
        for core in cores
        if core in vehicle.circuits
        for pin in vehicle.circuits[core].pins
    ]

    def far(point: str) -> float:
        states = [s for s in rope.ways if getattr(s, "point", "") == point]
        reach = [rope.ways[s][0] for s in states]
        return min((d for r in reach for n, d in r.items() if getattr(n, "point", "") == home),
                   default=-1.0)  # fmt: skip

    return max(points, key=far, default="")


def _route_all(vehicle: Vehicle, rope: Rope) -> tuple[dict[str, Route], list[Problem]]:
    routes: dict[str, Route] = {}
    problems: list[Problem] = []
    for circuit in _in_order(vehicle):
        missing = _off_the_rope(vehicle, rope, circuit)
        cap = "" if missing else _cap_point(vehicle, rope, circuit)
        if missing:
            problems += missing
        elif len(circuit.pins) + bool(cap) < 2:
            problems.append(
                Problem(
                    circuit.where,
                    f"circuit '{circuit.id}' has one pin and no other end",
                    "a wire has two ends",
                    "join another pin, or name where it ends insulated with 'capped at'",
                )
            )
        else:
            closed = _closed_by_author(vehicle, circuit)
            route = find_route(vehicle, rope, circuit, cap, closed)
            if route:
                routes[circuit.id] = route
            else:
                problems.append(_no_path(circuit))
    return routes, problems


def _off_the_rope(vehicle: Vehicle, rope: Rope, circuit: Circuit) -> list[Problem]:
    points = {pin.id: vehicle.devices[pin.device].point for pin in circuit.pins}
    if circuit.written.capped_at:
        points["capped at"] = circuit.written.capped_at
    return [
        Problem(
            circuit.where,
            f"circuit '{circuit.id}' has no path to {end}: no rope reaches point '{point}'",
            "a wire can only be measured along rope",
            f"add a run to '{point}' to a harness, or place the device at a point on the rope",
        )
        for end, point in points.items()
        if point not in rope.harnesses_at
    ]


def _no_path(circuit: Circuit) -> Problem:
    pins = ", ".join(pin.id for pin in circuit.pins)
    fixed = f" from harness '{circuit.written.harness}'" if circuit.written.harness else ""
    return Problem(
        circuit.where,
        f"circuit '{circuit.id}' has no path{fixed} that joins {pins}",
        "its pins are on rope that is nowhere joined, or the pass-throughs between are full",
        "join the harnesses with a pass-through at a point that both reach, or add the run",
    )


def _closed_by_author(vehicle: Vehicle, circuit: Circuit) -> frozenset[str]:
    """Pass-throughs that a circuit may not use because the author fixed it in their twin."""
    mine = [p for p in vehicle.pass_throughs if circuit.id in p.fixed.values()]
    pairs = {frozenset(p.harnesses) for p in mine}
    return frozenset(
        p.device for p in vehicle.pass_throughs if p not in mine and frozenset(p.harnesses) in pairs
    )


def _give_contacts(
    vehicle: Vehicle, rope: Rope, routes: dict[str, Route], current_a: Mapping[str, float]
) -> tuple[Given, list[Problem]]:
    """Give out the contacts of every pass-through; `routes` changes where one is full."""
    contacts = contact_families()
    closed = {c.id: _closed_by_author(vehicle, c) for c in vehicle.circuits.values()}
    problems: list[Problem] = []
    while True:
        given: Given = {}
        moved = False
        problems = []
        for through in vehicle.pass_throughs:
            demands = [
                Demand(vehicle.circuits[id_], abs(current_a.get(id_, 0.0)))
                for id_, route in routes.items()
                if through.device in route.throughs
            ]
            given[through.device], left = allocate(through, demands, contacts)
            for demand in left:
                circuit = demand.circuit
                closed[circuit.id] |= {through.device}
                cap = _cap_point(vehicle, rope, circuit)
                other = find_route(vehicle, rope, circuit, cap, closed[circuit.id])
                if other:
                    routes[circuit.id] = other
                    moved = True
                else:
                    problems.append(full(through, demand))
        if problems or not moved:
            return given, problems


def _check_pinned(
    vehicle: Vehicle, rope: Rope, routes: Mapping[str, Route], given: Given
) -> list[Problem]:
    """Contacts and splice points that the author fixed where the circuit does not come."""
    problems = []
    for through in vehicle.pass_throughs:
        for cavity, id_ in through.fixed.items():
            if id_ in routes and through.device not in routes[id_].throughs:
                problems.append(
                    Problem(
                        through.where,
                        f"'{through.device}' carries circuit '{id_}' in {cavity}, "
                        "but the circuit does not cross there",
                        "its pins are all on one side, or another way was nearer",
                        "remove it from 'carries', or check where its devices are",
                    )
                )
    for id_, route in routes.items():
        circuit = vehicle.circuits[id_]
        if circuit.written.splice_at:
            problems += _check_splice(rope, circuit, route, given)
    return problems


def _end_count(piece: Piece, circuit: str, given: Given) -> int:
    crossing = sum(len(given[device][circuit]) for device in piece.throughs)
    return len(piece.pins) + bool(piece.cap_point) + crossing


def _check_splice(rope: Rope, circuit: Circuit, route: Route, given: Given) -> list[Problem]:
    """Whether the author's splice point lies where three or more ends of the circuit meet."""
    wanted = circuit.written.splice_at or ""
    reached = {piece.harness for piece in route.pieces}
    here = [p for p in route.pieces if p.harness in rope.harnesses_at.get(wanted, ())]
    if not here:
        why = "none of the harnesses that it runs in reaches that point"
        hint = f"name a point of {', '.join(sorted(reached))}"
    elif max(_end_count(piece, circuit.id, given) for piece in here) < 3:
        why = f"it has only two ends in {here[0].harness}, so one wire joins them"
        hint = "take 'splice at' out, or name a point where three of its ends meet"
    else:
        return []
    what = f"circuit '{circuit.id}' cannot be spliced at '{wanted}'"
    return [Problem(circuit.where, what, why, hint)]


def _pin_ends(vehicle: Vehicle) -> dict[str, End]:
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


def _half_ends(piece: Piece, circuit: str, given: Given, plugs: Mapping[str, Connector]) -> list:
    """Wire ends at the pass-through halves of one piece."""
    ends = []
    for device in piece.throughs:
        plug = plugs[f"{device}/{piece.harness}"]
        contact = {pin.cavity: pin.contact.id for pin in plug.pins}
        for cavity in given[device][circuit]:
            node = f"{device}.{cavity}/{piece.harness}"
            ends.append(End("half", node, plug.point, plug.id, cavity, contact[cavity]))
    return ends


def _plan(vehicle: Vehicle, rope: Rope, circuit: Circuit, piece: Piece, ends: list[End]) -> _Plan:
    if piece.cap_point:
        ends.append(End("capped", "", piece.cap_point))
    if len(ends) == 2:
        return _Plan(piece, tuple(ends), None)
    pinned = circuit.written.splice_at
    points = [end.point for end in ends]
    if pinned and pinned not in rope.inside[piece.harness][points[0]][0]:
        pinned = None
    cable = vehicle.description.cables.get(circuit.cable)
    bus = cable is not None and cable.type == "twisted pair"
    star = place(vehicle, rope, piece.harness, piece.points, points, pinned, bus)
    return _Plan(piece, tuple(ends), star)


def _assemble(vehicle: Vehicle, rope: Rope, routes: Mapping[str, Route], given: Given) -> Harness:
    contacts = contact_families()
    plugs = dict(vehicle.connectors)
    for through in vehicle.pass_throughs:
        made = halves(vehicle, through, given[through.device], contacts)
        plugs.update({plug.id: plug for plug in made})
    pin_ends = _pin_ends(vehicle)
    plans: dict[str, list[_Plan]] = {}
    for circuit in _in_order(vehicle):
        plans[circuit.id] = []
        for piece in routes[circuit.id].pieces:
            ends = [pin_ends[pin] for pin in piece.pins]
            ends += _half_ends(piece, circuit.id, given, plugs)
            plans[circuit.id].append(_plan(vehicle, rope, circuit, piece, ends))
    splices = _splices(vehicle, rope, plans)
    colours = choose_colours(vehicle, _in_connectors(vehicle, given), _on_panels(vehicle))
    wires: dict[str, Wire] = {}
    for circuit in _in_order(vehicle):
        for wire in _wires(vehicle, rope, circuit, plans[circuit.id], splices[circuit.id]):
            wires[wire.id] = replace(wire, colour=colours[circuit.id])
    wire_at: dict[str, tuple[str, ...]] = {}
    for wire in wires.values():
        for end in (wire.a, wire.b):
            wire_at[end.node] = (*wire_at.get(end.node, ()), wire.id)
    return Harness(
        wires=wires,
        splices={
            splice.id: replace(splice, wires=wire_at[splice.id])
            for made in splices.values()
            for splice in made
        },
        pass_pins=_pass_pins(vehicle, given, wire_at),
        connectors=plugs,
        bundles=bundles(vehicle.runs, wires.values()),
        wire_at=wire_at,
        heat_shrink=tuple(
            dict.fromkeys(
                end.node
                for wire in wires.values()
                for end in (wire.a, wire.b)
                if end.kind in ("splice", "capped")
            )
        ),
    )


def _splices(
    vehicle: Vehicle, rope: Rope, plans: Mapping[str, list[_Plan]]
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


def _wires(
    vehicle: Vehicle,
    rope: Rope,
    circuit: Circuit,
    plans: list[_Plan],
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
        addends=addends(vehicle, harness, runs, a, b, circuit.cable, offset),
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


def _in_connectors(vehicle: Vehicle, given: Given) -> dict[str, list[str]]:
    """Circuits side by side in each connector, relay base and pass-through."""
    found = {
        device.id: [
            circuit
            for pin in device.pins
            if not pin.stud
            for circuit in vehicle.circuit_of_pin.get(pin.id, ())
        ]
        for device in vehicle.devices.values()
    }
    return found | {f"{device}/": list(taken) for device, taken in given.items()}


def _on_panels(vehicle: Vehicle) -> dict[str, list[str]]:
    """Circuits that end at the fuses and relays of each panel."""
    found: dict[str, list[str]] = {}
    for device in vehicle.devices.values():
        for pin in device.pins if device.panel else ():
            circuits = vehicle.circuit_of_pin.get(pin.id, ())
            found.setdefault(device.panel, []).extend(circuits)
    return found


def _pass_pins(
    vehicle: Vehicle, given: Given, wire_at: Mapping[str, tuple[str, ...]]
) -> tuple[PassPin, ...]:
    made = []
    for through in vehicle.pass_throughs:
        for circuit, taken in given[through.device].items():
            for cavity in taken:
                wires = {
                    harness: wire_at[f"{through.device}.{cavity}/{harness}"][0]
                    for harness in through.harnesses
                }
                made.append(PassPin(through.device, cavity, circuit, wires))
    return tuple(made)
