"""What is written beside a pin: its name, and what else is at it on another sheet."""

from __future__ import annotations

from dataclasses import dataclass

from buildbook.drawing.schematic.element import (
    Element,
    PinPlace,
)
from buildbook.drawing.shared.canvas import WIDEST_PAGE, paged_words
from buildbook.drawing.shared.lettering import SMALL_MM, both_ends, fitted, text_width_mm
from buildbook.words.say import say

AWAY_MM = 30.0
"""Most width of a pin's name with where it is fed from."""


@dataclass(frozen=True)
class PinLettering:
    """Beside a pin: its name, and before the reference of a second line what is at it besides."""

    name: str
    before: str = ""
    refers: bool = False
    with_zone: bool = False
    left: bool = False
    """Whether the second line, and the name of a pin without a wire, stand left of the pin."""

    @property
    def width(self) -> float:
        page = paged_words(WIDEST_PAGE, "D6" if self.with_zone else "") if self.refers else ""
        refers = f"{self.before} {page}".strip()
        return max(text_width_mm(self.name, SMALL_MM), text_width_mm(refers, SMALL_MM))


def pin_lettering(element: Element, top: bool, port: PinPlace, pitch: float) -> PinLettering:
    """What fits into the room up to the next wire on this edge."""
    column, pin_id, wire = port
    away = element.elsewhere.get(pin_id)
    pin = element.pin(pin_id)
    name = pin.name if pin else pin_id.rsplit(".", 1)[-1]
    later = [c for c, _, _ in element.edge(top) if c > column]
    room = (min(later) - column) * pitch - 1.8 if later else AWAY_MM
    if away is None:
        return PinLettering(both_ends(name, SMALL_MM, room))
    before = ""
    if wire:
        before = f"+{away.words}"
    elif away.on_bus:
        name = away.words
    else:
        name += f" ({away.words or say('not wired')})"
    whole = PinLettering(name, before, True, True)
    cut = (both_ends if wire else fitted)(name, SMALL_MM, room)
    if not away.words or (cut == name and whole.width <= room):
        return whole if away.words else PinLettering(cut)
    if column == min(c for c, _, _ in element.edge(top)):
        kept = cut if wire else fitted(name, SMALL_MM, AWAY_MM)
        return PinLettering(kept, before, True, True, left=True)
    tried = [
        PinLettering(cut, b, True, zone) for b in (before, before[:1]) for zone in (True, False)
    ]
    fitting = [words for words in tried if words.width <= room]
    return fitting[0] if fitting else PinLettering(cut)
