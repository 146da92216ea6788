"""Every single open fault of a vehicle, and how likely each kind is."""

from __future__ import annotations

from collections.abc import Iterable

from buildbook.electrical.model import Branch
from buildbook.faultfinding.model import Fault
from buildbook.harness.model import Harness
from buildbook.vehicle.model import Vehicle

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


def open_faults(vehicle: Vehicle, harness: Harness, branches: Iterable[Branch]) -> dict[str, Fault]:
    """Return one fault for each branch of the network, by id, with battery and alternator."""
    supply = vehicle.description.supply
    found = [
        Fault(f"open {b.id}", b.kind, b.id, fault_title(vehicle, harness, b)) for b in branches
    ]
    found.append(Fault("open battery", "battery", "battery", "battery open inside"))
    if supply.alternator is not None:
        title = "alternator gives nothing"
        found.append(Fault("open alternator", "alternator", "alternator", title))
    return {fault.id: fault for fault in found}


def opened_by(vehicle: Vehicle, fault: Fault) -> frozenset[str]:
    """Ids of the branches that a fault opens: its own, and what an open relay coil lets go.

    A break contact (87a) stays as the coil's voltage has it.
    """
    load = fault.branch.partition(":")[2] if fault.kind == "load" else ""
    device = vehicle.devices.get(load.removesuffix(".coil"))
    if device is None or not load.endswith(".coil"):
        return frozenset({fault.branch})
    worked = (c for c in device.contacts if c.kind == "relay" and not c.inverted)
    return frozenset({fault.branch, *(f"contact:{c.id}" for c in worked)})


def fault_title(vehicle: Vehicle, harness: Harness, branch: Branch) -> str:
    """What is broken, in the words of somebody who looks for it."""
    ref = branch.ref
    if branch.kind == "wire":
        return f"wire {ref} open"
    if branch.kind == "pin":
        return f"no contact at {ref}"
    if branch.kind == "fuse":
        return f"{ref} blown or not seated"
    if branch.kind == "bus":
        return f"bus bar to {ref.removesuffix('.bus')} loose"
    if branch.kind == "ground":
        return f"ground {ref} loose on the body"
    if branch.kind == "contact":
        device, _, contact = ref.partition(".")
        kind = next((c.kind for c in vehicle.devices[device].contacts if c.id == ref), "switch")
        if kind == "driver":
            return f"{device} output {contact} does not switch"
        return f"{device} contact {contact.replace('-', '–')} does not close"
    if branch.kind == "load":
        device = next(d for d in vehicle.devices.values() if any(x.id == ref for x in d.loads))
        return f"{_load_name(device.title, ref)} open inside"
    return f"{ref} gives nothing"


def _load_name(title: str, load_id: str) -> str:
    pin = load_id.partition(".")[2]
    return f"{title} coil" if pin == "coil" else f"{title} ({pin})" if pin else title


def likeliest_first(faults: Iterable[Fault]) -> tuple[Fault, ...]:
    """Order by likelihood of the kind, then by id."""
    return tuple(sorted(faults, key=lambda f: (-LIKELIHOOD[f.kind], f.id)))
