"""What a device is drawn from: the symbols inside it, its pins by edge, its detached parts."""

from __future__ import annotations

from collections.abc import Mapping

import networkx

from buildbook.drawing.schematic.element import (
    BLOCKS,
    Element,
    InnerSymbol,
    is_block,
)
from buildbook.drawing.schematic.elsewhere import DrawnElsewhere
from buildbook.drawing.symbols.common import Symbol
from buildbook.drawing.symbols.of_device import BY_KIND, SOURCES, suppressor_symbols, symbol_of_part
from buildbook.drawing.symbols.sensor import sensor
from buildbook.vehicle.model import Bond, Contact, Device, Load

MOST_COLUMNS = 6
MOST_WIRES = 10
"""Columns of one part of a device with wires that have no symbol inside: as many as are reckoned
to go on a sheet with flags at all of their wires. Our choice."""
SUPPLY = (*SOURCES, "fuse", "panel")


def symbols_inside(device: Device, supply: tuple[str, str] | None) -> list[InnerSymbol]:
    """The parts drawn inside a device, each with its upper and lower pin.

    Pins are dealt to the two edges so that every part joins an upper to a lower one; a
    part that would close an odd circle is left out. `supply` are the battery's two pins.
    """
    if is_block(device):
        return []
    parts: list[Load | Contact | Bond] = [*device.bonds, *device.contacts, *device.loads]
    found: list[tuple[str, str, str, Symbol]] = [
        (p.id, p.from_pin, p.to_pin, symbol_of_part(device, p))
        for p in parts
        if not (isinstance(p, Bond) and p.kind != "fuse")
    ]
    if device.kind in SOURCES and supply:
        found = [(f"{device.id} itself", *supply, BY_KIND[device.kind]), *found]
    if device.kind == "sensor" and not found and len(device.pins) >= 2:
        first, last = device.pins[0].id, device.pins[-1].id
        found = [(device.id, first, last, sensor(device.written.senses))]
    found += suppressor_symbols(device)
    return _dealt_to_edges(sorted(found, key=lambda f: f[1]))


def _dealt_to_edges(found: list[tuple[str, str, str, Symbol]]) -> list[InnerSymbol]:
    """(id, upper pin, lower pin, symbol) in turn, each turned over where its pins ask for that."""
    edge: dict[str, bool] = {}
    dealt = []
    for id_, upper, lower, symbol in found:
        if upper not in edge and lower not in edge:
            edge[upper], edge[lower] = True, False
        elif upper not in edge:
            edge[upper] = not edge[lower]
        elif lower not in edge:
            edge[lower] = not edge[upper]
        if edge[upper] == edge[lower]:
            continue
        top, bottom = (upper, lower) if edge[upper] else (lower, upper)
        dealt.append(InnerSymbol(id_, top, bottom, symbol))
    return sorted(dealt, key=lambda one: one.top)


def controller_top_pins(device: Device) -> set[str]:
    """Pins of a controller drawn on its upper edge: its feeds and what it pulls to ground."""
    power = device.written.power
    names = set(power.feeds) if power else set()
    names |= {name for name, driver in device.written.drivers.items() if driver.side == "low"}
    return {f"{device.id}.{name}" for name in names}


def top_pins(device: Device, inside: list[InnerSymbol]) -> set[str]:
    """Pins drawn on the upper edge."""
    if device.kind in BLOCKS:
        return controller_top_pins(device)
    if is_block(device):
        return {load.from_pin for load in device.loads}
    return {part.top for part in inside}


def parted(inside: list[InnerSymbol]) -> list[list[InnerSymbol]]:
    """The symbols of a device that share pins, together."""
    joined: networkx.Graph[str] = networkx.Graph((one.top, one.bottom) for one in inside)
    groups = [
        [one for one in inside if one.top in pins] for pins in networkx.connected_components(joined)
    ]
    return sorted(groups, key=lambda group: inside.index(group[-1]))


def groups_of(
    device: Device, inside: list[InnerSymbol], wired: Mapping[str, list[str]]
) -> list[tuple[list[InnerSymbol], dict[str, list[str]]]]:
    """Detached parts of a device (IEC 61082), each with its pins' wires: what shares no pin.

    Relays stay whole; of other devices only parts with a wire are drawn. Pins with nothing
    inside go with the first part, and wires that make a part too wide to one of their own.
    """
    if not inside:
        return _narrow([], wired)
    wired_parts = [part for part in inside if {part.top, part.bottom} & wired.keys()]
    groups = [list(inside)] if device.kind == "relay" else parted(wired_parts)
    chunks = [g[n : n + MOST_COLUMNS] for g in groups for n in range(0, len(g), MOST_COLUMNS)]
    inner = {pin for part in inside for pin in (part.top, part.bottom)}
    left = {pin: wires for pin, wires in wired.items() if pin in inner}
    done: list[tuple[list[InnerSymbol], dict[str, list[str]]]] = []
    for chunk in chunks:
        pins = {pin for part in chunk for pin in (part.top, part.bottom)}
        mine = {pin: left.pop(pin) for pin in wired if pin in pins and pin in left}
        if mine:
            done.append((chunk, mine))
    loose = {pin: wires for pin, wires in wired.items() if pin not in inner}
    if loose:
        chunk, mine = done.pop(0) if done else ([], {})
        done.insert(0, (chunk, mine | loose))
    narrow = [_narrow(*part) for part in done]
    return [first for first, *_ in narrow] + [one for _, *more in narrow for one in more]


def _narrow(
    inside: list[InnerSymbol], wired: Mapping[str, list[str]]
) -> list[tuple[list[InnerSymbol], dict[str, list[str]]]]:
    """A part with as many wires as go beside its symbols, and parts with the others."""
    inner = {pin for part in inside for pin in (part.top, part.bottom)}
    parts = [(inside, {pin: wires[:1] for pin, wires in wired.items() if pin in inner})]
    taken = len(inside)
    for pin, wires in wired.items():
        for wire in wires[1:] if pin in inner else wires:
            if taken == MOST_WIRES:
                parts.append(([], {}))
                taken = 0
            parts[-1][1].setdefault(pin, []).append(wire)
            taken += 1
    return parts


def device_element(
    key: str,
    device: Device,
    inside: list[InnerSymbol],
    wired: dict[str, list[str]],
    top: set[str],
    caption: tuple[str, ...],
    elsewhere: dict[str, DrawnElsewhere],
) -> Element:
    """A device part with its pins dealt to columns; `wired` is pin id -> wire ids."""
    kind = "supply" if device.kind in SUPPLY else "device"
    element = Element(key, kind, caption, device, inside, elsewhere=elsewhere)
    for column, part in enumerate(inside):
        element.columns[part.id] = column
    for edge, ports in ((True, element.tops), (False, element.bottoms)):
        taken: set[int] = set()
        for part in inside:
            pin = part.top if edge else part.bottom
            if pin not in {p for _, p, _ in ports}:
                column = element.columns[part.id]
                taken.add(column)
                ports.append((column, pin, wired.get(pin, [""])[0]))
        extra = [
            (pin, wire)
            for pin, wires in wired.items()
            for wire in wires
            if (pin in top) == edge and wire not in {w for _, p, w in ports if p == pin}
        ]
        first = len(inside) if inside else 0
        for n, (pin, wire) in enumerate(extra):
            ports.append((first + n, pin, wire))
    return element
