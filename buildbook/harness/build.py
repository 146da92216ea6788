"""The harness as built: every wire, splice, pass-through contact and bundle of a vehicle."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from buildbook.catalogue.load import contact_families
from buildbook.harness.all_routes import check_pinned, give_contacts, in_order, route_all
from buildbook.harness.as_built import harness_as_built
from buildbook.harness.bundles import bundles
from buildbook.harness.cables import even_cores
from buildbook.harness.colours import choose_colours
from buildbook.harness.model import Harness, PassPin, Wire
from buildbook.harness.pass_throughs import GivenContacts, halves, spare
from buildbook.harness.rope import Rope, lay_rope
from buildbook.harness.route import Route
from buildbook.harness.splices import Leg
from buildbook.harness.wires import (
    LegKey,
    PlannedPiece,
    cut_wires,
    half_ends,
    pin_ends,
    place_splices,
    plan_piece,
)
from buildbook.problem import Problem
from buildbook.vehicle.model import Connector, Vehicle


def build_harness(
    vehicle: Vehicle,
    current_a: Mapping[str, float] | None = None,
    area_mm2: Mapping[str, float] | None = None,
    legs: Mapping[LegKey, Leg] | None = None,
    parallel: Mapping[LegKey, int] | None = None,
    crossing_a: Mapping[tuple[str, str], float] | None = None,
) -> tuple[Harness | None, list[Problem]]:
    """Cut every circuit into wires; or say what stands in the way.

    `current_a` is the largest current of each circuit id in A from an earlier pass, `crossing_a`
    what of it passes each (pass-through, circuit id); without them every circuit takes one contact
    of a pass-through. `area_mm2` is the conductor area of each
    circuit id there, so that a thick wire gets a contact that takes it. `legs` is what that pass
    knows of the wire at each end, so that splices lie where the copper is least; `parallel` how
    many conductors lie side by side where one cannot carry the current.
    """
    rope = lay_rope(vehicle)
    routes, problems = route_all(vehicle, rope)
    if problems:
        return None, problems
    given, problems = give_contacts(
        vehicle, rope, routes, current_a or {}, area_mm2 or {}, crossing_a or {}
    )
    problems = problems or check_pinned(vehicle, rope, routes, given)
    if problems:
        return None, sorted(problems)
    plugs = _plugs(vehicle, given)
    plans, problems = _plans(vehicle, rope, routes, given, plugs, legs or {})
    if problems:
        return None, sorted(problems)
    return _assemble(vehicle, rope, given, plugs, plans, parallel or {}), []


def _assemble(
    vehicle: Vehicle,
    rope: Rope,
    given: GivenContacts,
    plugs: Mapping[str, Connector],
    plans: Mapping[str, list[PlannedPiece]],
    parallel: Mapping[LegKey, int],
) -> Harness:
    splices = place_splices(vehicle, rope, plans)
    colours = choose_colours(vehicle, _in_connectors(vehicle, given), _on_panels(vehicle))
    wires: dict[str, Wire] = {}
    for circuit in in_order(vehicle):
        own = splices[circuit.id]
        for wire in cut_wires(vehicle, rope, circuit, plans[circuit.id], own, parallel):
            wires[wire.id] = replace(wire, colour=colours[circuit.id])
    wires = even_cores(wires)
    wire_at: dict[str, tuple[str, ...]] = {}
    for wire in wires.values():
        for end in (wire.a, wire.b):
            wire_at[end.node] = (*wire_at.get(end.node, ()), wire.id)
    ends = [end for wire in wires.values() for end in (wire.a, wire.b)]
    covered = [end.node for end in ends if end.kind in ("splice", "capped")]
    made = Harness(
        wires=wires,
        splices={
            splice.id: replace(splice, wires=wire_at[splice.id])
            for made in splices.values()
            for splice in made
        },
        pass_pins=_pass_pins(vehicle, given, wire_at),
        connectors=dict(plugs),
        bundles=bundles(vehicle.runs, wires.values()),
        wire_at=wire_at,
        heat_shrink=tuple(dict.fromkeys(covered)),
        spares={
            p.device: spare(
                plugs[f"{p.device}/{p.harnesses[0]}"], vehicle.devices[p.device].written.unused
            )
            for p in vehicle.pass_throughs
        },
    )
    return harness_as_built(vehicle.as_built, made)


def _plugs(vehicle: Vehicle, given: GivenContacts) -> dict[str, Connector]:
    """Connectors of devices and both halves of every pass-through."""
    plugs = dict(vehicle.connectors)
    for through in vehicle.pass_throughs:
        made = halves(vehicle, through, given[through.device], contact_families())
        plugs.update({plug.id: plug for plug in made})
    return plugs


def _plans(
    vehicle: Vehicle,
    rope: Rope,
    routes: Mapping[str, Route],
    given: GivenContacts,
    plugs: Mapping[str, Connector],
    legs: Mapping[LegKey, Leg],
) -> tuple[dict[str, list[PlannedPiece]], list[Problem]]:
    """Circuit id -> its pieces with their ends and splices, circuits in number order."""
    at_pin = pin_ends(vehicle)
    plans: dict[str, list[PlannedPiece]] = {}
    problems: list[Problem] = []
    for circuit in in_order(vehicle):
        plans[circuit.id] = []
        for piece in routes[circuit.id].pieces:
            ends = [at_pin[pin] for pin in piece.pins]
            ends += half_ends(piece, circuit.id, given, plugs)
            plan = plan_piece(vehicle, rope, circuit, piece, ends, legs)
            if isinstance(plan, Problem):
                problems.append(plan)
            else:
                plans[circuit.id].append(plan)
    return plans, problems


def _in_connectors(vehicle: Vehicle, given: GivenContacts) -> dict[str, list[str]]:
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
    vehicle: Vehicle, given: GivenContacts, wire_at: Mapping[str, tuple[str, ...]]
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
