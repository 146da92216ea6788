"""Controllers and displays: all paths of a sheet that meet one are drawn at a single block."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable
from dataclasses import dataclass, replace

from buildbook.drawing.schematic.captions import in_caption, resistors_inside
from buildbook.drawing.schematic.device_elements import device_element
from buildbook.drawing.schematic.element import LINE_SPACING_MM, Element
from buildbook.drawing.schematic.footprints import footprint_of
from buildbook.drawing.schematic.layout_model import PIN, CurrentPath, Footprint, Link, Port
from buildbook.vehicle.model import Device

PIN_FOOTPRINT = Footprint("", 1.4, 3.0, 9.0 + LINE_SPACING_MM, PIN)


@dataclass(frozen=True)
class JoinedAtBlocks:
    """Parts drawn together, and the blocks that their pins became."""

    footprints: dict[str, Footprint]
    links: list[Link]
    elements: dict[str, Element]


def pin_element(key: str, device: Device, pin: str, wire: str, top: bool) -> Element:
    """One pin of a block until it is known what else is on its sheet."""
    edge = [(0.0, pin, wire)]
    return Element(key, PIN, (), device, [], edge if top else [], [] if top else edge)


def owners(part: CurrentPath, elements: dict[str, Element]) -> set[str]:
    """Ids of the blocks that a part meets."""
    found = (
        elements[key].device for key, footprint in part.footprints.items() if footprint.kind == PIN
    )
    return {device.id for device in found if device}


def edges_of(part: CurrentPath, elements: dict[str, Element]) -> set[bool]:
    """True for the upper edge of a block, False for the lower one: those that a part meets."""
    return {bool(elements[key].tops) for key, e in part.footprints.items() if e.kind == PIN}


def joined_at_blocks(
    parts: list[CurrentPath],
    elements: dict[str, Element],
    pitch: float,
    caption: Callable[[str], tuple[str, ...]],
) -> JoinedAtBlocks:
    """The parts with every block drawn once; a block's key holds the pins that it has here."""
    footprints = {k: e for part in parts for k, e in part.footprints.items() if e.kind != PIN}
    pins = [elements[k] for part in parts for k, e in part.footprints.items() if e.kind == PIN]
    by_device: dict[str, list[Element]] = defaultdict(list)
    for element in pins:
        assert element.device
        by_device[element.device.id].append(element)
    blocks: dict[str, Element] = {}
    ports: dict[str, Port] = {}
    for id_, mine in by_device.items():
        block = _block(id_, mine, caption(id_))
        blocks[block.key] = block
        footprints[block.key] = replace(footprint_of(block, pitch), spread=True)
        for top, edge in ((True, block.tops), (False, block.bottoms)):
            for column, pin, wire in edge:
                ports[_key(pin, wire)] = Port(block.key, top, column)
    links = [
        replace(link, a=ports.get(link.a.element, link.a), b=ports.get(link.b.element, link.b))
        for part in parts
        for link in part.links
    ]
    return JoinedAtBlocks(footprints, links, blocks)


def _key(pin: str, wire: str) -> str:
    return f"pin {pin} {wire}"


def _block(id_: str, mine: list[Element], caption: tuple[str, ...]) -> Element:
    wired: dict[str, list[str]] = defaultdict(list)
    top: set[str] = set()
    for element in mine:
        for _, pin, wire in element.tops + element.bottoms:
            wired[pin].append(wire)
            top |= {pin} if element.tops else set()
    key = f"block {id_} " + " ".join(f"{pin}:{','.join(w)}" for pin, w in wired.items())
    device = mine[0].device
    assert device
    said = (*caption, *in_caption(resistors_inside(device, wired)))
    return device_element(key, device, [], dict(wired), top, said, {})
