"""The pins of a device and the connectors that hold them."""

from __future__ import annotations

from buildbook.catalogue.model import ContactFamily
from buildbook.description import models as written
from buildbook.description.suggest import did_you_mean
from buildbook.vehicle.model import Connector, Pin
from buildbook.vehicle.scope import Path, Scope
from buildbook.words.say import say

CONTACT_OF_KIND = {
    "battery": "ring-M8",
    "isolator": "ring-M8",
    "starter": "ring-M8",
    "alternator": "ring-M6",
    "dynamo": "ring-M6",
    "magneto": "ring-M5",
    "converter": "ring-M6",
    "panel": "ring-M6",
    "ground": "ring-M6",
    "relay": "blade-6.3",
}
"""Terminal of a device that is not in a plug, where the author names none."""

CONTACT_OF_FUSE = {
    "blade": "blade-6.3",
    "mini": "pin-2.8",
    "maxi": "blade-9.5",
    "cartridge": "blade-9.5",
    "bolted-30": "ring-M5",
    "bolted": "ring-M6",
}
"""The same for fuses, by family: of their holders (ISO 8820-3 to -5, from memory)."""

PINS_OF_KIND = {
    "battery": ("+", "-"),
    "ground": ("stud",),
    "fuse": ("in", "out"),
    "relay": ("30", "87", "85", "86"),
}
"""Pins that a kind has without being told; relay terminals by DIN 72552."""


def cavities(plug: written.Plug) -> list[str]:
    """Names of a plug's cavities in reading order."""
    return [name for row in plug.rows for name in row if name is not None] + [
        name for ring in plug.rings for name in ring
    ]


def check_plugs(scope: Scope) -> None:
    """Every plug type has cavities, each once, and contacts that the catalogue knows."""
    for name, plug in scope.description.plugs.items():
        names = cavities(plug)
        path = ("plugs", name)
        if not names:
            scope.say(path, f"plug `{name}` has no cavities", "", "give `rows` or `rings`")
        for twice in sorted({cavity for cavity in names if names.count(cavity) > 1}):
            scope.say(path, f"plug `{name}` has cavity `{twice}` twice")
        _check_cavity(scope, (*path, "contact"), plug.contact)
        for cavity, family in plug.contacts.items():
            scope.known((*path, "contacts", cavity), "cavity", cavity, names)
            _check_cavity(scope, (*path, "contacts", cavity), family)


def _check_cavity(scope: Scope, path: Path, family: str) -> None:
    """What a cavity holds is a contact that the catalogue knows, and none for a stud."""
    if scope.known(path, "contact family", family, scope.contacts) and scope.contacts[family].stud:
        scope.say(
            path,
            f"`{family}` goes on a stud, and no cavity of a plug holds it",
            "the book would show the plug with nothing in it",
            "name a pin or a blade; a device with studs has `contact` in place of `plug`",
        )


def pins_of(scope: Scope, device_id: str) -> tuple[Pin, ...]:
    """All pins of a device: cavities of its plugs, then single terminals."""
    device = scope.description.devices[device_id]
    path = ("devices", device_id)
    if device.kind == "pass-through":
        return ()
    pins: dict[str, Pin] = {}
    for letter, plug_name in plugs_of(device).items():
        plug = scope.description.plugs.get(plug_name)
        if plug is None:
            continue
        for cavity in cavities(plug):
            name = letter + cavity
            said = device.pins.get(name)
            own = said.contact if said else None
            of_plug = plug.contacts.get(cavity, plug.contact)
            if own in scope.contacts:
                _check_cavity(scope, (*path, "pins", name, "contact"), own)
            pins[name] = _pin(scope, device_id, name, own or of_plug, letter, cavity)
    for name in _single_terminals(device):
        if name in pins:
            continue
        family = device.pins[name].contact if name in device.pins else None
        family = family or device.contact
        if family is None and plugs_of(device):
            if all(plug in scope.description.plugs for plug in plugs_of(device).values()):
                scope.say(
                    (*path, "pins", name),
                    f"no cavity `{name}` in the plug of `{device_id}`",
                    "",
                    _other_plugs(scope, device) + did_you_mean(name, pins),
                )
            continue
        family = family or _default_contact(device)
        if family is None:
            scope.say(
                (*path, "pins", name),
                f"pin `{name}` of `{device_id}` has neither a plug nor a contact",
                "the terminal on its wire cannot be chosen",
                "give the device a `plug`, or a `contact` such as blade-6.3 or ring-M6",
            )
            continue
        pins[name] = _pin(scope, device_id, name, family, "", "")
    uses = [pin.use for pin in pins.values() if pin.use]
    for index, name in enumerate(device.unused):
        scope.known((*path, "unused", index), f"pin of `{device_id}`", name, pins, uses)
    return tuple(pins.values())


def _other_plugs(scope: Scope, device: written.Device) -> str:
    """Plugs of the description that have a cavity for each pin of a device with one plug."""
    wanted = set(device.pins)
    able = [name for name, plug in scope.description.plugs.items() if wanted <= {*cavities(plug)}]
    if not device.plug or not able:
        return ""
    return f"take a plug that has it, such as `{able[0]}`, or correct the pin; "


def plugs_of(device: written.Device) -> dict[str, str]:
    """Letter -> plug type; the letter of a single plug is ''."""
    return {"": device.plug} if device.plug else dict(device.plugs)


def connectors_of(
    scope: Scope, device_id: str, point: str, pins: tuple[Pin, ...]
) -> tuple[Connector, ...]:
    """The plugs fitted to a device."""
    device = scope.description.devices[device_id]
    if device.kind == "pass-through":
        return ()
    found = []
    for letter, plug_name in plugs_of(device).items():
        path = ("devices", device_id, *(("plugs", letter) if letter else ("plug",)))
        if not scope.known(path, "plug", plug_name, scope.description.plugs):
            continue
        title = device.name or device_id
        found.append(
            Connector(
                id=f"{device_id}-{letter}" if letter else device_id,
                device=device_id,
                title=say("{device}, plug {letter}", device=title, letter=letter)
                if letter
                else title,
                plug_type=plug_name,
                plug=scope.description.plugs[plug_name],
                point=point,
                pins=tuple(pin for pin in pins if pin.plug == letter and pin.cavity),
                where=scope.where(("devices", device_id)),
            )
        )
    return tuple(found)


def _single_terminals(device: written.Device) -> list[str]:
    names = [] if plugs_of(device) else list(PINS_OF_KIND.get(device.kind, ()))
    return names + [name for name in device.pins if name not in names]


def _default_contact(device: written.Device) -> str | None:
    if device.kind == "fuse":
        return CONTACT_OF_FUSE[device.fuse]
    return CONTACT_OF_KIND.get(device.kind)


def _pin(scope: Scope, device_id: str, name: str, family: str, letter: str, cavity: str) -> Pin:
    device = scope.description.devices[device_id]
    said = device.pins.get(name)
    contact = scope.contacts.get(family)
    if contact is None:
        plug_says = cavity and not (said and said.contact)
        if not plug_says:
            key = ("pins", name, "contact") if said and said.contact else ("contact",)
            scope.known(("devices", device_id, *key), "contact family", family, scope.contacts)
        contact = ContactFamily(family, family, 1.0, 0.0, 0.0, 0.0, False, 0.0, None, "")
    return Pin(
        id=f"{device_id}.{name}",
        device=device_id,
        name=name,
        use=said.use if said else "",
        contact=contact,
        stud=contact.stud,
        plug=letter,
        cavity=cavity,
        unused=name in device.unused,
    )
