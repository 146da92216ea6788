"""Whether every pin can be reached: points on the rope, pass-throughs, a path for each circuit."""

from __future__ import annotations

from dataclasses import replace
from typing import TypeAlias

import networkx

from buildbook.as_built.look_up import built_contacts
from buildbook.description.suggest import did_you_mean
from buildbook.vehicle.model import Circuit, Device, PassThrough, Pin, Run
from buildbook.vehicle.pins import cavities
from buildbook.vehicle.power import batteries_of
from buildbook.vehicle.scope import Scope

RopeGraph: TypeAlias = "networkx.Graph[tuple[str, str]]"
"""Points of the rope, each of its harness."""


def pass_throughs_of(scope: Scope, runs: tuple[Run, ...]) -> tuple[PassThrough, ...]:
    """The connector pairs between harnesses, their settings checked."""
    found = []
    for name, device in scope.description.devices.items():
        path = ("devices", name)
        if device.kind != "pass-through":
            for key in ("between", "carries", "sockets", "hole"):
                if getattr(device, key):
                    scope.say((*path, key), f"only a pass-through has `{key}`, not a {device.kind}")
            continue
        if device.plug is None:
            scope.say(path, f"pass-through `{name}` has no `plug`", "", "add `plug`")
            continue
        if device.between is None:
            scope.say(
                path,
                f"pass-through `{name}` does not say which harnesses it joins",
                "",
                "add `between: [one, other]`",
            )
            continue
        plug = scope.description.plugs.get(device.plug)
        scope.known((*path, "plug"), "plug", device.plug, scope.description.plugs)
        sound = _check_between(scope, name, device.between, runs)
        if plug is None or not sound:
            continue
        _check_carries(scope, name, cavities(plug))
        if device.sockets is not None:
            scope.known((*path, "sockets"), "harness beside it", device.sockets, device.between)
        found.append(
            PassThrough(
                device=name,
                point=device.at or "",
                harnesses=device.between,
                plug_type=device.plug,
                plug=plug,
                fixed=dict(device.carries),
                on_vehicle=device.on_vehicle,
                where=scope.where(path),
                sockets=device.sockets or "",
                hole_m=device.hole,
                built=_built(scope, name, cavities(plug)),
            )
        )
    return _with_sockets(scope, found, runs)


def _with_sockets(
    scope: Scope, found: list[PassThrough], runs: tuple[Run, ...]
) -> tuple[PassThrough, ...]:
    """Sockets on the half towards the battery, pins on the one that is dead when unplugged.

    AC 43.13-1B, chapter 11 (memory): the half with power takes sockets.
    """
    first = next(iter(batteries_of(scope.description.supply).values()), None)
    plus = first.between[0].partition(".")[0] if first else ""
    battery = scope.description.devices.get(plus)
    graph = networkx.Graph(joint.harnesses for joint in found)
    home = {
        run.harness
        for run in runs
        if battery and battery.at in (run.from_point, run.to_point) and run.harness in graph
    }
    away = networkx.multi_source_dijkstra_path_length(graph, home) if home else {}
    return tuple(
        joint
        if joint.sockets
        else replace(joint, sockets=min(joint.harnesses, key=lambda h: away.get(h, len(away))))
        for joint in found
    )


def _built(scope: Scope, name: str, known: list[str]) -> dict[str, str]:
    """Contacts as recorded, but for what the author now says of the contact or its circuit."""
    device = scope.description.devices[name]
    return {
        cavity: circuit
        for cavity, circuit in built_contacts(scope.as_built, name)
        if circuit in scope.description.circuits and circuit not in device.carries.values()
        if cavity in known and cavity not in device.carries and cavity not in device.unused
    }


def _check_between(
    scope: Scope, name: str, between: tuple[str, str], runs: tuple[Run, ...]
) -> bool:
    device, path = scope.description.devices[name], ("devices", name, "between")
    one, other = between
    known = [
        scope.known((*path, index), "harness", harness, scope.description.rope)
        for index, harness in enumerate(between)
    ]
    if one == other:
        scope.say(path, f"pass-through `{name}` joins `{one}` to itself", "", "name two harnesses")
        return False
    if not all(known):
        return False
    if device.at is None:
        scope.say(
            ("devices", name),
            f"pass-through `{name}` says nowhere where it is",
            "",
            "add `at`, a point of both harnesses",
        )
        return False
    for harness in between:
        points = {p for r in runs if r.harness == harness for p in (r.from_point, r.to_point)}
        if device.at not in points:
            scope.say(
                ("devices", name, "at"),
                f"no run of harness `{harness}` reaches `{device.at}`, where pass-through "
                f"`{name}` is",
                "both harnesses must end at the connector",
                did_you_mean(device.at, points),
            )
            return False
    return True


def _check_carries(scope: Scope, name: str, known: list[str]) -> None:
    device = scope.description.devices[name]
    for cavity, circuit in device.carries.items():
        path = ("devices", name, "carries", cavity)
        scope.known(path, f"cavity in the plug of `{name}`", cavity, known)
        scope.known(path, "circuit", circuit, scope.description.circuits)
        if cavity in device.unused:
            scope.say(
                path,
                f"cavity `{cavity}` of `{name}` is listed as unused, but carries "
                f"circuit `{circuit}`",
            )
    for index, cavity in enumerate(device.unused):
        scope.known(("devices", name, "unused", index), f"cavity of `{name}`", cavity, known)


def check_points(
    scope: Scope, devices: dict[str, Device], circuits: dict[str, Circuit], runs: tuple[Run, ...]
) -> None:
    """Note devices that no rope reaches, though they are joined to something elsewhere."""
    points = {p for run in runs for p in (run.from_point, run.to_point)}
    for name in _stranded(devices, circuits, points):
        key = "at" if devices[name].written.at is not None else "on"
        scope.say(
            ("devices", name, key),
            f"no rope reaches `{devices[name].point}`, where `{name}` is",
            "its wires have no way to get there",
            did_you_mean(devices[name].point, points) or "add a run to that point",
        )


def check_paths(
    scope: Scope,
    devices: dict[str, Device],
    circuits: dict[str, Circuit],
    runs: tuple[Run, ...],
    pass_throughs: tuple[PassThrough, ...],
) -> None:
    """Note circuits whose pins no path over rope and pass-throughs joins."""
    points = {p for run in runs for p in (run.from_point, run.to_point)}
    stranded = _stranded(devices, circuits, points)
    graph = network(runs, pass_throughs)
    for name, circuit in circuits.items():
        ends = [pin for pin in circuit.pins if devices[pin.device].point]
        if any(pin.device in stranded for pin in ends):
            continue
        groups = _groups(circuit, ends, devices, graph)
        if len(groups) > 1:
            scope.say(
                ("circuits", name),
                f"circuit `{name}` has no path: nothing joins {groups[0]} and {groups[1]}",
                "they are in harnesses that no pass-through connects",
                "add a pass-through between those harnesses, or the run that is missing",
            )


def network(runs: tuple[Run, ...], pass_throughs: tuple[PassThrough, ...]) -> RopeGraph:
    """Rope of all harnesses: nodes are (harness, point); a pass-through joins two of them."""
    graph: RopeGraph = networkx.Graph()
    for run in runs:
        graph.add_edge((run.harness, run.from_point), (run.harness, run.to_point))
    for joint in pass_throughs:
        one, other = joint.harnesses
        graph.add_edge((one, joint.point), (other, joint.point))
    return graph


def _stranded(
    devices: dict[str, Device], circuits: dict[str, Circuit], points: set[str]
) -> list[str]:
    """Devices off the rope that are joined to something at another point."""
    found: dict[str, None] = {}
    for circuit in circuits.values():
        places = {devices[pin.device].point for pin in circuit.pins}
        for pin in circuit.pins:
            point = devices[pin.device].point
            if point and point not in points and len(places - {""}) > 1:
                found[pin.device] = None
    return list(found)


def _groups(
    circuit: Circuit,
    ends: list[Pin],
    devices: dict[str, Device],
    graph: RopeGraph,
) -> list[str]:
    """Sets of ends that a path joins, each named by its first pin or its cap."""
    joined: networkx.Graph[object] = networkx.Graph()
    named: list[str] = []
    places = [(f"`{pin.id}`", devices[pin.device].point) for pin in ends]
    cap = circuit.written.capped_at
    if cap is not None and any(point == cap for _, point in graph.nodes):
        places.append((f"the cap at `{cap}`", cap))
    pieces = {
        node: index
        for index, piece in enumerate(networkx.connected_components(graph))
        for node in piece
    }
    for text, point in places:
        joined.add_edge(text, ("place", point))
        for node, index in pieces.items():
            if node[1] == point:
                joined.add_edge(text, ("piece", index))
        named.append(text)
    parts = networkx.connected_components(joined)
    return [next(text for text in named if text in part) for part in parts]
