"""Joins a description up into a vehicle: every name becomes the thing that it names."""

from __future__ import annotations

from dataclasses import replace

from buildbook.as_built.model import AsBuilt
from buildbook.catalogue.load import colours
from buildbook.description.kind_titles import title_of_kind
from buildbook.description.read import FolderContents
from buildbook.description.tree import at
from buildbook.problem import Problem
from buildbook.vehicle.circuits import check_least_and_most, check_size, circuits_of
from buildbook.vehicle.complaints import complaints_of, losses_of
from buildbook.vehicle.inside import inside_of
from buildbook.vehicle.model import Circuit, Device, Vehicle
from buildbook.vehicle.notes import check_waivers, notes_by_target
from buildbook.vehicle.parts import check_parts
from buildbook.vehicle.pins import check_plugs, connectors_of, pins_of
from buildbook.vehicle.power import batteries_of, supply_of, with_cut_outs
from buildbook.vehicle.pulsed_halves import check_pulsed_halves
from buildbook.vehicle.pulses import with_pulses
from buildbook.vehicle.reach import check_paths, check_points, pass_throughs_of
from buildbook.vehicle.rope import runs_of
from buildbook.vehicle.scope import Scope
from buildbook.vehicle.signals import signals_of
from buildbook.vehicle.supply import check_all_used, check_states, entries, joined_supply
from buildbook.vehicle.wires import add_own_families


def join(
    contents: FolderContents, as_built: AsBuilt | None = None
) -> tuple[Vehicle | None, list[Problem]]:
    """The vehicle with nothing left to look up, or every reference that leads nowhere."""
    scope = Scope(contents, as_built)
    description = contents.description
    _check_names(scope)
    check_plugs(scope)
    add_own_families(scope)
    _check_wire_choice(scope)
    before = len(scope.problems)
    runs = runs_of(scope)
    rope_is_sound = len(scope.problems) == before
    points = frozenset(p for run in runs for p in (run.from_point, run.to_point))
    devices = {name: _device(scope, name) for name in description.devices}
    pins = {pin.id: pin for device in devices.values() for pin in device.pins}
    circuits, circuit_of_pin = circuits_of(scope, pins, points)
    devices = _with_systems(devices, circuits)
    before = len(scope.problems)
    pass_throughs = pass_throughs_of(scope, runs)
    rope_is_sound = rope_is_sound and len(scope.problems) == before
    check_points(scope, devices, circuits, runs)
    if rope_is_sound:  # else every circuit across the break would be told too
        check_paths(scope, devices, circuits, runs, pass_throughs)
    _check_places(scope, devices, circuit_of_pin)
    _check_plan(scope, points | {device.point for device in devices.values()} | _aims(scope))
    supply = joined_supply(scope, pins)
    devices = with_cut_outs(devices, supply, description.states, circuits.values())
    check_all_used(scope, supply, devices, circuit_of_pin.keys())
    check_states(scope)
    check_parts(scope)
    notes = notes_by_target(scope)
    check_waivers(scope, devices, circuits)
    check_pulsed_halves(scope, devices, circuits.values())
    complaints = complaints_of(scope, devices)
    losses = losses_of(scope, devices, circuits.values())
    if scope.problems:
        return None, sorted(set(scope.problems))
    paths = {name: path for _, name, path, _ in entries(supply)}
    posts = [pin for battery in batteries_of(supply).values() for pin in battery.between]
    devices = with_pulses(devices, circuits.values(), posts)
    return Vehicle(
        description=description.model_copy(update={"supply": supply}),
        devices=devices,
        pins=pins,
        connectors={c.id: c for device in devices.values() for c in device.connectors},
        circuits=circuits,
        circuit_of_pin=circuit_of_pin,
        runs=runs,
        pass_throughs=pass_throughs,
        wire_families=dict(scope.wires),
        states=tuple(description.states),
        supply=supply_of(
            supply,
            description.states,
            devices,
            circuits.values(),
            runs,
            description.zones,
            lambda name: scope.where(paths[name]),
        ),
        notes=notes,
        pictures=scope.contents.pictures,
        as_built=as_built,
        complaints=complaints,
        losses=losses,
        positions=contents.positions,
    ), []


def _aims(scope: Scope) -> set[str]:
    """Where variants move something: a place there may wait for it."""
    variants = scope.description.variants.values()
    return {move.to for variant in variants for move in variant.move.values()}


def _check_plan(scope: Scope, points: frozenset[str]) -> None:
    """Every place on the plan is a point of the rope, of a device or a move, inside the vehicle."""
    plan = scope.description.plan
    if plan is None:
        return
    for name, (back, right, *_) in plan.places.items():
        path = ("plan", "places", name)
        scope.known(path, "point", name, points)
        if not 0 <= back <= plan.length or abs(right) > plan.width / 2:
            scope.say(
                path,
                f"`{name}` lies outside the vehicle",
                f"it is {plan.length * 1000:.0f} mm long and {plan.width * 1000:.0f} mm wide",
                "measure back from the nose, then to the right of the middle (to the left: minus)",
            )
    for name, wall in plan.walls.items():
        if not 0 <= wall.at <= plan.length:
            scope.say(
                ("plan", "walls", name),
                f"`{name}` lies outside the vehicle",
                "",
                "measure back from the nose",
            )


def _check_names(scope: Scope) -> None:
    """Names that label drawings and pass-through halves hold no `/`, and start with no dot."""
    for section in ("devices", "systems", "states", "rope", "plugs"):
        for name in getattr(scope.description, section):
            if "/" in name or "\\" in name or name.startswith("."):
                scope.say(
                    (section, name),
                    f"the name `{name}` may not hold a slash or start with a dot",
                    "names become file names, and a slash names one half of a pass-through",
                    "write a hyphen instead",
                )


def _device(scope: Scope, name: str) -> Device:
    device = scope.description.devices[name]
    path = ("devices", name)
    if device.system is not None:
        scope.known((*path, "system"), "system", device.system, scope.description.systems)
    if device.part is not None:
        scope.known((*path, "part"), "part", device.part, scope.description.parts)
    pins = pins_of(scope, name)
    if not pins and device.kind != "pass-through" and not (device.plug or device.plugs):
        scope.say(path, f"`{name}` has no pins", "", "give it a `plug`, or `pins`")
    point, panel = _place(scope, name)
    inside = inside_of(scope, name, pins)
    tree = scope.positions.tree
    of_kind = title_of_kind(at(at(tree, "devices"), name), device.kind, at(tree, "kinds"))
    return Device(
        id=name,
        title=device.name or name,
        kind=device.kind,
        point=point,
        system=device.system or "",
        pins=pins,
        connectors=connectors_of(scope, name, point, pins),
        loads=tuple(inside.loads),
        contacts=tuple(inside.contacts),
        sources=tuple(inside.sources),
        bonds=tuple(inside.bonds),
        written=device,
        where=scope.where(path),
        panel=panel,
        signals=signals_of(scope, name, pins),
        what_it_is=device.name or of_kind,
    )


def _place(scope: Scope, name: str) -> tuple[str, str]:
    """Point of a device, and the panel that carries it ('' for none)."""
    device = scope.description.devices[name]
    path, panel = ("devices", name), ""
    if device.on is not None:
        devices = scope.description.devices
        if scope.known((*path, "on"), "device", device.on, devices):
            if devices[device.on].kind != "panel":
                scope.say(
                    (*path, "on"),
                    f"`{device.on}` is a {devices[device.on].kind}, not a panel",
                    "",
                    "name the panel that carries it, or give `at` instead",
                )
            else:
                panel = device.on
        carrier = devices.get(device.on)
        return device.at or (carrier.at if carrier else None) or "", panel
    return device.at or "", panel


def _with_systems(devices: dict[str, Device], circuits: dict[str, Circuit]) -> dict[str, Device]:
    """A device without a system of its own takes that of the first circuit that joins it."""
    first: dict[str, str] = {}
    for circuit in circuits.values():
        for pin in circuit.pins:
            first.setdefault(pin.device, circuit.system)
    return {
        name: replace(device, system=device.system or first.get(name, ""))
        for name, device in devices.items()
    }


def _check_places(
    scope: Scope, devices: dict[str, Device], circuit_of_pin: dict[str, tuple[str, ...]]
) -> None:
    """Every device in use stands somewhere; a panel slot holds one fuse or relay."""
    slots: dict[tuple[str, str, int], str] = {}
    nowhere: dict[str, None] = {}
    for name, device in devices.items():
        if not device.point and any(pin.id in circuit_of_pin for pin in device.pins):
            # what stands on a panel is where the panel is; an unknown panel was told already
            nowhere |= dict.fromkeys([device.panel] if device.written.on else [name])
        if device.panel and device.written.slot is not None:
            key = (device.panel, device.kind, device.written.slot)
            if key in slots:
                scope.say(
                    ("devices", name, "slot"),
                    f"slot {device.written.slot} of `{device.panel}` already holds `{slots[key]}`",
                    "",
                    "give it a free slot",
                )
            slots.setdefault(key, name)
    for name in nowhere:
        if name:
            scope.say(
                ("devices", name),
                f"`{name}` says nowhere where it is",
                "its wires cannot be measured",
                "add `at`, a point of the rope",
            )


def _check_wire_choice(scope: Scope) -> None:
    wire = scope.description.vehicle.wire
    path = ("vehicle", "wire")
    if scope.known((*path, "family"), "wire family", wire.family, scope.wires):
        check_size(scope, (*path, "smallest"), wire.smallest.label, wire.family)
    for n, size in enumerate(wire.sizes):
        if size.label not in {c.label for f in scope.wires.values() for c in f.conductors}:
            check_size(scope, (*path, "sizes", n), size.label, wire.family)
    for n, colour in enumerate(wire.colours):
        for code in colour.split("/"):
            scope.known((*path, "colours", n), "colour", code, colours())
    for n, reel in enumerate(wire.reels):
        here = (*path, "reels", n)
        family = wire.family_of(reel)
        if family == wire.family or scope.known(
            (*here, "family"), "wire family", family, scope.wires
        ):
            check_size(scope, (*here, "size"), reel.size.label, family)
        for code in reel.colour.split("/"):
            scope.known((*here, "colour"), "colour", code, colours())
    for name, system in scope.description.systems.items():
        check_least_and_most(scope, ("systems", name), system)
