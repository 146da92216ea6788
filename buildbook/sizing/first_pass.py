"""What a harness laid once, sized and solved, teaches about laying it again."""

from __future__ import annotations

import math
from dataclasses import asdict, dataclass, field
from typing import Any

from buildbook.electrical.model import Solved
from buildbook.harness.model import Harness, Wire
from buildbook.harness.pass_throughs import PARALLEL_SHARE
from buildbook.harness.splices import Leg
from buildbook.harness.wires import LegKey, wire_key
from buildbook.sizing.model import Sizing


@dataclass(frozen=True)
class Learned:
    """By circuit id, the largest current in A and the area in mm2 at pass-throughs; by end."""

    current_a: dict[str, float] = field(default_factory=dict)
    area_mm2: dict[str, float] = field(default_factory=dict)
    legs: dict[LegKey, Leg] = field(default_factory=dict)
    """What is known of the wire to each end of a spliced circuit."""
    parallel: dict[LegKey, int] = field(default_factory=dict)
    """Conductors side by side, where the thickest cannot carry the current alone."""
    crossing_a: dict[tuple[str, str], float] = field(default_factory=dict)
    """(Pass-through, circuit id) -> A that cross it: a circuit's trunk may carry far more."""


def written(known: Learned) -> dict[str, Any]:
    """As plain data, for JSON."""
    return {
        "current_a": known.current_a,
        "area_mm2": known.area_mm2,
        "legs": [[*key, asdict(leg)] for key, leg in known.legs.items()],
        "parallel": [[*key, count] for key, count in known.parallel.items()],
        "crossing_a": [[*key, amps] for key, amps in known.crossing_a.items()],
    }


def read_learned(data: Any) -> Learned | None:
    """What `written` gave; None where it is something else."""
    try:
        legs = {(a, b, c): Leg(**leg) for a, b, c, leg in data["legs"]}
        parallel = {(a, b, c): int(count) for a, b, c, count in data["parallel"]}
        crossing_a = {(a, b): float(amps) for a, b, amps in data["crossing_a"]}
        return Learned(dict(data["current_a"]), dict(data["area_mm2"]), legs, parallel, crossing_a)
    except (KeyError, TypeError, ValueError):
        return None


def learn(harness: Harness, sizing: Sizing, solved: Solved) -> Learned:
    """Currents, areas and counts of conductors from a first pass."""
    found = Learned()
    for wire in harness.wires.values():
        amps, _state = solved.wire_current(wire.id)
        area = sizing.wires[wire.id].area_mm2
        found.current_a[wire.circuit] = max(amps, found.current_a.get(wire.circuit, 0.0))
        if "half" in (wire.a.kind, wire.b.kind):
            found.area_mm2[wire.circuit] = max(area, found.area_mm2.get(wire.circuit, 0.0))
        key = wire_key(wire.circuit, wire.harness, wire.a, wire.b)
        if "splice" in (wire.a.kind, wire.b.kind):
            known = found.legs.get(key, Leg("", 0.0, 0.0))
            found.legs[key] = Leg("", max(area, known.area_mm2), max(amps, known.current_a))
        count = _conductors(wire, sizing)
        if count > 1:
            found.parallel[key] = max(count, found.parallel.get(key, 1))
    found.crossing_a.update(_crossings(harness, solved))
    return found


def _crossings(harness: Harness, solved: Solved) -> dict[tuple[str, str], float]:
    """What crosses each pass-through in each circuit: all its contacts of a half together."""
    of_half: dict[tuple[str, str, str], float] = {}
    for wire in harness.wires.values():
        amps, _state = solved.wire_current(wire.id)
        for end in (wire.a, wire.b):
            if end.kind == "half":
                pin, _, half = end.node.partition("/")
                key = (pin.rpartition(".")[0], wire.circuit, half)
                of_half[key] = of_half.get(key, 0.0) + amps
    found: dict[tuple[str, str], float] = {}
    for (device, circuit, _half), amps in of_half.items():
        found[device, circuit] = max(amps, found.get((device, circuit), 0.0))
    return found


def _conductors(wire: Wire, sizing: Sizing) -> int:
    """How many of the chosen conductor carry the current: 1 unless its heat limit is unmet."""
    sized = sizing.wires[wire.id]
    if sized.pinned:
        return 1
    heat = [limit for limit in sized.limits if limit.name == "heat" and limit.unit == "A"]
    short = [limit for limit in heat if not limit.met and limit.allowed > 0]
    return max(
        (math.ceil(limit.value / (PARALLEL_SHARE * limit.allowed)) for limit in short), default=1
    )
