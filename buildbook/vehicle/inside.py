"""What is inside a device electrically: loads, contacts, sources and bonds between its pins."""

from __future__ import annotations

from buildbook.description import models as written
from buildbook.vehicle.branches import BUS_OHM, Branches, DeviceScope
from buildbook.vehicle.controllers import add_controller
from buildbook.vehicle.draws import add_draws
from buildbook.vehicle.model import Bond, Contact, Load, Pin
from buildbook.vehicle.scope import Scope

FUSE_DROP_V = 0.1
"""Drop of a blade fuse at its rated current, of the order ISO 8820-3 allows (from memory)."""
UNRATED_FUSE_OHM = 0.005
GROUND_JOINT_OHM = 0.002


def inside_of(scope: Scope, device_id: str, pins: tuple[Pin, ...]) -> Branches:
    """Everything between the pins of one device."""
    own = DeviceScope(
        scope, device_id, scope.description.devices[device_id], {p.name: p for p in pins}
    )
    found = Branches()
    if not pins:  # told at its plug or pins
        return found
    add_draws(own, found)
    _add_switch_contacts(own, found)
    if own.device.kind == "relay":
        _add_relay(own, found)
    if own.device.kind == "fuse":
        _add_fuse(own, found)
    if own.device.kind == "ground":
        _add_ground(own, found)
    add_controller(own, found)
    for index, reading in enumerate(own.device.readings):
        own.pin(reading.pin, "readings", index, "pin")
    return found


def _add_switch_contacts(own: DeviceScope, found: Branches) -> None:
    for index, contact in enumerate(own.device.contacts):
        at = ("contacts", index)
        one, other = own.pin(contact.from_, *at, "from"), own.pin(contact.to, *at, "to")
        states = own.scope.states(contact.closed, (*own.path, *at, "closed"))
        if not (one and other):
            continue
        if one == other:
            own.scope.say((*own.path, *at), f"a contact of `{own.id}` joins {one} to itself")
            continue
        found.contacts.append(
            Contact(
                id=found.name("contact", f"{own.id}.{contact.from_}-{contact.to}"),
                device=own.id,
                from_pin=one,
                to_pin=other,
                states=states,
                limit_a=contact.limit,
                position=contact.position,
            )
        )


def _add_relay(own: DeviceScope, found: Branches) -> None:
    """Coil 86-85 and contacts 30-87, 30-87a (DIN 72552)."""
    coil = own.device.coil or written.Coil()
    missing = [name for name in ("30", "85", "86") if name not in own.pins]
    if "87" not in own.pins and "87a" not in own.pins:
        missing.append("87")
    for name in missing:
        own.scope.say(
            own.path,
            f"relay `{own.id}` has no pin `{name}`",
            "relay terminals are named by DIN 72552: coil 86 and 85, contact 30 to 87",
            f"name the cavities of its plug so, with `{name}` among them",
        )
    if missing:
        return
    every = frozenset(own.scope.description.states)
    pulls_in_v = coil.pulls_in * own.nominal_v
    plus, minus = own.pins["86"].id, own.pins["85"].id
    found.loads.append(
        Load(
            id=found.name("load", f"{own.id}.coil"),
            device=own.id,
            from_pin=plus,
            to_pin=minus,
            ohms=coil.ohms,
            duty=1.0,
            states=every,
            works_from_v=pulls_in_v,
            what="relay pulls in",
            critical=own.device.critical,
            rated_a=own.nominal_v / coil.ohms,
        )
    )
    for name in ("87", "87a"):
        if name in own.pins and not own.pins[name].unused:
            found.contacts.append(
                Contact(
                    id=found.name("contact", f"{own.id}.30-{name}"),
                    device=own.id,
                    from_pin=own.pins["30"].id,
                    to_pin=own.pins[name].id,
                    states=every,
                    control=(plus, minus),
                    control_v=pulls_in_v,
                    holds_v=min(coil.drops_out, coil.pulls_in) * own.nominal_v,
                    inverted=name == "87a",
                    limit_a=own.device.rating,
                    kind="relay",
                )
            )


def _add_fuse(own: DeviceScope, found: Branches) -> None:
    device = own.device
    if "in" not in own.pins or "out" not in own.pins:
        own.scope.say(own.path, f"fuse `{own.id}` needs pins `in` and `out`")
        return
    into, out = own.pins["in"].id, own.pins["out"].id
    ohms = FUSE_DROP_V / device.rating if device.rating else UNRATED_FUSE_OHM
    found.bonds.append(Bond(own.id, own.id, into, out, ohms, "fuse"))
    if device.bus is None:
        return
    panel = own.scope.description.devices.get(device.on or "")
    if panel is None or panel.kind != "panel":
        if device.on is None:
            own.scope.say(
                (*own.path, "bus"),
                f"fuse `{own.id}` has a `bus` but is on no panel",
                "",
                "give `on`, the panel that carries it",
            )
        return
    uses = [pin.use for pin in panel.pins.values() if pin.use]
    if own.scope.known((*own.path, "bus"), f"pin of `{device.on}`", device.bus, panel.pins, uses):
        bus = f"{device.on}.{device.bus}"
        found.bonds.append(Bond(f"{own.id}.bus", own.id, bus, into, BUS_OHM, "bus"))


def _add_ground(own: DeviceScope, found: Branches) -> None:
    joint = own.device.joint
    for index, pin in enumerate(own.pins.values()):
        name = own.id if index == 0 else pin.id
        ohms = GROUND_JOINT_OHM if joint is None else joint
        found.bonds.append(Bond(name, own.id, pin.id, "chassis", ohms, "ground"))
