"""Finds loads that lose too much voltage on the way from the battery and back."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.context import Context, cranking_states
from buildbook.checks.model import Finding
from buildbook.sizing.path import LoadPath, load_paths

RULE = "drop-above-allowance"
SOURCE = "the allowance in this description (vehicle: drop, critical drop), feed and return"


def check(context: Context) -> Iterator[Finding]:
    """Report each load once, in its worst state; only the starter is judged while it turns."""
    vehicle = context.vehicle
    cranking = cranking_states(vehicle)
    worst: dict[str, LoadPath] = {}
    for path in load_paths(vehicle, context.harness, context.solved.meter):
        starter = vehicle.devices[path.load.device].kind == "starter"
        if path.signal or (path.state in cranking and not starter):
            continue
        known = worst.get(path.load.id)
        if known is None or drop_v(context, path) > drop_v(context, known):
            worst[path.load.id] = path
    for path in worst.values():
        if drop_v(context, path) > path.allowed_v * (1 + 1e-6):
            yield _finding(context, path)


def wire_drop_v(context: Context, path: LoadPath) -> float:
    """Volts lost in the wires of a load's path, feed and return."""
    currents = context.solved.meter[path.state].current_a
    branches = [b for b in (*path.feed, *path.back) if b.kind == "wire"]
    return sum(abs(currents[b.id]) * b.ohms for b in branches)


def drop_v(context: Context, path: LoadPath) -> float:
    """Volts lost in wires, contacts, fuses and joints together."""
    return wire_drop_v(context, path) + path.other_drop_v


def _finding(context: Context, path: LoadPath) -> Finding:
    """A warning where thicker wire would help, a note where the contacts alone take too much."""
    device = context.vehicle.devices[path.load.device]
    wires = wire_drop_v(context, path)
    thin = wires > path.wire_allowance_v * (1 + 1e-6)
    return Finding(
        RULE, "warning" if thin else "note", path.load.id,
        f"{device.title} ({path.load.id}) loses {wires + path.other_drop_v:.2f} V in "
        f"'{path.state}', {wires:.2f} V in wires and {path.other_drop_v:.2f} V in contacts, fuses "
        f"and joints; {path.allowed_v:.2f} V is allowed.",
        "Use larger or shorter wire, or feed it through a relay close to it."
        if thin
        else "Use fewer or larger contacts on its way, or allow it more (drop).",
        SOURCE, device.where,
    )  # fmt: skip
