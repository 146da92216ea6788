"""Finds loads that lose too much voltage on the way from the battery and back."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from math import fsum

from buildbook.checks.conducting import battery_posts, reach, unloaded
from buildbook.checks.model import Finding
from buildbook.checks.naming import called, with_others
from buildbook.checks.questions import cranking_states, loads
from buildbook.checks.stages import Assessed
from buildbook.electrical.model import Solution
from buildbook.electrical.network import inside, volts_while_on
from buildbook.figures import decimals
from buildbook.sizing.drop_allowance import allowance, circuits_of, is_signal
from buildbook.sizing.load_paths import load_paths, state_said
from buildbook.sizing.voltage_drop import LEAST_SHARE
from buildbook.vehicle.model import Device, Load
from buildbook.words.say import say

RULE = "drop-above-allowance"
SEVERITY = "warning or note"
SOURCE = "the allowance in this description (vehicle: drop, critical drop), feed and return"
MOST_NAMED = 3
"""Of what takes the volts; the rest is added up."""
LEAST_TOLD = 0.1
"""Share of the volts in excess that a wire has to take, for its growing to matter."""
MOST_APART = 0.05
"""Share of the loss up to which its parts may miss it and still be told as all of it."""


@dataclass(frozen=True)
class Loss:
    """A load that loses too much in its worst state: volts, and what takes them, most first."""

    device: Device
    load: Load
    state: str
    volts: float
    allowed_v: float
    takers: tuple[tuple[str, float], ...]
    """Device or ground -> volts, of all that is no wire."""
    wires: tuple[str, ...]
    """Wires that would be thicker, if their contacts or their author let them."""

    wire_v: float
    """What its wires take, there and back."""

    @property
    def adds_up(self) -> bool:
        """Whether wires and takers make up the loss: what pulses loses more while it is on."""
        told = self.wire_v + fsum(v for _, v in self.takers)
        return abs(told - self.volts) <= MOST_APART * self.volts

    @property
    def uncurable(self) -> bool:
        """Whether what is no wire leaves too little for any wire."""
        return fsum(v for _, v in self.takers) > (1 - LEAST_SHARE) * self.allowed_v

    @property
    def cause(self) -> tuple[bool, str]:
        """Losses of one cause have one cure, and are told together."""
        most = self.takers[0][0] if self.takers else self.load.id
        return bool(self.wires) and not self.uncurable, most


def check(assessed: Assessed) -> Iterator[Finding]:
    """Report each cause once, with its loads; only the starter is judged while it turns."""
    by_cause: dict[tuple[bool, str], list[Loss]] = {}
    for loss in _losses(assessed):
        by_cause.setdefault(loss.cause, []).append(loss)
    for losses in by_cause.values():
        worst = max(losses, key=lambda x: (x.volts / x.allowed_v, x.load.id))
        yield _finding(worst, [x.load.id for x in losses if x is not worst])


def _losses(assessed: Assessed) -> Iterator[Loss]:
    """Each load that is allowed less than it loses while it is on, in its worst state."""
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
            takers, wires, wire_v = _on_the_way(assessed, load, state, worst - allowed)
            yield Loss(device, load, state, worst, allowed, takers, wires, wire_v)


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


def _on_the_way(
    assessed: Assessed, load: Load, state: str, excess_v: float
) -> tuple[tuple[tuple[str, float], ...], tuple[str, ...], float]:
    """Volts of all that is no wire by device, most first, the wires that could not grow and take
    so much that it matters, and the volts of all wires."""
    solution = assessed.solved.meter[state]
    heating = {state: assessed.solved.heating[state]}
    paths = load_paths(assessed.vehicle, heating, (load.id,))
    found: dict[str, float] = {}
    wire_v: dict[str, float] = {}
    for branch in (b for path in paths for b in path.counted if b.kind != "source"):
        volts = abs(solution.current_a[branch.id]) * branch.on_ohms
        if branch.kind == "wire":
            wire_v[branch.ref] = wire_v.get(branch.ref, 0.0) + volts
        else:
            name = branch.ref.split("/")[0].rpartition(".")[0] or branch.ref
            found[name] = found.get(name, 0.0) + volts
    circuits = {circuit.id for circuit in circuits_of(assessed.vehicle, load)}
    on_it = {wire for path in paths for wire in path.wires}
    wires = [
        wire.id
        for wire in assessed.harness.wires.values()
        if (wire.id in on_it if paths else wire.circuit in circuits)
        and any(x.name == "drop" and not x.met for x in assessed.sizing.wires[wire.id].limits)
    ]
    held = [wire for wire in wires if _is_held(assessed, wire)] or wires
    told = [wire for wire in held if wire_v.get(wire, 0.0) >= LEAST_TOLD * excess_v]
    takers = sorted(found.items(), key=lambda taker: (-taker[1], taker[0]))
    return tuple(takers), tuple(told or held), fsum(wire_v.values())


def _is_held(assessed: Assessed, wire: str) -> bool:
    """Whether a wire is as thick as it may be, by its author or by the contacts at its ends."""
    sized = assessed.sizing.wires[wire]
    crimps = [x.allowed for x in sized.limits if x.name == "terminal" and x.unit == "mm2"]
    sizes = assessed.vehicle.wire_families[sized.family].conductors
    thicker = [c.area_mm2 for c in sizes if c.area_mm2 > sized.area_mm2]
    return sized.pinned or any(not thicker or thicker[0] > most + 1e-9 for most in crimps)


def _finding(loss: Loss, others: list[str]) -> Finding:
    """A warning where wires are held too thin, a note where contacts and fuses take it."""
    return Finding(
        RULE,
        "warning" if loss.cause[0] else "note",
        loss.load.id,
        _text(loss, others),
        _remedy(loss),
        SOURCE,
        loss.device.where,
        also=tuple(others),
    )


def _text(loss: Loss, others: list[str]) -> str:
    volts, allowed = loss.volts, loss.allowed_v
    digits = 3 if f"{volts:.2f}" == f"{allowed:.2f}" else 2  # too much must read as too much
    text = say(
        "{load} loses {lost_v} V between the battery and itself, feed and return, in '{state}'; "
        "{allowed_v} V is allowed.",
        load=called(loss.device.title, loss.load.id),
        lost_v=decimals(volts, digits),
        state=state_said(loss.state),
        allowed_v=decimals(allowed, digits),
    )
    if loss.takers:
        named = [f"{name} {decimals(volts, 2)} V" for name, volts in loss.takers[:MOST_NAMED]]
        rest_v = fsum(v for _, v in loss.takers[MOST_NAMED:])
        if loss.adds_up:
            text += say(
                " Of it {most}, all else but wire {rest_v:.2f} V, and wire {wire_v:.2f} V.",
                most=", ".join(named),
                rest_v=rest_v,
                wire_v=loss.wire_v,
            )
        else:
            text += say(
                " Of it {most} and all else but wire {rest_v:.2f} V.",
                most=", ".join(named),
                rest_v=rest_v,
            )
    return with_others(text, others)


def _remedy(loss: Loss) -> str:
    if loss.cause[0]:
        return say(
            "The contacts at {wires}, or the author's size, hold them too thin: take a plug for "
            "larger wire, two contacts side by side, or a shorter way; or feed it through a relay "
            "close to it.",
            wires=", ".join(loss.wires),
        )
    if loss.takers and loss.adds_up and loss.wire_v > loss.volts / 2:
        return say(
            "What is no wire leaves too little for any wire: take larger contacts at {place} or "
            "two side by side, feed it another way that has fewer, or allow more (`drop`). Thicker "
            "wire (`least size`) saves a part of its {wire_v:.2f} V.",
            place=loss.takers[0][0],
            wire_v=loss.wire_v,
        )
    if loss.takers:
        return say(
            "No wire that makes sense makes up for it: take larger contacts at {place} or two side "
            "by side, feed it another way that has fewer, or allow more (`drop`).",
            place=loss.takers[0][0],
        )
    return say(
        "No wire that makes sense makes up for it: take larger contacts or two side by side, feed "
        "it another way that has fewer, or allow more (`drop`)."
    )
