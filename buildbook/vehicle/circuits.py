"""The circuits: which pins share a potential, their numbers, systems and cables."""

from __future__ import annotations

from buildbook.as_built.look_up import built_numbers
from buildbook.description import models as written
from buildbook.description.edited import Edit
from buildbook.description.expand.feeds import BY
from buildbook.description.tree import at, entries
from buildbook.figures import counted
from buildbook.vehicle.model import Circuit, Pin
from buildbook.vehicle.scope import Path, Scope

CORES = {"twisted pair": 2, "shielded 1": 1, "shielded 2": 2, "shielded 3": 3}
MOST_LOOSE = 3
"""Pins that nothing joins, tried in place of one that two circuits join."""
LOOSE_KINDS = ("fuse", "relay", "panel", "ground", "controller", "battery")
"""Devices that serve many systems: a circuit takes another device's system first."""


def circuits_of(
    scope: Scope, pins: dict[str, Pin], points: frozenset[str]
) -> tuple[dict[str, Circuit], dict[str, tuple[str, ...]]]:
    """Circuits by id, and the circuits of each pin in use."""
    cable_of = _cables(scope)
    joined: dict[str, tuple[Pin, ...]] = {}
    circuits_at: dict[str, tuple[str, ...]] = {}
    wires: dict[str, dict[str, written.Lead]] = {}
    for name, circuit in scope.description.circuits.items():
        joined[name] = _join(scope, name, circuit, pins, circuits_at)
        cable, is_screen = cable_of.get(name, ("", False))
        wires[name] = _wires(scope, name, circuit, joined[name])
        _check_settings(scope, name, circuit, points, cable)
        least = 1 if circuit.capped_at or is_screen else 2
        if max(len(joined[name]), len(circuit.join)) < least:
            other = "add the other pin, or give `capped at`, the point where it ends insulated"
            scope.say(
                ("circuits", name),
                f"circuit `{name}` joins {counted(len(circuit.join), 'pin')}",
                "a wire needs two ends",
                other if least > 1 else "add the pin at its other end",
            )
    systems = {name: _system(scope, name, joined[name]) for name in joined}
    numbers = _numbers(scope, systems)
    return {
        name: Circuit(
            id=name,
            number=numbers[name],
            pins=joined[name],
            system=systems[name],
            written=circuit.model_copy(update={"wires": wires[name]}),
            where=scope.where(("circuits", name)),
            cable=cable_of.get(name, ("", False))[0],
            is_screen=cable_of.get(name, ("", False))[1],
            feed=_feed_of(scope, name),
        )
        for name, circuit in scope.description.circuits.items()
    }, circuits_at


def _wires(
    scope: Scope, name: str, circuit: written.Circuit, joined: tuple[Pin, ...]
) -> dict[str, written.Lead]:
    """What is said of single wires, by the pin that each ends at; a device may stand for its one
    pin in the circuit."""
    found: dict[str, written.Lead] = {}
    for key, lead in circuit.wires.items():
        pins = [pin.id for pin in joined if key in (pin.id, pin.device)]
        if len(pins) == 1:
            found[pins[0]] = lead
        elif key not in circuit.join:  # else what is wrong with the pin is told there
            path = ("circuits", name, "wires", key)
            scope.known(path, "pin of the circuit", key, [pin.id for pin in joined])
    return found


def _feed_of(scope: Scope, name: str) -> str:
    """The feed that made a circuit, whatever the author says of it besides; '' for none."""
    circuit = at(at(scope.positions.tree, "circuits"), name)
    nodes = [] if circuit is None else [circuit, *entries(circuit).values()]
    made = (node.added.removeprefix(BY) for node in nodes if node.added.startswith(BY))
    return next(made, "")


def _join(
    scope: Scope,
    name: str,
    circuit: written.Circuit,
    pins: dict[str, Pin],
    circuits_at: dict[str, tuple[str, ...]],
) -> tuple[Pin, ...]:
    found: list[Pin] = []
    for index, reference in enumerate(circuit.join):
        path = ("circuits", name, "join", index)
        pin = scope.pin(path, reference, pins)
        if pin is None or _is_refused(scope, name, path, pin, found, circuits_at):
            continue
        found.append(pin)
        circuits_at[pin.id] = (*circuits_at.get(pin.id, ()), name)
    return tuple(found)


def _is_refused(
    scope: Scope,
    name: str,
    path: tuple[str | int, ...],
    pin: Pin,
    found: list[Pin],
    circuits_at: dict[str, tuple[str, ...]],
) -> bool:
    """Whether the pin cannot take this circuit's wire; the reason is noted."""
    device = scope.description.devices[pin.device]
    if pin in found:
        scope.say(path, f"circuit `{name}` names `{pin.id}` twice", "", "take one of them out")
        return True
    if pin.unused:
        scope.say(
            path,
            f"pin `{pin.id}` is listed as unused, but circuit `{name}` joins it",
            "",
            f"take `{pin.name}` out of `unused` of `{pin.device}`",
        )
        return True
    if device.kind == "fuse" and device.bus is not None and pin.name == "in":
        scope.say(
            path,
            f"`{pin.id}` is already fed by the bus bar from `{device.on}.{device.bus}`",
            "the bus bar holds its terminal; a wire would have no place",
            f"join `{device.on}.{device.bus}` instead, or take `bus` out of `{pin.device}`",
        )
        return True
    if circuits_at.get(pin.id) and not pin.stud:
        first = circuits_at[pin.id][0]
        there = scope.where(("circuits", first))
        scope.say(
            path,
            f"pin `{pin.id}` is used twice: circuit `{name}` joins it, and circuit `{first}` at "
            f"{there} has it already",
            "a contact takes one wire",
            f"take it out of the one where it does not belong; where it belongs in both, join both "
            f"in one circuit, where the program makes the splice: add these pins to `{first}`",
            _ways_to_mend(scope, pin, first, name),
        )
        return True
    return False


def _ways_to_mend(
    scope: Scope, pin: Pin, first: str, second: str
) -> tuple[tuple[str, tuple[Edit, ...]], ...]:
    """Of a pin that two circuits join: in place of a pin of its device that nothing joins, out of
    the one, out of the other, or both made one."""
    circuits = scope.description.circuits
    joins = {name: circuits[name].join for name in (first, second)}
    rest = {name: [p for p in join if p != pin.id] for name, join in joins.items()}
    out = {
        name: (("circuits", name, "join"), left) if len(left) > 1 else (("circuits", name), None)
        for name, left in rest.items()
    }
    both = (("circuits", first, "join"), [*joins[first], *rest[second]])
    device = scope.description.devices[pin.device]
    joined = {text for circuit in circuits.values() for text in circuit.join}
    free = [f"{pin.device}.{name}" for name in device.pins if name not in device.unused]
    loose = [other for other in free if other not in joined]
    instead = tuple(
        (
            f"join {other}, which nothing joins, in '{name}' and not {pin.id}",
            ((("circuits", name, "join"), [other if p == pin.id else p for p in joins[name]]),),
        )
        for name in (second, first)
        for other in loose[:MOST_LOOSE]
    )
    return (
        *instead,
        (f"take {pin.id} out of '{second}'", (out[second],)),
        (f"take {pin.id} out of '{first}'", (out[first],)),
        (
            f"join both in one circuit: add the other pins of '{second}' to '{first}'",
            (both, (("circuits", second), None)),
        ),
    )


def cable_family(cable: written.Cable, vehicle: written.VehicleData) -> str:
    """The catalogue's wire family of a cable's cores and drain, by gauges where all wire is."""
    return cable.type.replace(" ", "-") + ("-awg" if vehicle.measures.gauges else "")


def _check_settings(
    scope: Scope, name: str, circuit: written.Circuit, points: frozenset[str], cable: str
) -> None:
    path = ("circuits", name)
    if circuit.harness is not None:
        scope.known((*path, "harness"), "harness", circuit.harness, scope.description.rope)
    for key, point in (("capped at", circuit.capped_at), ("splice at", circuit.splice_at)):
        if point is not None:
            scope.known((*path, key), "point in the rope", point, points)
    usual = scope.description.vehicle.wire.family
    family = circuit.family or usual
    if cable and circuit.family is None:
        family = cable_family(scope.description.cables[cable], scope.description.vehicle)
    if circuit.family is not None:
        scope.known((*path, "family"), "wire family", circuit.family, scope.wires)
    if circuit.size is not None and family in scope.wires:
        check_size(scope, (*path, "size"), circuit.size.label, family)
    check_least_and_most(scope, path, circuit)
    for pin, sizes in circuit.wires.items():
        if sizes.size is not None and family in scope.wires:
            check_size(scope, (*path, "wires", pin, "size"), sizes.size.label, family)
        check_least_and_most(scope, (*path, "wires", pin), sizes)


def check_least_and_most(
    scope: Scope, path: tuple[str | int, ...], sizes: written.WireSizes
) -> None:
    """A least is no more than a most."""
    least, most = sizes.least_size, sizes.most_size
    if least is not None and most is not None and least.area_mm2 > most.area_mm2:
        scope.say(
            (*path, "least size"),
            f"`least size` is {least.label} and `most size` is {most.label}: no size is both",
        )


def check_size(scope: Scope, path: tuple[str | int, ...], label: str, family: str) -> None:
    """A pinned size is one that the wire family is made in."""
    families = [family, "battery"] if family == "thin-wall" else [family]
    made = [
        conductor.label
        for name in families
        if name in scope.wires
        for conductor in scope.wires[name].conductors
    ]
    if label in made:
        return
    other = [n for n, f in scope.wires.items() if label in [c.label for c in f.conductors]]
    scope.say(
        path,
        f"`{path[-1]}` of `{path[1]}`: wire of family `{family}` is not made in {label}",
        "",
        f"leave `{path[-1]}` out, and it is chosen by current, drop and fuse; or take one of: "
        + ", ".join(made)
        + (f"; or give `family: {other[0]}`" if other else ""),
    )


def _cables(scope: Scope) -> dict[str, tuple[str, bool]]:
    """Circuit -> (cable, whether it is the screen)."""
    found: dict[str, tuple[str, bool]] = {}
    for name, cable in scope.description.cables.items():
        path = ("cables", name)
        if len(cable.cores) != CORES[cable.type]:
            scope.say(
                (*path, "cores"),
                f"cable `{name}` is a {cable.type} and has {CORES[cable.type]} core(s), "
                f"but {len(cable.cores)} circuits are named",
            )
        if cable.screen is not None and cable.type == "twisted pair":
            scope.say((*path, "screen"), f"cable `{name}` is a twisted pair and has no screen")
        members: list[tuple[Path, str]] = [
            ((*path, "cores", i), core) for i, core in enumerate(cable.cores)
        ]
        members += [((*path, "screen"), cable.screen)] if cable.screen is not None else []
        for spot, circuit in members:
            if not scope.known(spot, "circuit", circuit, scope.description.circuits):
                continue
            if circuit in found:
                scope.say(
                    spot,
                    f"circuit `{circuit}` is already in cable `{found[circuit][0]}`",
                    "",
                    "a wire runs in one cable; name it in one",
                )
                continue
            found[circuit] = (name, spot[-1] == "screen")
    return found


def _system(scope: Scope, name: str, pins: tuple[Pin, ...]) -> str:
    """The circuit's own system, else that of a device it joins, else the first."""
    systems = scope.description.systems
    own = scope.description.circuits[name].system
    if own is not None:
        scope.known(("circuits", name, "system"), "system", own, systems)
        return own
    devices = [scope.description.devices[pin.device] for pin in pins]
    devices.sort(key=lambda device: device.kind in LOOSE_KINDS)
    for device in devices:
        if device.system in systems:
            return device.system
    return next(iter(systems), "")


def _numbers(scope: Scope, systems: dict[str, str]) -> dict[str, int]:
    """From 101 in the first system, 201 in the second; past 99 or nine systems from 1001.

    A circuit that was built keeps its number, and no new one takes a number that was given.
    """
    built = built_numbers(scope.as_built)
    given = set(built.values())
    counts: dict[str, int] = {}
    order = list(scope.description.systems)
    numbers, over = {}, 1000
    for name, system in systems.items():
        if name in built:
            numbers[name] = built[name]
            continue
        block = order.index(system) + 1 if system in order else 0
        counts[system] = counts.get(system, 0) + 1
        while block * 100 + counts[system] in given:
            counts[system] += 1
        if block > 9 or counts[system] > 99:
            over += 1
            while over in given:
                over += 1
            numbers[name] = over
        else:
            numbers[name] = block * 100 + counts[system]
    return numbers
