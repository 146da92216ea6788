"""Controllers and displays: all paths of a sheet that meet one are drawn at a single block."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable
from dataclasses import dataclass, replace

from buildbook.drawing.schematic.paths import PIN, Element, Link, Port
from buildbook.drawing.schematic.pieces import LINE_MM, Piece, device_piece, element_of

Part = tuple[dict[str, Element], list[Link]]
"""Elements joined without going through a block, and their links; each pin of a block has an
element of its own."""
PIN_ELEMENT = Element("", 1.4, 3.0, 9.0 + LINE_MM, PIN)


@dataclass(frozen=True)
class Merged:
    """Parts drawn together, and the blocks that their pins became."""

    elements: dict[str, Element]
    links: list[Link]
    pieces: dict[str, Piece]


def pin_piece(key: str, device, pin: str, wire: str, top: bool) -> Piece:
    """One pin of a block until it is known what else is on its sheet."""
    edge = [(0.0, pin, wire)]
    return Piece(key, PIN, (), device, [], edge if top else [], [] if top else edge)


def owners(part: Part, pieces: dict[str, Piece]) -> set[str]:
    """Ids of the blocks that a part meets."""
    found = (pieces[key].device for key, element in part[0].items() if element.kind == PIN)
    return {device.id for device in found if device}


def edges_of(part: Part, pieces: dict[str, Piece]) -> set[bool]:
    """True for the upper edge of a block, False for the lower one: those that a part meets."""
    return {bool(pieces[key].tops) for key, e in part[0].items() if e.kind == PIN}


def merged(
    parts: list[Part],
    pieces: dict[str, Piece],
    pitch: float,
    caption: Callable[[str], tuple[str, ...]],
) -> Merged:
    """The parts with every block drawn once; a block's key holds the pins that it has here."""
    elements = {k: e for part in parts for k, e in part[0].items() if e.kind != PIN}
    pins = [pieces[k] for part in parts for k, e in part[0].items() if e.kind == PIN]
    by_device: dict[str, list[Piece]] = defaultdict(list)
    for piece in pins:
        assert piece.device
        by_device[piece.device.id].append(piece)
    blocks: dict[str, Piece] = {}
    ports: dict[str, Port] = {}
    for id_, mine in by_device.items():
        block = _block(id_, mine, caption(id_))
        blocks[block.key] = block
        elements[block.key] = replace(element_of(block, pitch), spread=True)
        for top, edge in ((True, block.tops), (False, block.bottoms)):
            for column, pin, wire in edge:
                ports[_key(pin, wire)] = Port(block.key, top, column)
    links = [
        replace(link, a=ports.get(link.a.element, link.a), b=ports.get(link.b.element, link.b))
        for part in parts
        for link in part[1]
    ]
    return Merged(elements, links, blocks)


def _key(pin: str, wire: str) -> str:
    return f"pin {pin} {wire}"


def _block(id_: str, mine: list[Piece], caption: tuple[str, ...]) -> Piece:
    wired: dict[str, list[str]] = defaultdict(list)
    top: set[str] = set()
    for piece in mine:
        for _, pin, wire in piece.tops + piece.bottoms:
            wired[pin].append(wire)
            top |= {pin} if piece.tops else set()
    key = f"block {id_} " + " ".join(f"{pin}:{','.join(w)}" for pin, w in wired.items())
    device = mine[0].device
    assert device
    return device_piece(key, device, [], dict(wired), top, caption, {})
