"""Every single fault of a vehicle, and how likely each kind is."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from buildbook.electrical.case import METER, Case
from buildbook.electrical.model import Branch
from buildbook.faultfinding.model import Fault
from buildbook.faultfinding.swaps import opened_by_swap, swap_bridges
from buildbook.harness.model import Harness
from buildbook.vehicle.model import Contact, Vehicle
from buildbook.vehicle.power_model import PowerSource
from buildbook.words.say import mark, say

LIKELIHOOD = {
    "pin": 8.0,
    "ground": 8.0,
    "fuse": 5.0,
    "contact": 3.0,
    "load": 2.5,
    "battery": 2.0,
    "alternator": 2.0,
    "source": 1.0,
    "bus": 1.0,
    "wire": 1.0,
}
"""How often each kind opens against the others: joints and grounds before fuses before relays
before wires. Common practice, no source."""

MODE_SHARE = {"open": 1.0, "resistive": 0.6, "stuck": 0.5, "short": 0.5, "swap": 0.1}
"""How often a part fails in each way against its opening. Common practice, no source."""

SOURCES = {
    "battery": mark("battery"),
    "alternator": mark("alternator"),
    "dynamo": mark("dynamo"),
    "magneto": mark("magneto"),
    "converter": mark("converter"),
}
"""What gives current, by its kind."""

JOINTS = ("pin", "ground", "contact")
"""Kinds that corrode, loosen or burn into a resistance."""


def open_faults(vehicle: Vehicle, harness: Harness, branches: Iterable[Branch]) -> dict[str, Fault]:
    """Return one fault for each branch of the network, each battery and each generator, by id."""
    found = [
        Fault(f"open {b.id}", b.kind, b.id, fault_title(vehicle, harness, b))
        for b in branches
        if b.kind != "leak"
    ]
    found += _dead_sources("battery", vehicle.supply.batteries)
    found += _dead_sources("alternator", vehicle.supply.generators)
    return {fault.id: fault for fault in found}


def _dead_sources(kind: str, sources: Sequence[PowerSource]) -> list[Fault]:
    """Each source that gives nothing; of several the id holds the name as well."""
    if len(sources) == 1:
        return [Fault(f"open {kind}", kind, s.id, _dead_title(s, "")) for s in sources]
    return [Fault(f"open {kind}:{s.id}", kind, s.id, _dead_title(s, s.id)) for s in sources]


def _dead_title(source: PowerSource, name: str) -> str:
    called = f"{say(SOURCES[source.kind])} {name}".strip()
    if source.kind == "battery":
        return say("{part} open inside", part=called)
    return say("{source} gives nothing", source=called)


def joint_faults(vehicle: Vehicle, harness: Harness, branches: Iterable[Branch]) -> list[Fault]:
    """Joints that may turn resistive; how many ohms they take is found by the sweep."""
    return [
        Fault(f"resistive {b.id}", b.kind, b.id, _joint_title(vehicle, b), "resistive")
        for b in branches
        if b.kind in JOINTS
    ]


def stuck_faults(vehicle: Vehicle) -> list[Fault]:
    """Contacts that do not open.

    Without push-pull outputs: either half that stays closed joins the feed to the ground inside
    the controller as soon as the other closes.
    """
    contacts = [c for device in vehicle.devices.values() for c in device.contacts]
    either_way = {c.from_pin for c in contacts if c.kind == "pull-down"}
    return [
        Fault(f"stuck contact:{c.id}", "contact", f"contact:{c.id}", _stuck_title(c), "stuck")
        for c in contacts
        if c.from_pin not in either_way
    ]


def short_faults(harness: Harness) -> list[Fault]:
    """Each wire chafed through to the body."""
    return [
        Fault(f"short wire:{w}", "wire", f"wire:{w}", _short_title(w), "short")
        for w in harness.wires
    ]


def _short_title(wire: str) -> str:
    return say("wire {wire} shorted to the body", wire=wire)


def _stuck_title(contact: Contact) -> str:
    device, _, name = contact.id.partition(".")
    if contact.kind == "driver":
        return say("{device} output {name} does not switch off", device=contact.device, name=name)
    return say(
        "{device} contact {name} does not open",
        device=contact.device,
        name=name.replace("-", "–"),
    )


def _joint_title(vehicle: Vehicle, branch: Branch) -> str:
    if branch.kind == "ground":
        return say("ground {ground} corroded or loose on the body", ground=branch.ref)
    if branch.kind == "contact":
        return say("contact {name} burnt", name=branch.ref.replace("-", "–"))
    if (pin := vehicle.pins.get(branch.ref)) is not None and pin.stud:
        return say("ring at {pin} corroded or loose", pin=branch.ref)
    return say("contact at {pin} corroded or loose", pin=branch.ref)


def case_of(vehicle: Vehicle, fault: Fault, state: str) -> Case:
    """The fault as a change of the network; a short closes the bridge 'short:204b'."""
    if fault.mode == "stuck":
        return Case(state, METER, closed=frozenset({fault.branch}))
    if fault.mode == "short":
        return Case(state, METER, closed=frozenset({short_bridge(fault)}))
    if fault.mode == "resistive":
        return Case(state, METER, ohms={fault.branch: fault.ohms})
    if fault.mode == "swap":
        bridges = swap_bridges(fault)
        return Case(state, METER, frozenset(opened_by_swap(fault)), closed=frozenset(bridges))
    closed = let_go_by(vehicle, fault) | warned_by(vehicle, fault)
    return Case(state, METER, opened_by(vehicle, fault), closed=closed)


def short_bridge(fault: Fault) -> str:
    """Id of the branch that stands for a short to the body."""
    return f"short:{fault.branch.partition(':')[2]}"


def opened_by(vehicle: Vehicle, fault: Fault) -> frozenset[str]:
    """Ids of the branches that a fault opens: its own, and what an open relay coil lets go."""
    worked = (c for c in _worked_by(vehicle, fault) if not c.inverted)
    return frozenset({fault.branch, *(f"contact:{c.id}" for c in worked)})


def let_go_by(vehicle: Vehicle, fault: Fault) -> frozenset[str]:
    """Ids of the break contacts (87a) that an open relay coil leaves closed."""
    return frozenset(f"contact:{c.id}" for c in _worked_by(vehicle, fault) if c.inverted)


def warned_by(vehicle: Vehicle, fault: Fault) -> frozenset[str]:
    """Ids of the contacts that a dead generator closes: its own, which light the charge lamp."""
    if fault.kind != "alternator":
        return frozenset()
    dead = (s for s in vehicle.supply.generators if s.id == fault.branch)
    devices = {s.plus_pin.partition(".")[0] for s in dead}
    contacts = (c for name in devices for c in vehicle.devices[name].contacts)
    return frozenset(f"contact:{c.id}" for c in contacts if c.kind == "switch")


def _worked_by(vehicle: Vehicle, fault: Fault) -> list[Contact]:
    """Contacts of the relay whose coil a fault opens."""
    load = fault.branch.partition(":")[2] if fault.kind == "load" else ""
    device = vehicle.devices.get(load.removesuffix(".coil"))
    if device is None or not load.endswith(".coil"):
        return []
    return [c for c in device.contacts if c.kind == "relay"]


def fault_title(vehicle: Vehicle, harness: Harness, branch: Branch) -> str:
    """What is broken, in the words of somebody who looks for it."""
    ref = branch.ref
    if branch.kind == "wire":
        return say("wire {wire} open", wire=ref)
    if branch.kind == "pin":
        return say("no contact at {pin}", pin=ref)
    if branch.kind == "fuse":
        return say("{fuse} blown or not seated", fuse=ref)
    if branch.kind == "bus":
        return say("bus bar to {device} loose", device=ref.removesuffix(".bus"))
    if branch.kind == "ground":
        return say("ground {ground} loose on the body", ground=ref)
    if branch.kind == "contact":
        return _contact_title(vehicle, ref)
    if branch.kind == "load":
        title = next(d.title for d in vehicle.devices.values() if any(x.id == ref for x in d.loads))
        return say("{part} open inside", part=_load_name(title, ref))
    return say("{source} gives nothing", source=ref)


def _contact_title(vehicle: Vehicle, ref: str) -> str:
    device, _, name = ref.partition(".")
    found = next((c for c in vehicle.devices[device].contacts if c.id == ref), None)
    if found is not None and found.kind == "driver":
        return say("{device} output {name} does not switch", device=device, name=name)
    if found is not None and found.kind == "pull-down":
        pin = found.from_pin.removeprefix(f"{device}.")
        return say("{device} output {name} does not pull to its ground", device=device, name=pin)
    shown = name.replace("-", "–")
    return say("{device} contact {name} does not close", device=device, name=shown)


def _load_name(title: str, load_id: str) -> str:
    pin = load_id.partition(".")[2]
    if pin == "coil":
        return say("{device} coil", device=title)
    return f"{title} ({pin})" if pin else title


def likelihood(fault: Fault) -> float:
    """How likely against other faults."""
    return LIKELIHOOD[fault.kind] * MODE_SHARE[fault.mode]


def weight(fault: Fault, beside: int = 0) -> float:
    """How likely a fault is behind what was told, when it upsets so many things besides."""
    return likelihood(fault) / (1 + beside)


def likeliest_first(faults: Iterable[Fault]) -> tuple[Fault, ...]:
    """Order by likelihood of the kind, then by id."""
    return tuple(sorted(faults, key=lambda f: (-likelihood(f), f.id)))
