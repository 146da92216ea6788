"""The vehicle as branches between nodes: what is fixed, what a state or a voltage switches."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from buildbook.description.models import Converter
from buildbook.electrical.laws.of_load import Law, law_of
from buildbook.electrical.model import Branch, Solution, Solved
from buildbook.electrical.sources import Source
from buildbook.harness.model import Harness
from buildbook.vehicle.model import Contact, Load, Vehicle

SMALLEST_OHMS = 1e-6
"""Keeps a joint written as zero solvable; a thousandth of any real contact."""

UNNAMED_CONTACT_OHMS = 0.005
"""Of a pass-through pin whose contact family is not known (memory)."""

REVERSE_A = 4.0
"""Current back into a dynamo at which its cut-out opens; 3 to 5 A (memory)."""

STUD_CONTACT_V = 0.1
"""Lost in a power contact (isolator, starter solenoid) at the rating of its studs (memory)."""


@dataclass(frozen=True)
class Element:
    """A branch and when it conducts: in `states`, and while `control` reaches `control_v`."""

    branch: Branch
    states: frozenset[str]
    control: tuple[str, str] | None = None
    control_v: float = 0.0
    inverted: bool = False
    duty: float = 1.0
    either_way: bool = False
    """The control voltage may have either sign (a relay coil)."""
    holds_v: float | None = None
    """Control volts down to which it stays once it conducts; None where it has but one limit."""
    one_way: bool = False
    """Once it conducts it stays until `REVERSE_A` come back through it, whatever its control."""
    law: Law | None = None
    """How its current follows its volts; None where that is Ohm's law."""
    pulsed_by: str = ""
    """Branch id of the driver that makes its duty."""
    frequency_hz: float | None = None
    """Of its pulses; None where that is not said."""


@dataclass(frozen=True)
class Network:
    """Elements in a stable order, the nodes they join, and what gives current.

    The reference node (the earthed post of a battery, inside) is not in `nodes`.
    """

    elements: tuple[Element, ...]
    nodes: tuple[str, ...]
    reference: str
    sources: tuple[Source, ...]
    states: tuple[str, ...]


def inside(pin: str) -> str:
    """Node behind a pin's mating contact; the chassis is its own node."""
    return pin if pin == "chassis" else f"{pin}~"


def across(solution: Solution, plus_pin: str, minus_pin: str) -> float:
    """Volts between two pins, behind their contacts; 0 where a pin is not in the network."""
    volts = solution.volts
    return volts.get(inside(plus_pin), 0.0) - volts.get(inside(minus_pin), 0.0)


def volts_while_on(solution: Solution, load: Load) -> float:
    """Volts across a load while it is on, from the mean of a solution as a meter reads it.

    What a driver pulses has none while the driver is open, so its mean is the duty's share; the
    other half of a bridge may drive it without a pulse.
    """
    mean_v = abs(across(solution, load.from_pin, load.to_pin))
    return mean_v / load.duty if in_pulses(solution, load) else mean_v


def in_pulses(solution: Solution, load: Load) -> bool:
    """Whether a driver pulses a load: a meter shows means of it."""
    return not solution.closed.isdisjoint((load.pulsed_by, load.pulsed_back_by))


def network_ohms(solved: Solved) -> tuple[dict[str, float], dict[str, float]]:
    """Wire and fuse resistances as they stood in the solution, by wire id and fuse id."""
    branches = [b for s in solved.meter.values() for b in s.branches.values()]
    return (
        {b.ref: b.ohms for b in branches if b.kind == "wire"},
        {b.ref: b.ohms for b in branches if b.kind == "fuse"},
    )


def build_network(
    vehicle: Vehicle,
    harness: Harness,
    wire_ohms: Mapping[str, float],
    fuse_ohms: Mapping[str, float],
) -> Network:
    """Join wires, contacts, devices and supply into one network for all states."""
    always = frozenset(vehicle.states)
    elements = [
        Element(Branch(f"wire:{w.id}", "wire", w.id, w.a.node, w.b.node, wire_ohms[w.id]), always)
        for w in harness.wires.values()
    ]
    elements += _pass_through_contacts(harness, always)
    devices = _device_elements(vehicle, fuse_ohms, always)
    sources = _sources(vehicle)
    reference = inside(vehicle.supply.earthed_pin)
    ends = [n for s in sources for n in (s.plus, s.minus, *(s.fed_by or ()))]
    elements += _pin_contacts(vehicle, harness, devices, ends, always) + devices
    elements = [
        replace(e, branch=replace(e.branch, ohms=max(e.branch.ohms, SMALLEST_OHMS)))
        for e in elements
    ]
    names = dict.fromkeys(n for e in elements for n in (e.branch.a, e.branch.b))
    names.update(dict.fromkeys(ends))
    names.pop(reference, None)
    return Network(tuple(elements), tuple(names), reference, sources, vehicle.states)


def with_ohms(
    network: Network, wire_ohms: Mapping[str, float], fuse_ohms: Mapping[str, float]
) -> Network:
    """The network with other wires and fuses; what is not named stays."""

    def changed(element: Element) -> Element:
        branch = element.branch
        new = {"wire": wire_ohms, "fuse": fuse_ohms}.get(branch.kind, {}).get(branch.ref)
        if new is None:
            return element
        return replace(element, branch=replace(branch, ohms=max(new, SMALLEST_OHMS)))

    return replace(network, elements=tuple(changed(e) for e in network.elements))


def _pass_through_contacts(harness: Harness, always: frozenset[str]) -> list[Element]:
    pins = {p.id: p for c in harness.connectors.values() for p in c.pins}
    found = []
    for pair in harness.pass_pins:
        pin = f"{pair.device}.{pair.cavity}"
        if len(pair.wires) == 2:
            one, other = (f"{pin}/{name}" for name in pair.wires)
            contact = next((pins[h].contact for h in (one, other) if h in pins), None)
            ohms = contact.ohms if contact else UNNAMED_CONTACT_OHMS
            found.append(Element(Branch(f"pin:{pin}", "pin", pin, one, other, ohms), always))
    return found


def _pin_contacts(
    vehicle: Vehicle,
    harness: Harness,
    devices: list[Element],
    ends: Iterable[str],
    always: frozenset[str],
) -> list[Element]:
    touched = {n for e in devices for n in (e.branch.a, e.branch.b)} | set(ends)
    touched |= {n for e in devices for n in e.control or ()}
    return [
        Element(Branch(f"pin:{p.id}", "pin", p.id, p.id, inside(p.id), p.contact.ohms), always)
        for p in vehicle.pins.values()
        if harness.wire_at.get(p.id) or inside(p.id) in touched
    ]


def _device_elements(
    vehicle: Vehicle, fuse_ohms: Mapping[str, float], always: frozenset[str]
) -> list[Element]:
    found: list[Element] = []
    for device in vehicle.devices.values():
        for bond in device.bonds:
            ohms = fuse_ohms.get(device.id, bond.ohms) if bond.kind == "fuse" else bond.ohms
            ends = inside(bond.from_pin), inside(bond.to_pin)
            branch = Branch(f"{bond.kind}:{bond.id}", bond.kind, bond.id, *ends, ohms)
            found.append(Element(branch, always))
        for contact in device.contacts:
            a, b = inside(contact.from_pin), inside(contact.to_pin)
            ohms = contact_ohms(vehicle, contact)
            branch = Branch(f"contact:{contact.id}", "contact", contact.id, a, b, ohms)
            found.append(
                Element(
                    branch,
                    contact.states,
                    _control(contact.control),
                    contact.control_v,
                    contact.inverted,
                    contact.duty,
                    either_way=contact.kind == "relay",
                    holds_v=contact.holds_v,
                    one_way=contact.one_way,
                    frequency_hz=contact.frequency_hz,
                )
            )
            if contact.leaks_ohm:
                leak = replace(branch, id=f"leak:{contact.id}", kind="leak", ohms=contact.leaks_ohm)
                found.append(Element(leak, always))
        for load in device.loads:
            ends = inside(load.from_pin), inside(load.to_pin)
            branch = Branch(f"load:{load.id}", "load", load.id, *ends, load.ohms)
            found.append(_load_element(branch, load, always))
        for source in device.sources:
            ends = inside(source.plus_pin), inside(source.minus_pin)
            branch = Branch(
                f"source:{source.id}", "source", source.id, *ends, source.ohms, source.volts
            )
            found.append(Element(branch, always, _control(source.control), source.control_v))
    return found


def _load_element(branch: Branch, load: Load, always: frozenset[str]) -> Element:
    """A passive load conducts whatever is meant; electronics and what pulses itself when meant.

    Electronics draw from the volts on that their device works from.
    """
    if load.control is not None:
        control = _control(load.control)
        return Element(
            branch,
            load.states,
            control,
            load.control_v,
            duty=load.duty,
            frequency_hz=load.frequency_hz,
        )
    if load.pulses_itself:
        return Element(
            branch,
            load.states,
            duty=load.duty,
            law=law_of(load),
            frequency_hz=load.frequency_hz,
        )
    pulsed_by = f"contact:{load.pulsed_by}" if load.pulsed_by else ""
    return Element(branch, always, law=law_of(load), pulsed_by=pulsed_by)


def contact_ohms(vehicle: Vehicle, contact: Contact) -> float:
    """Ohms of a closed contact; between studs it is a power contact and of their class."""
    pins = vehicle.pins[contact.from_pin], vehicle.pins[contact.to_pin]
    if not all(pin.contact.stud for pin in pins):
        return contact.ohms
    return min(contact.ohms, STUD_CONTACT_V / min(pin.contact.amps for pin in pins))


def _control(pins: tuple[str, str] | None) -> tuple[str, str] | None:
    return (inside(pins[0]), inside(pins[1])) if pins else None


def _sources(vehicle: Vehicle) -> tuple[Source, ...]:
    """All that gives current, behind the contacts of its pins."""
    found = []
    for source in vehicle.supply.sources:
        fed = source.input_pins
        converter = source.written if isinstance(source.written, Converter) else None
        found.append(
            Source(
                source.id,
                source.kind,
                inside(source.plus_pin),
                inside(source.minus_pin),
                source.emf_v,
                source.ohms,
                source.back_ohms,
                source.limit_a,
                inside(source.sense_pin) if source.sense_pin else "",
                (inside(fed[0]), inside(fed[1])) if fed else None,
                converter.efficiency if converter else 1.0,
                converter.works_from if converter else 0.0,
            )
        )
    return tuple(found)
