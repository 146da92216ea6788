"""What a controller's block says: where it is fed and grounded, and what its pins are for."""

from __future__ import annotations

from buildbook.description.expand.kinds import said_use
from buildbook.drawing.schematic.element import (
    BLOCKS,
    Element,
    is_block,
)
from buildbook.drawing.shared.lettering import SMALL_MM, fitted, text_width_mm
from buildbook.vehicle.model import Pin
from buildbook.words.say import mark, say

USE_MM = 34.0
USE_LINE_MM = 17.0
"""Most length of what a pin is for, written upwards inside a block; from when on in two lines."""
SUPPLY_WORDS = (mark("feed"), mark("ground"))
"""Lines beside a block, each with a reference to the pin by which it is supplied."""


def has_detail(element: Element) -> bool:
    """True for what may have references beside it or uses in it, where a sheet has room."""
    return element.device is not None and is_block(element.device)


def most_detail(element: Element) -> int:
    """The highest `Element.detail` that alters what a block says beside and in it."""
    assert element.device
    return 3 if element.device.kind in BLOCKS else 2


def shows_supply(element: Element) -> bool:
    """True for a block beside which it is said where it is fed and grounded."""
    device = element.device
    return (
        element.detail > 0
        and device is not None
        and device.kind in BLOCKS
        and device.written.power is not None
    )


def references_beside(element: Element) -> list[str]:
    """What is written before each reference beside a block."""
    supply = [say(word) for word in SUPPLY_WORDS] if shows_supply(element) else []
    return [*supply, *other_pins(element).values()]


def other_pins(element: Element) -> dict[str, str]:
    """Pins of a sensor drawn as a block that its other sheets have: name and wire."""
    device = element.device
    if element.detail < 2 or device is None or device.kind != "sensor" or element.inside:
        return {}
    here = {pin for _, pin, _ in element.tops + element.bottoms}
    names = {pin.id: pin.name for pin in device.pins}
    return {
        pin: f"{names[pin]} ({away.words})"
        for pin, away in element.elsewhere.items()
        if away.words and pin not in here
    }


def shows_uses(element: Element) -> bool:
    """True for a block in which it is written what its pins are for."""
    return element.detail > 2 and element.device is not None and element.device.kind in BLOCKS


def uses_mm(element: Element, top: bool) -> float:
    """Room for what the pins of one edge of a block are for, mm."""
    pins = [element.pin(pin) for _, pin, _ in element.edge(top)]
    wide = [
        text_width_mm(line, SMALL_MM) for pin in pins if pin and pin.use for line in use_lines(pin)
    ]
    return max(wide) + 2.0 if wide and shows_uses(element) else 0.0


def use_lines(pin: Pin) -> list[str]:
    """What a pin is for, in one line, or in the two that are shortest where it is long."""
    use = said_use(pin.use)
    words = use.split(" ")
    if text_width_mm(use, SMALL_MM) <= USE_LINE_MM or len(words) == 1:
        return [fitted(use, SMALL_MM, USE_MM)]
    splits = ([" ".join(words[:n]), " ".join(words[n:])] for n in range(1, len(words)))
    best = min(splits, key=lambda lines: max(text_width_mm(line, SMALL_MM) for line in lines))
    return [fitted(line, SMALL_MM, USE_MM) for line in best]
