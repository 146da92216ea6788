"""How all circuits share the rope and the contacts of the pass-throughs."""

from __future__ import annotations

from collections.abc import Collection, Mapping

from buildbook.catalogue.load import contact_families
from buildbook.harness.pass_throughs import GivenContacts, PassingCircuit, allocate, full, is_noisy
from buildbook.harness.rope import Rope
from buildbook.harness.route import CircuitPiece, Route, find_route
from buildbook.harness.splices import no_splices
from buildbook.problem import Problem
from buildbook.vehicle.model import Circuit, PassThrough, Vehicle


def in_order(vehicle: Vehicle) -> list[Circuit]:
    """Circuits by number."""
    return sorted(vehicle.circuits.values(), key=lambda c: (c.number, c.id))


def route_all(vehicle: Vehicle, rope: Rope) -> tuple[dict[str, Route], list[Problem]]:
    """Circuit id -> its route, or the problems of circuits that have none."""
    routes: dict[str, Route] = {}
    problems: list[Problem] = []
    for circuit in in_order(vehicle):
        cap = cap_point(vehicle, rope, circuit)
        closed = _closed_by_author(vehicle, circuit)
        route = find_route(vehicle, rope, circuit, cap, closed_to(vehicle, circuit))
        route = route or find_route(vehicle, rope, circuit, cap, closed)
        if route:
            routes[circuit.id] = route
        else:
            problems.append(_no_path(vehicle, rope, circuit, cap))
    return routes, problems


def cap_point(vehicle: Vehicle, rope: Rope, circuit: Circuit) -> str:
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
        vehicle.devices[pin.device].point for core in cores for pin in vehicle.circuits[core].pins
    ]

    def far(point: str) -> float:
        states = [s for s in rope.ways if getattr(s, "point", "") == point]
        reach = [rope.ways[s][0] for s in states]
        return min(
            (d for r in reach for n, d in r.items() if getattr(n, "point", "") == home),
            default=-1.0,
        )

    return max(points, key=far)


def _no_path(vehicle: Vehicle, rope: Rope, circuit: Circuit, cap: str) -> Problem:
    pins = ", ".join(pin.id for pin in circuit.pins)
    said = circuit.written.harness
    points = [vehicle.devices[pin.device].point for pin in circuit.pins]
    points += [cap] if cap else []
    reach = dict.fromkeys(harness for point in points for harness in rope.harnesses_at[point])
    if said and said not in reach:
        return Problem(
            circuit.where,
            f"circuit '{circuit.id}' cannot keep to harness '{said}'",
            f"no end of it lies on rope of {said}",
            f"take 'harness' out, or name one that an end reaches: {', '.join(reach)}",
        )
    fixed = f" from harness '{said}'" if said else ""
    return Problem(
        circuit.where,
        f"circuit '{circuit.id}' has no path{fixed} that joins {pins}",
        "its pins are on rope that is nowhere joined, or the pass-throughs between are full",
        "join the harnesses with a pass-through at a point that both reach, or add the run",
    )


def _closed_by_author(vehicle: Vehicle, circuit: Circuit) -> frozenset[str]:
    """Pass-throughs that a circuit may not use because the author fixed it in their twin."""
    return _twins(vehicle, [p for p in vehicle.pass_throughs if circuit.id in p.fixed.values()])


def _closed_by_record(vehicle: Vehicle, circuit: Circuit) -> frozenset[str]:
    """Pass-throughs that a circuit does not use because it was built through their twin."""
    return _twins(vehicle, [p for p in vehicle.pass_throughs if circuit.id in p.built.values()])


def closed_to(vehicle: Vehicle, circuit: Circuit) -> frozenset[str]:
    """Pass-throughs that a circuit does not use, by the author's word or as it was built."""
    return _closed_by_author(vehicle, circuit) | _closed_by_record(vehicle, circuit)


def _twins(vehicle: Vehicle, mine: Collection[PassThrough]) -> frozenset[str]:
    """Other pass-throughs between the same harnesses."""
    pairs = {frozenset(p.harnesses) for p in mine}
    return frozenset(
        p.device for p in vehicle.pass_throughs if p not in mine and frozenset(p.harnesses) in pairs
    )


def give_contacts(
    vehicle: Vehicle,
    rope: Rope,
    routes: dict[str, Route],
    current_a: Mapping[str, float],
    area_mm2: Mapping[str, float],
    crossing_a: Mapping[tuple[str, str], float],
) -> tuple[GivenContacts, list[Problem]]:
    """Give out the contacts of every pass-through; `routes` changes where one is full."""
    contacts = contact_families()
    closed = {c.id: _closed_by_author(vehicle, c) for c in vehicle.circuits.values()}
    problems: list[Problem] = []
    while True:
        given: GivenContacts = {}
        moved = False
        problems = []
        for through in vehicle.pass_throughs:
            demands = [
                PassingCircuit(
                    vehicle.circuits[id_],
                    abs(crossing_a.get((through.device, id_), current_a.get(id_, 0.0))),
                    area_mm2.get(id_, 0.0),
                    is_noisy(vehicle.circuits[id_], _kinds(vehicle, vehicle.circuits[id_])),
                )
                for id_, route in routes.items()
                if through.device in route.throughs
            ]
            unused = vehicle.devices[through.device].written.unused
            given[through.device], left = allocate(through, demands, contacts, unused)
            lacking = []
            for demand in left:
                circuit = demand.circuit
                closed[circuit.id] |= {through.device}
                cap = cap_point(vehicle, rope, circuit)
                other = find_route(vehicle, rope, circuit, cap, closed[circuit.id])
                if other:
                    routes[circuit.id] = other
                    moved = True
                else:
                    lacking.append(demand)
            if lacking:
                here = given[through.device]
                problems.append(full(through, lacking, demands, here, unused))
        if problems or not moved:
            return given, problems


def _kinds(vehicle: Vehicle, circuit: Circuit) -> list[str]:
    return [vehicle.devices[pin.device].kind for pin in circuit.pins]


def check_pinned(
    vehicle: Vehicle, rope: Rope, routes: Mapping[str, Route], given: GivenContacts
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
            problems += _check_splice(vehicle, rope, circuit, route, given)
    return problems


def _end_count(piece: CircuitPiece, circuit: str, given: GivenContacts) -> int:
    crossing = sum(len(given[device][circuit]) for device in piece.throughs)
    return len(piece.pins) + bool(piece.cap_point) + crossing


def _check_splice(
    vehicle: Vehicle, rope: Rope, circuit: Circuit, route: Route, given: GivenContacts
) -> list[Problem]:
    """Whether the author's splice point lies where three or more ends of the circuit meet."""
    wanted = circuit.written.splice_at or ""
    reached = {piece.harness for piece in route.pieces}
    here = [p for p in route.pieces if p.harness in rope.harnesses_at.get(wanted, ())]
    if not here:
        why = "none of the harnesses that it runs in reaches that point"
        hint = f"name a point of {', '.join(sorted(reached))}"
    elif wanted in no_splices(vehicle, here[0].harness):
        why = f"'no splices' of {here[0].harness} forbids it there"
        hint = "name another point, or take this one out of 'no splices'"
    elif max(_end_count(piece, circuit.id, given) for piece in here) < 3:
        why = f"it has only two ends in {here[0].harness}, so one wire joins them"
        hint = "take 'splice at' out, or name a point where three of its ends meet"
    else:
        return []
    what = f"circuit '{circuit.id}' cannot be spliced at '{wanted}'"
    return [Problem(circuit.where, what, why, hint)]
