"""The trackside pages: panel, trees, faces, pins and readings for the pocket, in one chapter."""

from __future__ import annotations

from dataclasses import replace

from buildbook.book.chapter import Chapter
from buildbook.book.chapters.troubleshooting import (
    Groups,
    fuse_row,
    ground_rows,
    grouped,
    has_bus,
    kinds_by_weight,
    limit_of_follows,
    place_of,
    printed,
)
from buildbook.book.complaints import complaints
from buildbook.book.drawings import Drawings
from buildbook.book.fault_trees import lists_once
from buildbook.book.fault_wording import cranks
from buildbook.book.sensor_wording import as_it_stands, described_sensors
from buildbook.book.shared_parts import shared_parts, unplugged_ohms
from buildbook.book.shared_rows import note, unique
from buildbook.drawing.faces.panel import mounted
from buildbook.drawing.faces.pocket import pocket_face
from buildbook.electrical.reading import Reading
from buildbook.faultfinding.complaints import LEAST_SHARE
from buildbook.faultfinding.faults import MODE_SHARE
from buildbook.result import Result
from buildbook.vehicle.model import Connector

NAMED = 4
"""Devices named before the rest are only counted: paper is short."""


def chapters(result: Result, drawings: Drawings) -> tuple[Chapter, ...]:
    plugs = {c.plug_type: c.plug for c in result.harness.connectors.values()}
    faces = [pocket_face(name, plug) for name, plug in sorted(plugs.items())]
    stopped, running = two_states(result)
    whole = printed(result, grouped(result))
    groups, lists = with_lists(whole)
    context = {
        "panels": [
            (panel, [*mounted(result, panel, "fuse"), *mounted(result, panel, "relay")])
            for panel in result.vehicle.all_of("panel")
        ],
        "sizes": result.sizing.fuses,
        "fuses": [
            (fuse, size, what_dies(dies))
            for fuse, size, dies in (
                fuse_row(result, fuse, NAMED) for fuse in result.vehicle.all_of("fuse")
            )
        ],
        "groups": groups,
        "complaints": complaints(result, place_of(whole)),
        "lists": lists,
        "weights": kinds_by_weight(),
        "modes": MODE_SHARE,
        "least_share": LEAST_SHARE,
        "most_follows": limit_of_follows(whole),
        "bus": has_bus(result),
        "grounds": [
            (name, what_dies(dies), ohms) for name, _, dies, ohms, _ in ground_rows(result, NAMED)
        ],
        "plug_faces": list(zip(faces, sorted(plugs), strict=True)),
        "stopped": stopped,
        "running": running,
        "connectors": connector_rows(result),
        "sensors": [(view, as_it_stands(view)) for view in described_sensors(result)],
        "shares": shared_parts(result),
        "ohms": unplugged_ohms(result),
        "note": note(result, "troubleshooting"),
    }
    name = "Trackside pages"
    return (Chapter("trackside", name, "trackside.html", context, tuple(faces)),)


def what_dies(said: list[str]) -> str:
    """What is lost in one line under a heading that says 'dead' already."""
    return ". ".join(said).replace("Dead: ", "")


def with_lists(groups: Groups) -> tuple[Groups, tuple[str, ...]]:
    """The groups with long lists of suspects that recur taken out, and those lists."""
    trees, lists = lists_once(row.tree for _, rows in groups for row in rows)
    left = iter(trees)
    return [
        (title, [replace(row, tree=next(left)) for row in rows]) for title, rows in groups
    ], lists


def two_states(result: Result) -> tuple[str, str]:
    """The state with the engine at rest and the one with it running that readings are given in.

    At rest: the one in which most loads draw; running: the slowest that does not crank.
    """
    states = result.vehicle.description.states
    loads = [load for device in result.vehicle.devices.values() for load in device.loads]
    rest = [name for name in states if not states[name].engine] or list(states)
    stopped = max(rest, key=lambda name: sum(name in load.states for load in loads))
    runs = [name for name in states if states[name].engine and not cranks(result, name)]
    return stopped, min(runs, key=lambda name: states[name].engine, default=stopped)


PinRow = tuple[str, str, str, Reading | None, Reading | None, Reading | None]
"""Cavity, wires, colours, what a meter shows at rest and running, and the most in any state."""


def connector_rows(result: Result) -> list[tuple[str, str, list[PinRow]]]:
    """Connectors with their type and used pins; the halves of a pass-through together."""
    named: dict[str, list[Connector]] = {}
    for connector in result.harness.connectors.values():
        named.setdefault(connector.id.partition("/")[0], []).append(connector)
    return [
        (" and ".join(c.id for c in halves), halves[0].plug_type, pin_rows(result, halves))
        for halves in named.values()
    ]


def pin_rows(result: Result, halves: list[Connector]) -> list[PinRow]:
    """Cavity, wires, colours, readings at rest and running, and the most in any state.

    Halves of a pass-through differ by the drop of one contact: the first half's reading stands.
    """
    harness, states = result.harness, two_states(result)
    rows: dict[str, tuple[str, list[str]]] = {}
    for half in halves:
        for pin in half.pins:
            there = harness.wire_at.get(pin.id, ())
            if there:
                rows.setdefault(pin.cavity or pin.name, (pin.id, []))[1].extend(there)
    found = []
    for cavity, (pin_id, wires) in rows.items():
        every = {s: result.readings[s].at_pin(pin_id) for s in result.vehicle.states}
        most = max((r for r in every.values() if r), key=lambda r: r.most_v, default=None)
        colours = unique(harness.wires[w].colour for w in wires)
        rest, running = (every[state] for state in states)
        wire_names = short_wires(unique(wires))
        found.append((cavity, wire_names, " ".join(colours), rest, running, most))
    return found


def short_wires(names: tuple[str, ...]) -> str:
    """'110a·b' for 110a and 110b; others in full."""
    first, *rest = names
    same = first.rstrip("abcdefghijklmnopqrstuvwxyz")
    return "·".join([first, *(n.removeprefix(same) if n != same else n for n in rest)])
