"""Everything but wire and fuse that has to carry it: contacts, drivers, outputs, coils, splices."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from math import fsum

from buildbook.electrical.model import Solved
from buildbook.electrical.network import volts_while_on
from buildbook.harness.model import Harness, Splice
from buildbook.sizing.model import Limit, RatedPart
from buildbook.vehicle.model import Contact, Device, Load, Source, Vehicle
from buildbook.words.say import mark

STATED = mark("the limit in this description, from the device's data sheet")
PULLS_IN = mark("pull-in share of nominal in this description: below it the relay may stay open")
SUPPRESSED = mark(
    "common practice, no source: a coil's spike is taken up at the coil or its driver"
)
SPLICED = mark("barrel of a parallel splice, copper of the thicker side (memory)")
BARREL_MM2 = 16.0
"""Largest copper of one side in a crimped parallel splice of the trade (memory)."""
PULL_UP_SHARE = 0.5
"""An output that loses more than this of its volts at its limit is a pull-up resistor, which
no load can hurt. Our choice."""


def rated_parts(
    vehicle: Vehicle, harness: Harness, solved: Solved, areas_mm2: Mapping[str, float]
) -> tuple[RatedPart, ...]:
    """What each contact, driver, output, coil and splice carries, and what it may."""
    found: list[RatedPart] = []
    for device in vehicle.devices.values():
        found += (_contact(device, c, solved) for c in device.contacts if c.limit_a is not None)
        found += (_output(device, s, solved) for s in device.sources if is_output(s))
        if device.kind == "relay":
            found += (_coil(device, x, solved) for x in device.loads if x.works_from_v)
    found += _splices(harness, areas_mm2)
    return tuple(found)


def is_output(source: Source) -> bool:
    """Whether a source is there to feed something, and is no pull-up resistor."""
    return source.ohms * source.limit_a < PULL_UP_SHARE * source.volts


def largest_a(solved: Solved, branch: str) -> tuple[float, str]:
    """Largest current of a branch in any state, root mean square or average, and the state."""
    both = [*solved.heating.items(), *solved.meter.items()]
    found = [(abs(s.current_a.get(branch, 0.0)), state) for state, s in both]
    return max(found, key=lambda pair: pair[0], default=(0.0, ""))


def _contact(device: Device, contact: Contact, solved: Solved) -> RatedPart:
    amps, state = largest_a(solved, f"contact:{contact.id}")
    limit = Limit("contact", amps, contact.limit_a or 0.0, "A", "", STATED)
    kind = "driver" if contact.kind == "pull-down" else contact.kind
    return RatedPart(contact.id, device.id, kind, state, (limit,))


def _output(device: Device, source: Source, solved: Solved) -> RatedPart:
    amps, state = largest_a(solved, f"source:{source.id}")
    limit = Limit("output", amps, source.limit_a, "A", "", STATED)
    return RatedPart(source.id, device.id, "output", state, (limit,))


def _coil(device: Device, load: Load, solved: Solved) -> RatedPart:
    """The least volts across the coil in any state in which its contact is closed by it."""
    closed = {c.id for c in device.contacts if c.control and not c.inverted}
    volts = [
        (volts_while_on(solution, load), state)
        for state, solution in solved.meter.items()
        if closed & solution.closed
    ]
    least, state = min(volts, default=(load.works_from_v, ""))
    rows = [Limit("pulls in", load.works_from_v, least, "V", "", PULLS_IN)] if volts else []
    bare = device.written.coil is None or device.written.coil.suppressed == "none"
    rows.append(Limit("suppressed", float(bare), 0.0, "", "", SUPPRESSED))
    return RatedPart(load.id, device.id, "coil", state, tuple(rows))


def _splices(harness: Harness, areas_mm2: Mapping[str, float]) -> Iterator[RatedPart]:
    for splice in harness.splices.values():
        total = thicker_side_mm2(splice, areas_mm2)
        limit = Limit("barrel", total, BARREL_MM2, "mm2", "", SPLICED)
        yield RatedPart(splice.id, splice.circuit, "splice", "", (limit,))


def thicker_side_mm2(splice: Splice, areas_mm2: Mapping[str, float]) -> float:
    """Copper in the barrel with the thickest wire on one side and all others on the other."""
    areas = sorted((areas_mm2[w] for w in splice.wires), reverse=True)
    return max(areas[0], fsum(areas[1:]))
