"""Fuse by fuse and ground by ground: what hangs on it, what dies with it, what looks the same."""

from __future__ import annotations

from dataclasses import dataclass

from buildbook.book.chapter import Chapter
from buildbook.book.chapters.troubleshooting import ground_rows, said
from buildbook.book.drawings import Drawings
from buildbook.book.fault_wording import in_one_line, named_or_counted
from buildbook.book.shared_rows import unique
from buildbook.faultfinding.breaking import LADDER_OHM
from buildbook.faultfinding.model import Symptom
from buildbook.result import Result
from buildbook.vehicle.model import Device
from buildbook.words.say import say, say_n

NAMED = 8
"""Devices that are named, all of them."""
FIRST_NAMED = 5
"""Of more so many less one are named, and the others counted: the ground map shows them all."""
OTHERS = 3
"""Suspects of the same symptom that are named: the page told has all of them."""

LADDER_SHOWN = 3
"""Resistances tried of a poor joint that are named as examples, besides the most."""


@dataclass(frozen=True)
class LossRow:
    """A fuse or a ground: what hangs on it, what dies with it, and what else looks the same."""

    device: Device
    hanging: str
    dies: list[str]
    alike: str
    symptom: Symptom | None


def chapters(result: Result, drawings: Drawings) -> tuple[Chapter, ...]:
    feeds = {step.fuse: step.feeds for step in result.power_up.steps}
    symptom_of = {fault: s for s in result.faultfinding.symptoms for fault in s.suspects}
    poor = {name: (ohms, seen) for name, _, _, ohms, seen in ground_rows(result)}
    context = {
        "fuses": [
            (
                row(result, fuse, f"open fuse:{fuse.id}", feeds.get(fuse.id, ()), symptom_of),
                result.sizing.fuses.get(fuse.id),
            )
            for fuse in result.vehicle.all_of("fuse")
        ],
        "grounds": [
            (
                row(
                    result,
                    ground,
                    f"open ground:{ground.id}",
                    returns_to(result, ground),
                    symptom_of,
                ),
                *poor[ground.id],
            )
            for ground in result.vehicle.all_of("ground")
        ],
        "least_ohms": LADDER_OHM[:LADDER_SHOWN],
        "most_ohms": LADDER_OHM[-1],
    }
    title = say("Fuse by fuse, ground by ground")
    return (Chapter("reference", title, "reference.html", context),)


def returns_to(result: Result, ground: Device) -> tuple[str, ...]:
    """Ids of the devices with a pin on a circuit that ends at a ground point."""
    vehicle = result.vehicle
    circuits = {c for pin in ground.pins for c in vehicle.circuit_of_pin.get(pin.id, ())}
    pins = [
        pin
        for circuit in vehicle.circuits.values()
        if circuit.id in circuits
        for pin in circuit.pins
    ]
    return unique(pin.device for pin in pins if pin.device != ground.id)


def hung(titles: tuple[str, ...]) -> str:
    """What hangs on a fuse or a ground: all by name, or of many the first, and how many more."""
    most = NAMED if len(titles) <= NAMED else FIRST_NAMED
    return named_or_counted(titles, most) if titles else ""


def row(
    result: Result,
    device: Device,
    fault: str,
    hanging: tuple[str, ...],
    symptom_of: dict[str, Symptom],
) -> LossRow:
    """One fuse or ground: what hangs on it, what its loss does, and what else does just that."""
    devices = result.vehicle.devices
    symptom = symptom_of.get(fault)
    others = [name for name in symptom.suspects if name != fault] if symptom else []
    more = len(others) - OTHERS
    alike = in_one_line(result, others[:OTHERS])
    if more > 0:
        alike = say_n("{faults}; {n} more", "{faults}; {n} more", more, faults=alike)
    titles = unique(devices[name].title or name for name in hanging)
    return LossRow(
        device,
        hung(titles),
        said(result, result.faultfinding.effects.get(fault, ())),
        alike,
        symptom,
    )
