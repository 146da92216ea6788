"""The trackside pages: panel, trees, faces, pins and readings for the pocket, in one chapter."""

from __future__ import annotations

from buildbook.book.chapter import Chapter
from buildbook.book.chapters.troubleshooting import fuse_row, grouped, kinds_by_weight, printed
from buildbook.book.drawings import Drawings
from buildbook.book.faultwords import cranks
from buildbook.book.sensorwords import as_it_stands, sensor_views
from buildbook.book.shares import shared_parts, unplugged_ohms
from buildbook.book.views import note, reading
from buildbook.drawing.panel import mounted
from buildbook.drawing.pocket import pocket_face
from buildbook.result import Result
from buildbook.vehicle.model import Connector


def chapters(result: Result, drawings: Drawings) -> tuple[Chapter, ...]:
    plugs = {c.plug_type: c.plug for c in result.harness.connectors.values()}
    faces = [pocket_face(name, plug) for name, plug in sorted(plugs.items())]
    stopped, running = two_states(result)
    context = {
        "panels": [
            (panel, mounted(result, panel, "fuse"), mounted(result, panel, "relay"))
            for panel in result.vehicle.all_of("panel")
        ],
        "sizes": result.sizing.fuses,
        "fuses": [fuse_row(result, fuse) for fuse in result.vehicle.all_of("fuse")],
        "groups": printed(result, grouped(result)),
        "weights": kinds_by_weight(),
        "plug_faces": list(zip(faces, sorted(plugs), strict=True)),
        "stopped": stopped,
        "running": running,
        "connectors": [(c, pin_rows(result, c)) for c in result.harness.connectors.values()],
        "sensors": [(view, as_it_stands(view)) for view in sensor_views(result)],
        "shares": shared_parts(result),
        "ohms": unplugged_ohms(result),
        "note": note(result, "troubleshooting"),
    }
    name = "Trackside pages"
    return (Chapter("trackside", name, "trackside.html", context, tuple(faces)),)


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


def pin_rows(result: Result, connector: Connector) -> list[tuple]:
    """Cavity, wire, colour, volts at rest and running, and the most in any state, of used pins."""
    states = two_states(result)
    rows = []
    for pin in connector.pins:
        for wire_id in result.harness.wire_at.get(pin.id, ()):
            wire = result.harness.wires[wire_id]
            most = max(reading(result, s, pin.id) or 0.0 for s in result.vehicle.states)
            volts = [reading(result, state, pin.id) for state in states]
            rows.append((pin.cavity or pin.name, wire.id, wire.colour, *volts, most))
    return rows
