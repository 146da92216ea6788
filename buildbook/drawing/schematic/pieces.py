"""What a schematic is made of: device parts, grounds, splices, contacts, caps, and their ports."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Callable
from dataclasses import dataclass, field, replace

from buildbook.drawing.schematic.boundary import AFTER_MM, HEIGHT_MM, LINE_AT_MM, shown_names
from buildbook.drawing.schematic.elsewhere import Away
from buildbook.drawing.schematic.paths import Element, Port
from buildbook.drawing.shared import symbols
from buildbook.drawing.shared.box import Box
from buildbook.drawing.shared.canvas import WIDEST_PAGE, Canvas, paged_words
from buildbook.drawing.shared.lettering import SMALL_MM, both_ends, fitted, text_width_mm, wrapped
from buildbook.vehicle.model import Bond, Contact, Device, Load, Pin

PIN_MM = 3.4
"""Height of the plug symbol and pin number at the edge of a device."""
BAR_MM = 1.5
"""Distance between joining bars inside a device."""
INSET_MM = 1.1
"""From the outline of a device to the first of them."""
FRAME_MM = 4.4
"""From the outermost columns of a device to its outline."""
CAPTION_MM = 21.0
WIDE_MM = 27.0
USE_MM = 34.0
USE_LINE_MM = 17.0
"""Most length of what a pin is for, written upwards inside a block; from when on in two lines."""
AWAY_MM = 30.0
"""Most width of a pin's name with where it is fed from."""
LINE_MM = 2.95
"""Distance between lines of small text."""
MOST_COLUMNS = 6
MOST_CLOSINGS = 3
"""More contacts than these would make the caption taller than the symbols."""
SIDE_SHARE = 20.0
"""A load of this many times the least resistance in its device is not what the device is for."""
BLOCKS = ("controller", "display")
FED = ("feed", "ground")
"""Lines beside a block, each with a reference to the pin by which it is supplied."""
FEEDS = "fuses"
"""Before the page on which it is drawn what a bus bar feeds."""
SUPPLY = ("battery", "alternator", "fuse", "panel")


@dataclass(frozen=True)
class Inside:
    """A load, contact or bond drawn between two pins of a device."""

    id: str
    top: str
    bottom: str
    symbol: symbols.Symbol


@dataclass
class Piece:
    """An element with what is written on it; columns count from 0."""

    key: str
    kind: str
    caption: tuple[str, ...]
    device: Device | None = None
    inside: list[Inside] = field(default_factory=list)
    tops: list[tuple[float, str, str]] = field(default_factory=list)
    """(column, pin id or '', wire id or '' where nothing is wired here)."""
    bottoms: list[tuple[float, str, str]] = field(default_factory=list)
    columns: dict[str, int] = field(default_factory=dict)
    """Inside part -> column."""
    away: dict[str, Away] = field(default_factory=dict)
    """Pin -> what is there that the sheet does not draw."""
    there: dict[str, tuple[str, str]] = field(default_factory=dict)
    """Pin -> drawing and border zone where that is drawn."""
    harnesses: tuple[str, str] = ("", "")
    """Of a contact between two harnesses: the one above and the one below."""
    told: int = 0
    """What is beside a block: 1 where it is fed and grounded, 2 also a sensor's pins that are
    drawn elsewhere; 3 also, inside it, what its pins are for."""
    fed_at: tuple[tuple[str, tuple[str, str]], ...] = ()
    """Of a block: 'feed' and 'ground', each with drawing and border zone of such a pin."""
    goes_on: tuple[str, str] = ("", "")
    """Of a flag: drawing and border zone where its wire goes on; of a bus bar's stud, of what it
    feeds."""

    @property
    def width(self) -> float:
        used = [c for c, _, _ in self.tops + self.bottoms] + list(self.columns.values())
        return max(used, default=0) + 1

    @property
    def of(self) -> str:
        """What it stands for: a device's or splice's id, a stud's pin, a contact, a wire."""
        return self.device.id if self.device and self.kind != "stud" else self.caption[0]

    def levels(self, top: bool) -> list[str]:
        """Pins of one edge that need a joining bar, in order."""
        ports: dict[str, set[float]] = defaultdict(set)
        for column, pin, _ in self.tops if top else self.bottoms:
            ports[pin].add(column)
        for part in self.inside:
            ports[part.top if top else part.bottom].add(self.columns[part.id])
        return [pin for pin, columns in ports.items() if len(columns) > 1]

    def port(self, wire: str, top: bool) -> Port | None:
        for column, _, there in self.tops if top else self.bottoms:
            if there == wire:
                return Port(self.key, top, column)
        return None


def _inside_symbol(device: Device, part: Load | Contact | Bond) -> symbols.Symbol:
    if isinstance(part, Bond):
        return symbols.fuse if part.kind == "fuse" else symbols.bond
    if isinstance(part, Contact):
        if part.kind == "relay":
            return symbols.break_contact if part.inverted else symbols.make_contact
        return symbols.make_contact if device.kind == "alternator" else symbols.switch
    if device.kind == "relay":
        return symbols.relay_coil
    if device.kind in ("battery", "alternator"):
        return symbols.resistor
    if device.kind == "sensor":
        return symbols.sensor(device.written.senses)
    if part.ohms > SIDE_SHARE * min(load.ohms for load in device.loads):
        return symbols.resistor
    return symbols.BY_KIND.get(device.kind, symbols.resistor)


def _suppressors(device: Device) -> list[tuple[str, str, str, symbols.Symbol]]:
    """What a relay has across its coil."""
    how = device.written.coil.suppressed if device.written.coil else "none"
    if device.kind != "relay" or how == "none":
        return []
    symbol = symbols.suppressing_diode if how == "diode" else symbols.resistor
    return [(f"{load.id} {how}", load.from_pin, load.to_pin, symbol) for load in device.loads]


def is_block(device: Device) -> bool:
    """True for what is drawn as a box with pins: controllers, and sensors of several parts."""
    return device.kind in BLOCKS or (device.kind == "sensor" and len(device.loads) > 1)


def inside_of(device: Device, supply: tuple[str, str] | None) -> list[Inside]:
    """The parts drawn inside a device, each with its upper and lower pin.

    Pins are dealt to the two edges so that every part joins an upper to a lower one; a
    part that would close an odd circle is left out. `supply` are the battery's two pins.
    """
    if is_block(device):
        return []
    found: list[tuple[str, str, str, symbols.Symbol]] = [
        (p.id, p.from_pin, p.to_pin, _inside_symbol(device, p))
        for p in (*device.bonds, *device.contacts, *device.loads)
        if not (isinstance(p, Bond) and p.kind != "fuse")
    ]
    if device.kind in ("battery", "alternator") and supply:
        found = [(f"{device.id} itself", *supply, symbols.BY_KIND[device.kind]), *found]
    if device.kind == "sensor" and not found and len(device.pins) >= 2:
        first, last = device.pins[0].id, device.pins[-1].id
        found = [(device.id, first, last, symbols.sensor(device.written.senses))]
    found += _suppressors(device)
    edge: dict[str, bool] = {}
    parts = []
    for id_, upper, lower, symbol in sorted(found, key=lambda f: f[1]):
        if upper not in edge and lower not in edge:
            edge[upper], edge[lower] = True, False
        elif upper not in edge:
            edge[upper] = not edge[lower]
        elif lower not in edge:
            edge[lower] = not edge[upper]
        if edge[upper] == edge[lower]:
            continue
        top, bottom = (upper, lower) if edge[upper] else (lower, upper)
        parts.append(Inside(id_, top, bottom, symbol))
    return sorted(parts, key=lambda p: p.top)


def controller_top_pins(device: Device) -> set[str]:
    """Pins of a controller drawn on its upper edge: its feeds and what it pulls to ground."""
    power = device.written.power
    names = set(power.feeds) if power else set()
    names |= {name for name, driver in device.written.drivers.items() if driver.side == "low"}
    return {f"{device.id}.{name}" for name in names}


def top_pins(device: Device, inside: list[Inside]) -> set[str]:
    """Pins drawn on the upper edge."""
    if device.kind in BLOCKS:
        return controller_top_pins(device)
    if is_block(device):
        return {load.from_pin for load in device.loads}
    return {part.top for part in inside}


def parted(inside: list[Inside]) -> list[list[Inside]]:
    """The parts of a device that share pins, together."""
    groups: list[list[Inside]] = []
    for part in inside:
        joined = [g for g in groups if any({p.top, p.bottom} & {part.top, part.bottom} for p in g)]
        merged = [p for g in joined for p in g] + [part]
        groups = [g for g in groups if g not in joined] + [merged]
    return groups


def groups_of(
    device: Device, inside: list[Inside], pins: list[str]
) -> list[tuple[list[Inside], list[str]]]:
    """Detached parts of a device (IEC 61082): what shares no pin is drawn apart.

    Relays stay whole; of other devices only parts with a wire are drawn. Pins with nothing
    inside go with the first part.
    """
    if not inside:
        return [([], pins)]
    wired_parts = [part for part in inside if {part.top, part.bottom} & set(pins)]
    groups = [list(inside)] if device.kind == "relay" else parted(wired_parts)
    chunks = [g[n : n + MOST_COLUMNS] for g in groups for n in range(0, len(g), MOST_COLUMNS)]
    inner = {pin for part in inside for pin in (part.top, part.bottom)}
    loose = [pin for pin in pins if pin not in inner]
    left = set(pins) - set(loose)
    done = []
    for chunk in chunks:
        mine = {pin for part in chunk for pin in (part.top, part.bottom)}
        wired = [pin for pin in pins if pin in mine and pin in left]
        if not wired:
            continue
        left -= set(wired)
        done.append((chunk, wired))
    if loose and done:
        done[0] = (done[0][0], done[0][1] + loose)
    elif loose:
        done.append(([], loose))
    return done


def device_piece(
    key: str,
    device: Device,
    inside: list[Inside],
    wired: dict[str, list[str]],
    top: set[str],
    caption: tuple[str, ...],
    away: dict[str, Away],
) -> Piece:
    """A device part with its pins dealt to columns; `wired` is pin id -> wire ids."""
    kind = "supply" if device.kind in SUPPLY else "device"
    piece = Piece(key, kind, caption, device, inside, away=away)
    for column, part in enumerate(inside):
        piece.columns[part.id] = column
    for edge, ports in ((True, piece.tops), (False, piece.bottoms)):
        taken: set[int] = set()
        for part in inside:
            pin = part.top if edge else part.bottom
            if pin not in {p for _, p, _ in ports}:
                column = piece.columns[part.id]
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
    return piece


def element_of(piece: Piece, pitch: float) -> Element:
    """The room that a piece needs."""
    last = (piece.width - 1) * pitch
    names = _name_lines(piece.caption)
    words = max(
        (text_width_mm(line, SMALL_MM, n < names) for n, line in enumerate(piece.caption)),
        default=0.0,
    )
    if piece.kind in ("supply", "device"):
        right = last + 5.8 + max(words, _refers_mm(piece))
        pins = [
            (port[0] * pitch, _pin_words(piece, top, port, pitch))
            for top, edge in ((True, piece.tops), (False, piece.bottoms))
            for port in edge
        ]
        left = max([4.6, *(words.width + 2 - x for x, words in pins if words.left)])
        right = max([right, *(x + 2 + words.width for x, words in pins if not words.left)])
        return Element(piece.key, left, right, height_of(piece), piece.kind, not piece.inside)
    if piece.kind in ("return", "flag", "stud"):
        lines = len(piece.caption)
        if piece.kind == "stud" and piece.goes_on[0]:
            lines, words = lines + 1, max(words, _feeds_mm())
        high = (3.6 if piece.kind == "return" else 2.2) + LINE_MM * lines
        return Element(
            piece.key, max(3.6, words / 2 + 0.4), max(2.6, words / 2 + 0.4), high, piece.kind
        )
    if piece.kind == "splice":
        return Element(piece.key, 1.2, last + 2 + words, 3.6, "splice", True, True)
    if piece.kind == "half":
        beside = max(text_width_mm(name, SMALL_MM) for name in shown_names(piece.harnesses))
        right = max(words + 1.5 + AFTER_MM + 3.0, beside + 2)
        return Element(piece.key, 4.4, right, HEIGHT_MM, piece.kind)
    return Element(piece.key, 1.4, 2 + words, 3.2, piece.kind)


def height_of(piece: Piece) -> float:
    """Height of a device part in mm."""
    uses = _use_mm(piece, True) + _use_mm(piece, False)
    middle = symbols.SYMBOL_MM if piece.inside else max(7.0, uses)
    bars = len(piece.levels(True)) + len(piece.levels(False))
    ends = _end_mm(piece, True) + _end_mm(piece, False)
    return ends + 1.0 + BAR_MM * bars + max(middle, LINE_MM * _beside(piece) - 1)


def _beside(piece: Piece) -> int:
    """Lines beside a device."""
    return len(piece.caption) + len(_refers(piece))


def _refers(piece: Piece) -> list[str]:
    """What is written before each reference beside a block."""
    return [*(FED if is_fed(piece) else ()), *_elsewhere(piece).values()]


def is_fed(piece: Piece) -> bool:
    """True for a block beside which it is said where it is fed and grounded."""
    device = piece.device
    return (
        piece.told > 0
        and device is not None
        and device.kind in BLOCKS
        and device.written.power is not None
    )


def _elsewhere(piece: Piece) -> dict[str, str]:
    """Pins of a sensor drawn as a block that its other sheets have: name and wire."""
    device = piece.device
    if piece.told < 2 or device is None or device.kind != "sensor" or piece.inside:
        return {}
    here = {pin for _, pin, _ in piece.tops + piece.bottoms}
    names = {pin.id: pin.name for pin in device.pins}
    return {
        pin: f"{names[pin]} ({away.words})"
        for pin, away in piece.away.items()
        if away.words and pin not in here
    }


def says_more(piece: Piece) -> bool:
    """True for what may have references beside it or uses in it, where a sheet has room."""
    return piece.device is not None and is_block(piece.device)


def levels_of(piece: Piece) -> int:
    """How much a piece can say beside and in it: the highest of `Piece.told` that alters it."""
    assert piece.device
    return 3 if piece.device.kind in BLOCKS else 2


def _refers_mm(piece: Piece) -> float:
    """Width of the lines beside a block that refer; 0 where there are none."""
    page = paged_words(WIDEST_PAGE, "D6")
    return max((text_width_mm(f"{w} {page}", SMALL_MM) for w in _refers(piece)), default=0.0)


def _has_uses(piece: Piece) -> bool:
    """True for a block in which it is written what its pins are for."""
    return piece.told > 2 and piece.device is not None and piece.device.kind in BLOCKS


def _use_mm(piece: Piece, top: bool) -> float:
    """Room for what the pins of one edge of a block are for, mm."""
    pins = [_pin(piece, pin) for _, pin, _ in (piece.tops if top else piece.bottoms)]
    wide = [text_width_mm(line, SMALL_MM) for pin in pins if pin and pin.use for line in _use(pin)]
    return max(wide) + 2.0 if wide and _has_uses(piece) else 0.0


def _use(pin: Pin) -> list[str]:
    """What a pin is for, in one line, or in the two that are shortest where it is long."""
    words = pin.use.split(" ")
    if text_width_mm(pin.use, SMALL_MM) <= USE_LINE_MM or len(words) == 1:
        return [fitted(pin.use, SMALL_MM, USE_MM)]
    splits = ([" ".join(words[:n]), " ".join(words[n:])] for n in range(1, len(words)))
    best = min(splits, key=lambda lines: max(text_width_mm(line, SMALL_MM) for line in lines))
    return [fitted(line, SMALL_MM, USE_MM) for line in best]


def _end_mm(piece: Piece, top: bool) -> float:
    """From the ends of the wires of one edge to the outline: a line more where one says more."""
    pins = {pin for _, pin, _ in (piece.tops if top else piece.bottoms)}
    return PIN_MM + (LINE_MM if any(piece.away[p].words for p in pins & piece.away.keys()) else 0)


def caption_of(
    words: str, detail: str, elsewhere: str, more: tuple[str, ...] = ()
) -> tuple[str, ...]:
    """A device's name in at most two lines, its title in three, its system, and more."""
    lines = _name(words)
    if detail and detail.lower().replace(" ", "-") != words.lower():
        lines += _in_lines(detail)
    if elsewhere:
        lines.append(fitted(f"({elsewhere})", SMALL_MM, CAPTION_MM))
    return (*lines, *(part for line in more for part in wrapped(line, SMALL_MM, WIDE_MM, 2)))


def _in_lines(words: str) -> list[str]:
    """Two lines of a caption's width; where that is too little wider ones, and then more."""
    for width, lines in ((CAPTION_MM, 2), (WIDE_MM, 2)):
        found = wrapped(words, SMALL_MM, width, lines)
        if "…" not in found[-1]:
            return found
    return wrapped(words, SMALL_MM, WIDE_MM, 3)


def closings(device: Device, inside: list[Inside]) -> tuple[str, ...]:
    """When each contact of a switch that is drawn here is closed; with several, by its pins."""
    drawn = {part.id for part in inside}
    contacts = [c for c in device.contacts if c.id in drawn and c.position]
    if device.kind != "switch" or len(contacts) > MOST_CLOSINGS:
        return ()
    if len(contacts) == 1:
        return (f"closed: {contacts[0].position}",)
    names = {pin.id: pin.name for pin in device.pins}
    return tuple(f"{names[c.from_pin]}-{names[c.to_pin]}: {c.position}" for c in contacts)


def loads_told(device: Device, inside: list[Inside]) -> tuple[str, ...]:
    """What each drawn load is for in a device that has more, by the pin it has to itself."""
    parts = [*device.loads, *device.contacts]
    met = Counter(pin for part in parts for pin in (part.from_pin, part.to_pin))
    loads, pins = {load.id for load in device.loads}, {pin.id: pin for pin in device.pins}
    own = (
        [p for p in (part.top, part.bottom) if met[p] == 1 and pins[p].use]
        for part in inside
        if part.id in loads
    )
    told = [f"{pins[mine[0]].name}: {pins[mine[0]].use}" for mine in own if mine]
    is_plain = device.kind not in ("relay", "battery", "alternator") and len(parts) > 1
    return tuple(told) if is_plain and len(told) <= MOST_CLOSINGS else ()


def _name(words: str) -> list[str]:
    """A device's name in one or two lines, cut in its middle where it is longer."""
    lines = wrapped(words, SMALL_MM, CAPTION_MM, 2, bold=True)
    if "…" not in "".join(lines):
        return lines
    first = lines[0] if lines[0].endswith("-") else ""
    rest = both_ends(words.removeprefix(first), SMALL_MM, CAPTION_MM, bold=True)
    return [first, rest] if first else [rest]


def _name_lines(caption: tuple[str, ...]) -> int:
    """Lines of the name, which is bold and breaks at its hyphens."""
    return next((n for n, line in enumerate(caption, 1) if not line.endswith("-")), 1)


@dataclass(frozen=True)
class _PinWords:
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


def _pin_words(piece: Piece, top: bool, port: tuple[float, str, str], pitch: float) -> _PinWords:
    """What fits into the room up to the next wire on this edge."""
    column, pin_id, wire = port
    away = piece.away.get(pin_id)
    pin = _pin(piece, pin_id)
    name = pin.name if pin else pin_id.rsplit(".", 1)[-1]
    later = [c for c, _, _ in (piece.tops if top else piece.bottoms) if c > column]
    room = (min(later) - column) * pitch - 1.8 if later else AWAY_MM
    if away is None:
        return _PinWords(both_ends(name, SMALL_MM, room))
    before = ""
    if wire:
        before = f"+{away.words}"
    elif away.on_bus:
        name = away.words
    else:
        name += f" ({away.words or 'not wired'})"
    whole = _PinWords(name, before, True, True)
    cut = (both_ends if wire else fitted)(name, SMALL_MM, room)
    if not away.words or (cut == name and whole.width <= room):
        return whole if away.words else _PinWords(cut)
    if column == min(c for c, _, _ in (piece.tops if top else piece.bottoms)):
        kept = cut if wire else fitted(name, SMALL_MM, AWAY_MM)
        return _PinWords(kept, before, True, True, left=True)
    tried = [_PinWords(cut, b, True, zone) for b in (before, before[:1]) for zone in (True, False)]
    fitting = [words for words in tried if words.width <= room]
    return fitting[0] if fitting else _PinWords(cut)


def _pin(piece: Piece, pin_id: str) -> Pin | None:
    found = [p for p in piece.device.pins if p.id == pin_id] if piece.device else []
    return found[0] if found else None


def reordered(piece: Piece, columns: dict[Port, float]) -> Piece:
    """The piece with its wires in the columns that the layout chose."""
    edges = [
        [(columns.get(Port(piece.key, top, c), c), pin, wire) for c, pin, wire in ports]
        for top, ports in ((True, piece.tops), (False, piece.bottoms))
    ]
    return replace(piece, tops=edges[0], bottoms=edges[1])


def draw_piece(canvas: Canvas, piece: Piece, x: float, y: float, pitch: float) -> None:
    """Draws a piece with column 0 at x and its upper edge at y."""
    into = canvas.group(class_=f"element {piece.kind}", data={"data-of": piece.of})
    draw: Callable = {
        "supply": _draw_device,
        "device": _draw_device,
        "return": _draw_ground,
        "stud": _draw_stud,
        "splice": _draw_splice,
        "half": _draw_half,
        "cap": _draw_cap,
        "flag": _draw_flag,
    }[piece.kind]
    draw(canvas, piece, into, x, y, pitch)


def _lines(canvas: Canvas, piece: Piece, x: float, y: float, anchor: str) -> None:
    names = _name_lines(piece.caption)
    for n, line in enumerate(piece.caption):
        canvas.text(x, y + 2.3 + n * LINE_MM, line, SMALL_MM, anchor, n < names, class_="name")


@dataclass(frozen=True)
class _Inner:
    """Heights inside a device part: its edges, its symbols and the joining bars of its pins."""

    edge: dict[bool, float]
    symbol: dict[bool, float]
    bars: dict[tuple[bool, str], float]

    def reach(self, top: bool, pin: str) -> float:
        return self.bars.get((top, pin), self.edge[top])


def _inner(piece: Piece, y: float) -> _Inner:
    uppers, lowers = piece.levels(True), piece.levels(False)
    edge = {True: y + _end_mm(piece, True), False: y + height_of(piece) - _end_mm(piece, False)}
    start = edge[True] + 0.5 + BAR_MM * len(uppers)
    bars = {(True, p): edge[True] + INSET_MM + BAR_MM * n for n, p in enumerate(uppers)}
    bars |= {(False, p): edge[False] - INSET_MM - BAR_MM * n for n, p in enumerate(lowers)}
    return _Inner(edge, {True: start, False: start + symbols.SYMBOL_MM}, bars)


def _draw_device(canvas: Canvas, piece: Piece, into, x: float, y: float, pitch: float) -> None:
    inner, last = _inner(piece, y), x + (piece.width - 1) * pitch
    middle = (inner.edge[True] + inner.edge[False]) / 2
    if len(piece.inside) != 1 or piece.width > 1:
        high = inner.edge[False] - inner.edge[True]
        box = Box(x - FRAME_MM, inner.edge[True], last - x + 2 * FRAME_MM, high)
        canvas.rect(box, 0.35, dash="" if not piece.inside else "1.5 1", into=into)
    if piece.device and piece.device.kind == "sensor" and not piece.inside:
        letter = symbols.SENSES.get(piece.device.written.senses or "", "S")
        at = (x + last) / 2
        canvas.text(at, middle + 0.95, letter, SMALL_MM, "middle", class_="symbol")
    if _has_uses(piece):
        _write_uses(canvas, piece, into, x, inner, pitch)
    joined: dict[tuple[bool, str], Counter[float]] = defaultdict(Counter)
    for part in piece.inside:
        column = x + piece.columns[part.id] * pitch
        part.symbol(canvas, into, column, inner.symbol[True])
        for top, pin in ((True, part.top), (False, part.bottom)):
            joined[top, pin][column] += 1
            ends = [(column, inner.symbol[top]), (column, inner.reach(top, pin))]
            canvas.line(ends, symbols.LINE, into=into)
    for top, ports in ((True, piece.tops), (False, piece.bottoms)):
        for n, pin, wire in ports:
            column = x + n * pitch
            _draw_pin(canvas, piece, into, (column, y), (n, pin, wire), top, pitch)
            if (top, pin) in inner.bars:
                joined[top, pin][column] += 1
                ends = [(column, inner.edge[top]), (column, inner.bars[top, pin])]
                canvas.line(ends, symbols.LINE, into=into)
    _draw_bars(canvas, into, inner, joined)
    start = max(inner.edge[True], middle - LINE_MM * _beside(piece) / 2 - 0.3)
    _lines(canvas, piece, last + 5.0, start, "start")
    others = [
        (words, piece.there[pin]) for pin, words in _elsewhere(piece).items() if pin in piece.there
    ]
    for n, (word, (drawing, zone)) in enumerate([*piece.fed_at, *others], len(piece.caption)):
        line = start + 2.3 + n * LINE_MM
        said = canvas.text(last + 5.0, line, word, SMALL_MM, class_="away")
        canvas.reference(
            last + 5.8 + said.w,
            line,
            drawing,
            zone,
            drawing.removeprefix("schematic-"),
            class_="away",
        )


def _write_uses(canvas: Canvas, piece: Piece, into, x: float, inner: _Inner, pitch: float) -> None:
    """What each pin of a block is for, upwards inside it, in line with its wire."""
    for top, ports in ((True, piece.tops), (False, piece.bottoms)):
        y = inner.edge[top] + (1.0 if top else -1.0)
        for column, pin_id, _ in ports:
            pin = _pin(piece, pin_id)
            if pin and pin.use:
                lines = _use(pin)
                first = x + column * pitch + 0.85 - LINE_MM * (len(lines) - 1) / 2
                for n, line in enumerate(lines):
                    canvas.text(
                        first + n * LINE_MM,
                        y,
                        line,
                        SMALL_MM,
                        "end" if top else "start",
                        turned=True,
                        class_="use",
                    )


def _draw_bars(
    canvas: Canvas, into, inner: _Inner, joined: dict[tuple[bool, str], Counter[float]]
) -> None:
    """The bars that join what is at one pin, with a dot wherever three lines meet."""
    for key, columns in joined.items():
        if key in inner.bars:
            first, last = min(columns), max(columns)
            canvas.line(
                [(first, inner.bars[key]), (last, inner.bars[key])], symbols.LINE, into=into
            )
            for column, lines in columns.items():
                if lines > 1 or first < column < last:
                    symbols.dot(canvas, into, column, inner.bars[key])


def _draw_pin(
    canvas: Canvas,
    piece: Piece,
    into,
    at: tuple[float, float],
    port: tuple[float, str, str],
    top: bool,
    pitch: float,
) -> None:
    """A pin between the end of its wire and the outline, or a stub where no wire is drawn."""
    (x, start), (_, pin_id, wire) = at, port
    pin, foot = _pin(piece, pin_id), start + height_of(piece)
    outline = start + _end_mm(piece, True) if top else foot - _end_mm(piece, False)
    y = start if top else foot - PIN_MM
    if not wire:
        canvas.line([(x, outline), (x, outline + (-1.8 if top else 1.8))], symbols.LINE, into=into)
    elif pin and pin.cavity:
        symbols.plug_and_socket(canvas, into, x, y + 0.4)
        canvas.line([(x, y), (x, y + 0.5)], symbols.LINE, into=into)
        canvas.line([(x, y + 2.9), (x, y + PIN_MM)], symbols.LINE, into=into)
    else:
        canvas.line([(x, y), (x, y + PIN_MM)], symbols.LINE, into=into)
        canvas.circle(x, y + 1.7, 0.7, symbols.LINE, fill="#ffffff", into=into)
    inner = y + PIN_MM if top else y
    if wire and inner != outline:
        canvas.line([(x, inner), (x, outline)], symbols.LINE, into=into)
    _write_pin(canvas, piece, (x, y, outline), port, top, pitch)


def _write_pin(
    canvas: Canvas,
    piece: Piece,
    at: tuple[float, float, float],
    port: tuple[float, str, str],
    top: bool,
    pitch: float,
) -> None:
    """The pin's name, beside the plug or next to the outline, and the line that refers."""
    (x, y, outline), (_, pin_id, wire) = at, port
    words = _pin_words(piece, top, port, pitch)
    down = 1 if top else -1
    name_y = y + (2.6 if top else 2.8)
    if not wire:
        name_y = outline - 1.2 if top else outline + 3.0
    beside, anchor = (x - 1.4, "end") if words.left else (x + 1.4, "start")
    if wire:
        canvas.text(x + 1.4, name_y, words.name, SMALL_MM, class_="pin")
    else:
        canvas.text(beside, name_y, words.name, SMALL_MM, anchor, class_="pin")
    if not words.refers or pin_id not in piece.there:
        return
    line = name_y + (down if wire else -down) * LINE_MM
    drawing, zone = piece.there[pin_id]
    if words.before:
        said = canvas.text(beside, line, words.before, SMALL_MM, anchor, class_="away")
        beside += -said.w - 0.9 if words.left else said.w + 0.9
    canvas.reference(
        beside,
        line,
        drawing,
        zone if words.with_zone else "",
        drawing.removeprefix("schematic-"),
        anchor=anchor,
        class_="away",
    )


def _draw_ground(canvas: Canvas, piece: Piece, into, x: float, y: float, pitch: float) -> None:
    symbols.ground(canvas, into, x, y)
    _lines(canvas, piece, x, y + 3.4, "middle")


def _draw_stud(canvas: Canvas, piece: Piece, into, x: float, y: float, pitch: float) -> None:
    symbols.stud(canvas, into, x, y)
    _lines(canvas, piece, x, y + 2.0, "middle")
    drawing, zone = piece.goes_on
    if drawing:
        line, start = y + 4.3 + LINE_MM, x - _feeds_mm() / 2
        said = canvas.text(start, line, FEEDS, class_="away")
        canvas.reference(start + said.w + 0.9, line, drawing, zone, "panel", class_="away")


def _feeds_mm() -> float:
    """Width of the line under a bus bar's stud."""
    page = paged_words(WIDEST_PAGE, "")
    return text_width_mm(FEEDS, SMALL_MM) + 0.9 + text_width_mm(page, SMALL_MM)


def flag_reference_mm(fed: bool) -> float:
    """Down to the line on which a flag's reference stands, mm; fed: its wire comes from above."""
    return (4.3 if fed else 2.1) + LINE_MM


def _draw_flag(canvas: Canvas, piece: Piece, into, x: float, y: float, pitch: float) -> None:
    below = bool(piece.tops)
    edge = y if below else y + 2.2 + LINE_MM * len(piece.caption)
    sign = 1 if below else -1
    canvas.line([(x, edge), (x, edge + sign * 2.0)], symbols.LINE, into=into)
    canvas.line(
        [(x - 1, edge + sign * 0.8), (x, edge + sign * 2.0), (x + 1, edge + sign * 0.8)],
        symbols.LINE,
        into=into,
    )
    line = y + flag_reference_mm(below)
    name, words = piece.caption
    canvas.text(x, line - LINE_MM, name, anchor="middle", bold=True, class_="name")
    canvas.reference(x, line, *piece.goes_on, words, anchor="middle", class_="name")


def _draw_splice(canvas: Canvas, piece: Piece, into, x: float, y: float, pitch: float) -> None:
    middle = y + 1.8
    columns = [c for c, _, _ in piece.tops + piece.bottoms]
    canvas.line(
        [(x + min(columns) * pitch, middle), (x + max(columns) * pitch, middle)], 0.5, into=into
    )
    for ports, edge in ((piece.tops, y), (piece.bottoms, y + 3.6)):
        for column, _, _ in ports:
            canvas.line(
                [(x + column * pitch, edge), (x + column * pitch, middle)], symbols.LINE, into=into
            )
            symbols.dot(canvas, into, x + column * pitch, middle)
    canvas.text(
        x + max(columns) * pitch + 1.4,
        middle + 0.95,
        piece.caption[0],
        SMALL_MM,
        bold=True,
        class_="name",
    )


def _draw_half(canvas: Canvas, piece: Piece, into, x: float, y: float, pitch: float) -> None:
    middle = y + LINE_AT_MM
    symbols.plug_and_socket(canvas, into, x, middle - 1.3)
    canvas.line([(x, y), (x, middle - 1.2)], symbols.LINE, into=into)
    canvas.line([(x, middle + 1.1), (x, y + HEIGHT_MM)], symbols.LINE, into=into)
    canvas.text(x + 1.5, middle + 0.95, piece.caption[0], SMALL_MM, bold=True, class_="name")


def _draw_cap(canvas: Canvas, piece: Piece, into, x: float, y: float, pitch: float) -> None:
    if piece.tops:
        symbols.cap(canvas, into, x, y, 1)
    else:
        symbols.cap(canvas, into, x, y + 3.2, -1)
    canvas.text(x + 1.5, y + 2.6, piece.caption[0], SMALL_MM, class_="name")
