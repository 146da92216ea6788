"""The rows that a book's tables have to hold, from the model and the words of its numbers."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping

from buildbook.audit.model import Expected, Kind
from buildbook.audit.read_tables import bare
from buildbook.bench.cut_list import addends_mm
from buildbook.bench.labels import label_text, sleeve_for
from buildbook.bench.pull_force import pull_n
from buildbook.book import formats
from buildbook.book.chapters.faces import PinRow, connector_rows, pin_row
from buildbook.book.chapters.glance import STATES_ACROSS, load_words
from buildbook.book.chapters.harnesses import ENDS as AT_ENDS
from buildbook.book.chapters.supply import MAIN_MM2, fed
from buildbook.book.shared_rows import (
    all_loads,
    end_text,
    load_cells,
    state_columns,
)
from buildbook.figures import whole_mm
from buildbook.harness.cables import named_pieces
from buildbook.harness.model import End, Wire
from buildbook.result import Result
from buildbook.sizing.finished_runs import conductor_of
from buildbook.sizing.model import WireSizing

WIRE, COLOUR, SIZE, CUT, FUSE = "Wire", "Colour", "Size", "Cut mm", "Fuse"
NUMBERED = r"\d+[a-z]*"
OF_PIN = r"[^·]+\.[^·]+"
CIRCUIT_WIRES = Kind(
    "wires of a circuit",
    (WIRE, COLOUR, SIZE, "From", "To", "Harness", CUT, FUSE),
    0,
    frozenset({6}),
    NUMBERED,
)
MAIN_CABLES = Kind(
    "main cables",
    (WIRE, COLOUR, SIZE, "From", "To", CUT, "Heating current", FUSE, "Dead short, lasts"),
    0,
    frozenset({5, 6}),
    NUMBERED,
)
CUTS = Kind(
    "cut list",
    (
        WIRE,
        COLOUR,
        SIZE,
        CUT,
        "Label, end A",
        "Label, end B",
        "Sleeve",
        "Lies along",
        "Made up of",
    ),
    0,
    frozenset({3}),
    rf"{NUMBERED}|.*-\d+",
    frozenset({1, 2, 3}),
)
ENDS = Kind("terminations", ("Cavity", WIRE, COLOUR, SIZE, "Pull N"), 1, frozenset({4}), NUMBERED)
FUSES = Kind(
    "fuses",
    (FUSE, "Rating", COLOUR, "Place", "What it is", "Load", "Feeds"),
    0,
    frozenset({1, 5}),
)
PARTS = Kind(
    "parts",
    ("Part", "What it is", "Serves", "To buy", "Packs", "Pack", "Cost"),
    0,
    frozenset({3, 4, 5, 6}),
    unbroken=frozenset({4, 5}),
)
PINS_ACROSS = Kind("pins across", (), 0)

Rows = Mapping[Kind, list[Expected]]


def of_circuits(result: Result) -> Rows:
    """Every wire once, under its circuit."""
    rows = []
    for wire in result.harness.wires.values():
        size = result.sizing.wires.get(wire.id)
        cells = _wire_cells(wire, size) | {
            "From": end_text(wire.a),
            "To": end_text(wire.b),
            "Harness": wire.harness + (f", {wire.cable}" if wire.cable else ""),
            CUT: _cut_words(wire),
            FUSE: size.fuse if size else "",
        }
        rows.append(Expected(wire.id, cells))
    return {CIRCUIT_WIRES: rows}


def of_main_cables(result: Result) -> Rows:
    """The thick wires."""
    rows = []
    for wire in result.harness.wires.values():
        size = result.sizing.wires.get(wire.id)
        if size and size.area_mm2 >= MAIN_MM2:
            cells = _wire_cells(wire, size) | {
                "From": end_text(wire.a),
                "To": end_text(wire.b),
                CUT: _cut_words(wire),
                "Heating current": formats.amps(size.current_a),
                FUSE: size.fuse or "none",
                "Dead short, lasts": _short(size),
            }
            rows.append(Expected(wire.id, cells))
    return {MAIN_CABLES: rows}


def _short(size: WireSizing) -> str:
    if size.fuse or not size.working or not size.working.short_a:
        return "–"
    working = size.working
    return f"{formats.number(working.short_a, 0)} A, {formats.number(working.short_harms_s, 0)} s"


def of_harness(result: Result, harness: str) -> Rows:
    """What is cut and terminated for one harness."""
    wires = [wire for wire in result.harness.wires.values() if wire.harness == harness]
    rows = [_cut(result, wire) for wire in wires]
    for name, cores in named_pieces(result.harness.wires.values()).items():
        if cores[0].harness == harness:
            longest = max(cores, key=lambda core: core.cut_m)
            cells = {
                COLOUR: "cable",
                SIZE: result.sizing.wires[cores[0].id].label,
                CUT: _cut_words(longest),
                "Lies along": " – ".join(cores[0].points),
                "Made up of": _made_up(longest),
            }
            rows.append(Expected(name, cells))
    return {CUTS: rows, ENDS: [row for wire in wires for row in _ends(result, wire)]}


def _cut(result: Result, wire: Wire) -> Expected:
    sleeve = sleeve_for(conductor_of(result.vehicle, result.sizing.wires[wire.id]).outside_mm)
    cells = _wire_cells(wire, result.sizing.wires[wire.id]) | {
        CUT: _cut_words(wire),
        "Label, end A": label_text(wire, wire.a, wire.b),
        "Label, end B": label_text(wire, wire.b, wire.a),
        "Sleeve": sleeve,
        "Lies along": " – ".join(wire.points),
        "Made up of": _made_up(wire),
    }
    if wire.cable:
        cells |= {SIZE: "core", CUT: "", "Made up of": ""}
    return Expected(wire.id, cells)


def _made_up(wire: Wire) -> str:
    """What its length is made up of, both ends as one."""
    parts = addends_mm(wire)
    own = [(what, mm) for what, mm in parts if what not in AT_ENDS]
    own.append(("ends", round(sum(mm for what, mm in parts if what in AT_ENDS), 1)))
    return " + ".join(f"{what} {formats.plain(mm)}" for what, mm in own)


def _cut_words(wire: Wire) -> str:
    return f"{whole_mm(wire.cut_m)}{' est.' if wire.is_guessed else ''}"


def _ends(result: Result, wire: Wire) -> Iterator[Expected]:
    for end in (wire.a, wire.b):
        if end.contact:
            size = result.sizing.wires[wire.id]
            force = pull_n(size.area_mm2)
            cells = _wire_cells(wire, size) | {
                "Cavity": _cavity(end),
                "Pull N": str(force) if force else "",
            }
            yield Expected(wire.id, cells)


def _cavity(end: End) -> str:
    return end.cavity or end.node.rsplit(".", 1)[-1]


def of_fuses(result: Result) -> Rows:
    """Every fuse with its rating and what it carries."""
    rows = []
    for device in result.vehicle.all_of("fuse"):
        sized = result.sizing.fuses.get(device.id)
        slot = device.written.slot
        cells = {
            "Rating": f"{formats.plain(sized.rating_a)} A" if sized else "–",
            COLOUR: sized.colour if sized else "",
            "Place": device.panel + (f" {slot}" if slot is not None else ""),
            "What it is": device.title,
            "Load": formats.amps(sized.load_a) if sized else "–",
            "Feeds": fed(result, device.id),
        }
        rows.append(Expected(device.id, cells))
    return {FUSES: rows}


def of_parts(result: Result) -> Rows:
    """What is bought, order by order."""
    lines = [line for order in result.bill.orders for line in order.lines]
    rows = []
    for line in lines:
        old = f"price of {line.dated}" if line.dated else "price has no date"
        what = f"{line.what} ({old})" if line.old else line.what
        what += f" (in place of {line.in_place_of})" if line.in_place_of else ""
        cells = {
            "What it is": what,
            "Serves": line.in_colours or (line.need.what if line.need.what != line.what else ""),
            "To buy": formats.quantity(line.quantity, line.need.unit),
            "Packs": f"{line.packs} × {line.pack:g}",
            "Pack": formats.money(line.pack_price),
            "Cost": formats.money(line.asked),
        }
        rows.append(Expected(line.part, cells))
    return {PARTS: rows}


def of_loads(result: Result) -> Rows:
    """Every load with its amps and volts in every state."""
    states = result.vehicle.states
    found: dict[Kind, list[Expected]] = {}
    for first in range(0, len(states), STATES_ACROSS):
        group = states[first : first + STATES_ACROSS]
        heads = ("Load", "What it is, what it does", *group)
        kind = Kind("loads", heads, 0, frozenset(range(2, len(heads))))
        found[kind] = []
        for load in all_loads(result):
            cells = {heads[1]: load_words(result, load)}
            for state, cell in zip(group, load_cells(result, load, group), strict=True):
                shown = f"{formats.amps(cell[0])}, {formats.brief_reading(cell[1])}" if cell else ""
                cells[state] = shown or "off"
            found[kind].append(Expected(load.id, cells))
    return found


def of_pins(result: Result, connectors: Iterable[str], devices: Iterable[str]) -> Rows:
    """Every pin of some connectors, and of the studs of some devices."""
    found: dict[Kind, list[Expected]] = defaultdict(list)
    columns = state_columns(result.vehicle.states)
    read = tuple("".join(column) for column in columns)
    named = ("Pin", WIRE, COLOUR, SIZE, "Circuit, use")
    plugged = {pin.id for c in result.harness.connectors.values() for pin in c.pins}
    for name in connectors:
        rows = connector_rows(result, result.harness.connectors[name], None)
        off = tuple(f"plug off: {state}" for state in rows.off_states)
        kind = _pin_kind("pins", (*named, *read, *off), 0)
        if rows.form == "beside":
            found[PINS_ACROSS] += [_across(row, columns, rows.off_states) for row in rows.pins]
        else:
            shown = [row for row in rows.pins if row.used]
            found[kind] += [_pin(row, (*read, *off), SIZE) for row in shown]
    kind = _pin_kind(
        "terminals", ("Device", "Pin", WIRE, COLOUR, "Size, terminal", "Circuit, use", *read), 1
    )
    for name in devices:
        device = result.vehicle.devices[name]
        if device.kind != "pass-through":
            own = [pin_row(result, pin) for pin in device.pins if pin.id not in plugged]
            found[kind] += [_pin(row, read, "Size, terminal") for row in own]
    return found


def names_across(result: Result) -> tuple[str, ...]:
    """The names of the rows of a table whose columns are pins, in their order."""
    columns = state_columns(result.vehicle.states)
    states = ("".join(column) for column in columns)
    off = (f"plug off: {state}" for state in result.vehicle.states)
    return (WIRE, "Terminal", "Circuit, use", *states, *off)


def _across(
    row: PinRow, columns: tuple[tuple[str, ...], ...], off_states: tuple[str, ...]
) -> Expected:
    wires = "".join(f"{w.wire.id} {w.wire.colour} {w.label}" for w in row.wires)
    none = "bus bar" if row.bus else "no wire" if row.circuits else "unused"
    cells = {WIRE: wires or none, "Terminal": row.fitted, "Circuit, use": row.words}
    if row.used:
        for column, readings in zip(columns, row.plugged_in, strict=True):
            cells["".join(column)] = "".join(map(formats.reading, readings))
        for state, reading in zip(off_states, row.off, strict=True):
            cells[f"plug off: {state}"] = formats.reading(reading)
    return Expected(row.pin.id, {bare(name): text for name, text in cells.items()})


def _pin_kind(name: str, heads: tuple[str, ...], key: int) -> Kind:
    return Kind(name, heads, key, frozenset(range(key + 5, len(heads))), OF_PIN)


def _pin(row: PinRow, heads: tuple[str, ...], size: str) -> Expected:
    fitted = row.fitted if size != SIZE else ""
    if len(row.wires) > 1:
        several = len(row.circuits) > 1
        told = [
            f"{w.wire.id} {w.wire.colour} {w.label}{w.wire.circuit if several else ''}"
            for w in row.wires
        ]
        told += [row.last_words] if row.last_words else []
        told += [f"each {fitted}"] if fitted else []
        cells = {WIRE: "; ".join(told)}
    elif row.wires:
        (only,) = row.wires
        cells = {WIRE: only.wire.id, COLOUR: only.wire.colour, size: only.label + fitted}
        cells["Circuit, use"] = row.words
    else:
        none = "no wire" if row.circuits else "unused"
        cells = {WIRE: "bus bar" if row.bus else none, "Circuit, use": row.words}
    if row.used:
        shown = ["".join(map(formats.short_reading, column)) for column in row.plugged_in]
        shown += [formats.short_reading(reading) for reading in row.off]
        cells |= dict(zip(heads, shown, strict=False))
    return Expected(row.pin.id, cells)


def _wire_cells(wire: Wire, size: WireSizing | None) -> dict[str, str]:
    return {COLOUR: wire.colour, SIZE: size.label if size else "–"}
