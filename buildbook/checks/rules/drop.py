"""Finds loads that lose too much voltage on the way from the battery and back."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.context import Context, battery_pins, circuits_at, loads, reach
from buildbook.checks.model import Finding
from buildbook.electrical.model import Solution
from buildbook.electrical.network import inside
from buildbook.vehicle.model import Device, Load

RULE = "drop-above-allowance"
SOURCE = "the allowance in this description (vehicle: drop, critical drop)"
STARTER_DROP_V = 0.5
"""A starter's cables, feed and return, while it turns. Common practice, no source."""


def check(context: Context) -> Iterator[Finding]:
    """Report each load once, in its worst state."""
    reached = {state: _ends(context, s) for state, s in context.solved.meter.items()}
    for device, load in loads(context.vehicle):
        if _signal(context, load):
            continue
        drops = [
            (_drop(context, solution, load), state)
            for state, solution in context.solved.meter.items()
            if state in load.states
            and inside(load.from_pin) in reached[state][0]
            and inside(load.to_pin) in reached[state][1]
        ]
        worst, state = max(drops, default=(0.0, ""))
        allowed = allowance_v(context, device, load)
        if worst > allowed + 1e-6:
            yield _finding(device, load, worst, allowed, state)


def _signal(context: Context, load: Load) -> bool:
    vehicle = context.vehicle
    ends = (*circuits_at(vehicle, load.from_pin), *circuits_at(vehicle, load.to_pin))
    return any(vehicle.circuits[c].written.signal for c in ends)


def _ends(context: Context, solution: Solution) -> tuple[frozenset[str], frozenset[str]]:
    """Nodes that the battery's posts reach without passing a load or a source."""
    edges = [(b.a, b.b) for b in solution.branches.values() if b.kind not in ("load", "source")]
    plus, minus = battery_pins(context.vehicle)
    return reach(edges, inside(plus)), reach(edges, inside(minus))


def _drop(context: Context, solution: Solution, load: Load) -> float:
    plus, minus = (inside(pin) for pin in battery_pins(context.vehicle))
    volts = solution.volts
    return (
        volts[plus] - volts[inside(load.from_pin)] + volts[inside(load.to_pin)]
        - volts.get(minus, 0.0)
    )  # fmt: skip


def allowance_v(context: Context, device: Device, load: Load) -> float:
    """Volts that a load may lose, feed and return together."""
    if device.kind == "starter":
        return STARTER_DROP_V
    about = context.vehicle.description.vehicle
    circuits = context.vehicle.circuits
    fed_by = [circuits[c].written for c in circuits_at(context.vehicle, load.from_pin)]
    pinned = [c.drop for c in fed_by if c.drop is not None]
    if pinned:
        return max(pinned)
    critical = load.critical or device.written.critical or any(c.critical for c in fed_by)
    return about.nominal * (about.critical_drop if critical else about.drop)


def _finding(device: Device, load: Load, worst: float, allowed: float, state: str) -> Finding:
    return Finding(
        RULE, "warning", load.id,
        f"{device.title} ({load.id}) loses {worst:.2f} V between the battery and itself, feed and "
        f"return, in '{state}'; {allowed:.2f} V is allowed.",
        "Use larger or shorter wire, a nearer ground, or feed it through a relay close to it.",
        SOURCE, device.where,
    )  # fmt: skip
