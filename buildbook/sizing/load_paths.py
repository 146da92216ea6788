"""The way a load's current takes: from its source, through wires and fuses, and back."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, field
from math import fsum

from buildbook.electrical.model import Branch, Solution
from buildbook.electrical.network import inside
from buildbook.sizing.drop_allowance import allowance, is_signal
from buildbook.sizing.slow_pulses import added_while_on_a
from buildbook.vehicle.model import Load, Vehicle
from buildbook.words.say import mark, say

TRICKLE_A = 1e-4
"""Below this a load is a signal's input, not a load."""
CRANKING_A = 20.0
FLAT_BATTERY = mark("flat battery charging", context="state")
"""Named as the state where a flat battery takes all that the alternator gives."""


@dataclass(frozen=True)
class LoadPath:
    """Branches on the way of one load in one state, nearest the load first."""

    load: Load
    state: str
    current_a: float
    feed: tuple[Branch, ...]
    back: tuple[Branch, ...]
    other_drop_v: float
    """Lost in contacts, fuses, switches and joints: what a thicker wire cannot help."""
    allowed_v: float
    signal: bool
    wires: tuple[str, ...]
    """Wires whose drop counts. While the battery is charged, those between alternator and battery
    do not: the regulator makes up for them, and they have a way of their own."""
    source: str = "battery"
    """Branch that drives the current: 'battery', 'alternator' or 'source:ecu.B1'."""
    kind: str = "ordinary"
    """Kind of allowance: author, critical, ordinary or cranking."""
    counted: tuple[Branch, ...] = ()
    """Branches whose drop counts, from the source to the load and back."""
    amps: Mapping[str, float] = field(default_factory=dict)
    """Branch id -> amps in its state, of all branches of the network; either sign. Those of a load
    that pulses slowly are those while it is on."""

    @property
    def lost_v(self) -> float:
        """Lost in all that counts, as it was solved."""
        wires_v = fsum(abs(self.amps[b.id]) * b.ohms for b in self.counted if b.kind == "wire")
        return wires_v + self.other_drop_v


def load_paths(
    vehicle: Vehicle, solutions: Mapping[str, Solution], only: Collection[str] | None = None
) -> list[LoadPath]:
    """A path for every load that draws, in every state; of `only` these loads where given.

    What merely leaks round between two grounds, through a load that is off, has no path.
    """
    found = []
    charging = charging_branches(vehicle, solutions)
    cranking = cranking_states(vehicle, solutions)
    for solution in solutions.values():
        for device in vehicle.devices.values():
            for load in device.loads:
                current = solution.current_a.get(f"load:{load.id}", 0.0)
                if abs(current) > TRICKLE_A and (only is None or load.id in only):
                    made_up = charging if solution.alternator_a > 0 else frozenset()
                    turning = solution.state in cranking
                    path = _path(vehicle, solution, load, current, made_up, turning)
                    if path.source:
                        found.append(path)
    return found


def charging_branches(vehicle: Vehicle, solutions: Mapping[str, Solution]) -> frozenset[str]:
    """Branches between alternator and battery: a flat battery sends its whole output through."""
    found: set[str] = set()
    for solution in solutions.values():
        if solution.charging_a > 0:
            feed, back, _source = _charging_way(vehicle, solution)
            found |= {branch.id for branch in (*feed, *back)}
    return frozenset(found)


def _batteries(vehicle: Vehicle, solution: Solution) -> list[Branch]:
    """The first battery, or those that stand on one another, the one with the highest plus first.

    Empty where one of them is out of the network.
    """
    supply = vehicle.supply
    names = supply.string[::-1] if supply.earth == "positive" else supply.string
    names = names or (supply.battery.id,)
    if not solution.branches.keys() >= {*names}:
        return []
    return [solution.branches[name] for name in names]


def _charging_way(vehicle: Vehicle, solution: Solution) -> tuple[list[Branch], list[Branch], str]:
    """What leads to the plus of the batteries, nearest them first, what leads on from there.

    With the id of the source that the first begins at; the links between batteries are of the
    second.
    """
    batteries = _batteries(vehicle, solution)
    if not batteries:
        return [], [], ""
    feed, source = _walk(solution, batteries[0].a, 1.0, frozenset())
    links = (_walk(solution, b.a, 1.0, frozenset())[0] for b in batteries[1:])
    back = _walk(solution, batteries[-1].b, -1.0, frozenset())[0]
    return feed, [*(branch for link in links for branch in link), *back], source


def charging_path(vehicle: Vehicle, solutions: Mapping[str, Solution]) -> LoadPath | None:
    """The way from alternator to battery and back, with all that the alternator gives in it.

    None where no state charges. It may lose what any load may, unless an author says otherwise.
    """
    generator = vehicle.supply.generator
    charged = max(solutions.values(), key=lambda s: s.charging_a, default=None)
    if generator is None or charged is None or charged.charging_a <= 0:
        return None
    feed, back, source = _charging_way(vehicle, charged)
    if source != generator.id:
        return None
    most_a = max((amps for _rpm, amps in generator.curve), default=0.0)
    counted = (*reversed(feed), *back)
    device = generator.plus_pin.rpartition(".")[0]
    ends = (generator.plus_pin, generator.minus_pin)
    load = Load(device, device, *ends, 0.0, 1.0, frozenset([FLAT_BATTERY]), 0.0)
    allowed = allowance(vehicle, load)
    return LoadPath(
        load,
        FLAT_BATTERY,
        most_a,
        tuple(feed),
        tuple(back),
        fsum(most_a * b.on_ohms for b in counted if b.kind != "wire"),
        allowed.volts,
        False,
        tuple(b.ref for b in counted if b.kind == "wire"),
        source,
        allowed.kind,
        counted,
        {b.id: most_a for b in counted},
    )


def cranking_states(vehicle: Vehicle, solutions: Mapping[str, Solution]) -> frozenset[str]:
    """States in which a starter turns."""
    loads = [x.id for d in vehicle.all_of("starter") for x in d.loads]
    return frozenset(
        state
        for state, solution in solutions.items()
        if any(abs(solution.current_a.get(f"load:{x}", 0.0)) > CRANKING_A for x in loads)
    )


def _walk(
    solution: Solution, node: str, sign: float, live: frozenset[str]
) -> tuple[list[Branch], str]:
    """Follow the largest current into (sign 1) or out of (-1) each node, to a source.

    A source that stands on another, both its ends being of `live`, is passed. Returns the
    branches and the id of the source, '' where there is none at the end.
    """
    way: list[Branch] = []
    seen = {node}
    while True:
        best, best_a = None, 1e-9
        for branch, into in solution.at.get(node, []):
            other = branch.b if branch.a == node else branch.a
            if into * sign > best_a and branch.leads and other not in seen:
                best, best_a = branch, into * sign
        if best is None:
            return way, ""
        if best.kind == "source" and not {best.a, best.b} <= live:
            return way, best.id
        way.append(best)
        node = best.b if best.a == node else best.a
        seen.add(node)


def _counted(
    solution: Solution,
    ends: tuple[str, str],
    ways: tuple[list[Branch], list[Branch]],
    made_up: frozenset[str],
    batteries: list[Branch],
) -> list[list[Branch]]:
    """The branches of feed and return, nearest the load first, whose drop counts.

    Where battery and alternator feed together, they count from the battery, where the volts
    are those of its charge: an alternator at its limit regulates nothing.
    """
    found = []
    together = bool(batteries and made_up) and solution.charging_a < 0
    posts = (batteries[0].a, batteries[-1].b) if batteries else ("", "")
    for end, way, post, sign in zip(ends, ways, posts, (-1.0, 1.0), strict=True):
        given = _walk(solution, post, sign, frozenset())[0] if together else []
        nodes = _nodes(end, way)
        met = next((n for n, node in enumerate(_nodes(post, given)) if node in nodes), None)
        if together and met is not None:
            meeting = _nodes(post, given)[met]
            found.append([*way[: nodes.index(meeting)], *reversed(given[:met])])
        else:
            found.append([branch for branch in way if branch.id not in made_up])
    return found


def _nodes(start: str, way: list[Branch]) -> list[str]:
    """Nodes along a way, its start with them."""
    nodes = [start]
    for branch in way:
        nodes.append(branch.b if branch.a == nodes[-1] else branch.a)
    return nodes


def _path(
    vehicle: Vehicle,
    solution: Solution,
    load: Load,
    current: float,
    made_up: frozenset[str],
    cranking: bool,
) -> LoadPath:
    branch = solution.branches[f"load:{load.id}"]
    high, low = (branch.a, branch.b) if current > 0 else (branch.b, branch.a)
    live = frozenset(inside(pin) for pin in vehicle.supply.live_pins)
    feed, source = _walk(solution, high, 1.0, live)
    back, _ = _walk(solution, low, -1.0, live)
    batteries = _batteries(vehicle, solution)
    lead, tail = _counted(solution, (high, low), (feed, back), made_up, batteries)
    counted = (*reversed(lead), *tail)
    amps: Mapping[str, float] = solution.current_a
    if more_a := added_while_on_a(load, abs(current)):
        amps = {**amps, **{b.id: abs(amps[b.id]) + more_a for b in counted}}
    others = (b for b in counted if b.kind not in ("wire", "source"))
    other = fsum(abs(amps[b.id]) * b.on_ohms for b in others)
    wires = tuple(b.ref for b in counted if b.kind == "wire")
    allowed = allowance(vehicle, load, cranking)
    return LoadPath(
        load,
        solution.state,
        abs(current),
        tuple(feed),
        tuple(back),
        other,
        allowed.volts,
        is_signal(vehicle, load),
        wires,
        source,
        allowed.kind,
        counted,
        amps,
    )


def state_said(state: str) -> str:
    """A state as its author calls it; that of a flat battery, which is ours."""
    return say(state, context="state") if state == FLAT_BATTERY else state
