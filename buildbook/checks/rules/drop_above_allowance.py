"""Finds loads that lose too much voltage on the way from the battery and back."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from buildbook.checks.conducting import battery_posts, reach, unloaded
from buildbook.checks.model import Finding
from buildbook.checks.naming import called
from buildbook.checks.questions import cranking_states, loads
from buildbook.checks.stages import Assessed
from buildbook.electrical.model import Solution
from buildbook.electrical.network import inside, volts_while_on
from buildbook.sizing.drop_allowance import allowance, circuits_of, is_signal
from buildbook.vehicle.model import Device, Load

RULE = "drop-above-allowance"
SEVERITY = "warning or note"
SOURCE = "the allowance in this description (vehicle: drop, critical drop), feed and return"


def check(assessed: Assessed) -> Iterator[Finding]:
    """Report each load once, in its worst state; only the starter is judged while it turns."""
    cranking = cranking_states(assessed.vehicle)
    reached = {state: _reached(assessed, s) for state, s in assessed.solved.meter.items()}
    for device, load in loads(assessed.vehicle):
        if is_signal(assessed.vehicle, load):
            continue
        drops = [
            (_drop_v(solution, *between, load), state)
            for state, solution in assessed.solved.meter.items()
            if state in load.states
            and (state not in cranking or device.kind == "starter")
            and (between := _posts_of(reached[state], load))
        ]
        worst, state = max(drops, default=(0.0, ""))
        allowed = allowance(assessed.vehicle, load).volts
        if worst > allowed + 1e-6:
            yield _finding(assessed, device, load, worst, allowed, state)


def _reached(assessed: Assessed, solution: Solution) -> dict[str, frozenset[str]]:
    """Post of a battery -> nodes that it reaches without passing a load or a source."""
    edges = unloaded(solution)
    return {post: reach(edges, post) for post in battery_posts(assessed.vehicle)}


def _posts_of(reached: Mapping[str, frozenset[str]], load: Load) -> tuple[str, str] | None:
    """The two posts that a load lies between; None where it is in series or fed otherwise."""
    ends = (inside(load.from_pin), inside(load.to_pin))
    one, other = (next((p for p, nodes in reached.items() if e in nodes), "") for e in ends)
    return (one, other) if one and other and one != other else None


def _drop_v(solution: Solution, one: str, other: str, load: Load) -> float:
    """What stands between the posts, less what the load has of it."""
    given_v = solution.across(one, other)
    has_v = volts_while_on(solution, load)
    return given_v - has_v if given_v >= 0 else has_v - given_v


def _thin_wires(assessed: Assessed, load: Load) -> list[str]:
    """Wires beside the load that sizing could not make thick enough for the drop."""
    circuits = {circuit.id for circuit in circuits_of(assessed.vehicle, load)}
    wires = (w.id for w in assessed.harness.wires.values() if w.circuit in circuits)
    return [
        wire
        for wire in wires
        if any(x.name == "drop" and not x.met for x in assessed.sizing.wires[wire].limits)
    ]


def _finding(
    assessed: Assessed, device: Device, load: Load, worst: float, allowed: float, state: str
) -> Finding:
    """A warning where a thicker wire would help, a note where contacts and fuses take it."""
    thin = _thin_wires(assessed, load)
    digits = 3 if f"{worst:.2f}" == f"{allowed:.2f}" else 2  # too much must read as too much
    return Finding(
        RULE,
        "warning" if thin else "note",
        load.id,
        f"{called(device.title, load.id)} loses {worst:.{digits}f} V between the battery and "
        "itself, "
        f"feed and return, in '{state}'; {allowed:.{digits}f} V is allowed.",
        f"Use larger or shorter wire for {', '.join(thin)}, or feed it through a relay close to it."
        if thin
        else "The wires keep their share: use fewer or larger contacts on the way, or allow more.",
        SOURCE,
        device.where,
    )
