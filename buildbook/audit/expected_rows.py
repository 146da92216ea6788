"""The rows that a book's tables have to hold, from the model and the words of its numbers."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from math import fsum

from buildbook.audit.model import Expected, Kind
from buildbook.audit.read_tables import bare
from buildbook.audit.tables import (
    AREA,
    AT_AN_END,
    CIRCUIT_WIRES,
    COLOUR,
    CONNECTOR_TITLE,
    CUT,
    CUTS,
    ELSEWHERE,
    FUSE,
    FUSES,
    LENGTHS,
    MAIN_CABLES,
    NUMBERED,
    OF_LOADS,
    OF_PIN,
    OF_TERMINALS,
    ORDERS,
    PARTS,
    SIZE,
    STUDS,
    WIRE,
    said_head,
)
from buildbook.bench.cut_list import addends_mm
from buildbook.bench.labels import label_text, sleeve_for
from buildbook.bench.pull_force import pull_n
from buildbook.book import formats
from buildbook.book.chapters.harnesses import ENDS as AT_ENDS
from buildbook.book.chapters.readings import STATES_ACROSS, connectors, load_words, terminals
from buildbook.book.chapters.supply import MAIN_MM2, fed
from buildbook.book.pin_rows import pin_row, stud_rows
from buildbook.book.shared_rows import (
    all_loads,
    end_text,
    load_cells,
    state_columns,
    unique,
)
from buildbook.book.shown_states import shown_states
from buildbook.figures import Units, estimated, squared
from buildbook.harness.cables import named_pieces
from buildbook.harness.model import End, Wire
from buildbook.parts.model import BillLine, Order
from buildbook.result import Result
from buildbook.sizing.finished_runs import conductor_of
from buildbook.sizing.model import WireSizing
from buildbook.words.say import mark, say

Rows = Mapping[Kind, list[Expected]]


def in_units(rows: Rows, units: Units) -> Rows:
    """The rows under the heads of a book in these units, areas as they are printed."""
    found: dict[Kind, list[Expected]] = {}
    for kind, some in rows.items():
        heads = {head: said_head(kind, head, units) for head in kind.heads}
        named = replace(kind, heads=tuple(heads[head] for head in kind.heads))
        found[named] = [
            replace(row, cells={heads[h]: squared(text) for h, text in row.cells.items()})
            for row in some
        ]
    return found


def of_circuits(result: Result) -> Rows:
    """Every wire once, under its circuit."""
    rows, begun = [], set()
    above: dict[str, None] = {}
    for wire in result.harness.wires.values():
        size = result.sizing.wires.get(wire.id)
        circuit = result.vehicle.circuits[wire.circuit]
        said = circuit.written.about or circuit.written.status != "in use"
        names_it = circuit.id not in begun and not said
        if said:
            above[bare(f"{circuit.number} {circuit.id}")] = None
        begun.add(circuit.id)
        cells = {
            "Circuit": f"{circuit.number} {circuit.id}" if names_it else "",
            COLOUR: wire.colour,
            AREA: result.vehicle.measures.bare_size(size.label) if size else "–",
            "From": end_text(wire.a),
            "To": end_text(wire.b),
            "Harness": wire.harness + (f", {wire.cable}" if wire.cable else ""),
            CUT: _length_words(result, wire),
            FUSE: size.fuse if size else "",
        }
        rows.append(Expected(wire.id, cells))
    return {replace(CIRCUIT_WIRES, above=tuple(above)): rows}


def of_main_cables(result: Result) -> Rows:
    """The thick wires."""
    rows = []
    for wire in result.harness.wires.values():
        size = result.sizing.wires.get(wire.id)
        if size and size.area_mm2 >= MAIN_MM2:
            cells = _wire_cells(wire, size) | {
                "From": end_text(wire.a),
                "To": end_text(wire.b),
                CUT: _length_words(result, wire),
                "Heating current": formats.amps(size.current_a),
                FUSE: size.fuse or say("none", context="fuse"),
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
    """What is cut and terminated for one harness, with what is read at its connectors."""
    wires = [wire for wire in result.harness.wires.values() if wire.harness == harness]
    rows = [_cut(result, wire) for wire in wires]
    for name, cores in _cables_of(result, harness):
        longest = max(cores, key=lambda core: core.cut_m)
        cells = {
            AREA: result.vehicle.measures.bare_size(result.sizing.wires[cores[0].id].label),
            "Length": _length_words(result, longest),
            "From – to": _way(cores[0]),
        }
        rows.append(Expected(name, cells))
    found: dict[Kind, list[Expected]] = {CUTS: rows}
    for wire in wires:
        for end in (wire.a, wire.b):
            if end.contact:
                kind, row = _end(result, wire, end)
                found.setdefault(kind, []).append(row)
    return found


def _cables_of(result: Result, harness: str) -> Iterator[tuple[str, tuple[Wire, ...]]]:
    for name, cores in named_pieces(result.harness.wires.values()).items():
        if cores[0].harness == harness:
            yield name, tuple(cores)


def _way(wire: Wire) -> str:
    return " – ".join(unique((wire.points[0], wire.points[-1])))


def _cut(result: Result, wire: Wire) -> Expected:
    sleeve = sleeve_for(conductor_of(result.vehicle, result.sizing.wires[wire.id]).outside_mm)
    label = result.sizing.wires[wire.id].label
    cells = {
        COLOUR: wire.colour,
        AREA: say("core", context="cable")
        if wire.cable
        else result.vehicle.measures.bare_size(label),
        "Length": "" if wire.cable else _length_words(result, wire),
        "Label, end A": label_text(wire, wire.a, wire.b),
        "Label, end B": label_text(wire, wire.b, wire.a),
        "Sleeve": result.vehicle.measures.words(sleeve),
        "From – to": _way(wire),
    }
    return Expected(wire.id, cells)


def of_lengths(result: Result, harness: str) -> Rows:
    """What the cut lengths of one harness are made up of; of a cable its longest core."""
    wires = [w for w in result.harness.wires.values() if w.harness == harness and not w.cable]
    pieces = [(wire.id, wire, wire) for wire in wires]
    for name, cores in _cables_of(result, harness):
        pieces.append((name, cores[0], max(cores, key=lambda core: core.cut_m)))
    rows = [
        Expected(
            name,
            {
                CUT: _length_words(result, longest),
                "Along": " – ".join(first.points),
                "Made up of": _made_up(longest, result.vehicle.measures),
            },
        )
        for name, first, longest in pieces
    ]
    return {LENGTHS: rows}


def _made_up(wire: Wire, units: Units) -> str:
    """What its length is made up of, both ends as one."""
    parts = addends_mm(wire)
    own = [(what, mm) for what, mm in parts if what not in AT_ENDS]
    own.append((mark("ends"), round(fsum(mm for what, mm in parts if what in AT_ENDS), 1)))
    return " + ".join(f"{say(what)} {units.bare_stated(mm)}" for what, mm in own)


def _length_words(result: Result, wire: Wire) -> str:
    return estimated(result.vehicle.measures.cut(wire.cut_m), wire.is_estimate)


def _end(result: Result, wire: Wire, end: End) -> tuple[Kind, Expected]:
    """An end at a stud, or in a connector with what is read there."""
    size = result.sizing.wires[wire.id]
    force = pull_n(size.area_mm2)
    cells = {
        COLOUR: wire.colour,
        AREA: result.vehicle.measures.bare_size(size.label),
        "Pull N": str(force) if force else "",
    }
    if not end.connector:
        return STUDS, Expected(end.node, cells | {WIRE: wire.id})
    pin = next(p for p in result.harness.connectors[end.connector].pins if p.id == end.node)
    row = pin_row(result, pin, end.connector)
    off = [
        say("plug off: {state}", state=state) for state in result.unplugged[end.connector].states
    ]
    heads = (*AT_AN_END, *shown_states(result), *off)
    shown = map(formats.short_reading, (*row.plugged_in, *row.off))
    cells |= {"Cavity": _cavity(end), AT_AN_END[5]: row.words}
    cells |= dict(zip(heads[6:], shown, strict=True))
    right = frozenset({4, *range(6, len(heads))})
    kind = Kind("terminations", heads, 1, right, NUMBERED, next_title=CONNECTOR_TITLE)
    return kind, Expected(wire.id, cells)


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
            COLOUR: say(sized.colour) if sized else "",
            "Place": device.panel + (f" {slot}" if slot is not None else ""),
            "What it is": device.what_it_is,
            "Load": formats.amps(sized.load_a) if sized else "–",
            "Feeds": fed(result, device.id),
        }
        rows.append(Expected(device.id, cells))
    return {FUSES: rows}


def of_orders(result: Result) -> Rows:
    """What is ordered of each supplier, and what has none."""
    suppliers = result.vehicle.description.suppliers
    rows = [
        _ordered(line, number, order)
        for order in result.bill.orders
        if order.supplier in suppliers
        for number, line in enumerate(order.lines, start=1)
    ]
    others = [order for order in result.bill.orders if order.supplier not in suppliers]
    return {ORDERS: rows, **of_parts(result, others)}


def _ordered(line: BillLine, number: int, order: Order) -> Expected:
    what = line.what + (f" {say('Colours:')} {line.in_colours}" if line.colours else "")
    if line.asked is None:
        what += f" {say('Please quote.')}"
    elif line.old and line.dated:
        what += f" {say('Price of {date}: please confirm.', date=line.dated)}"
    elif line.old:
        what += f" {say('Price without a date: please confirm.')}"
    foreign = f" {line.currency}" if line.currency != order.currency else ""
    cells = {
        "Line": str(number),
        "What": what,
        "Packs": str(line.packs),
        "Each": say("quote")
        if line.pack_price is None
        else formats.money(line.pack_price) + foreign,
        "Amount": say("quote") if line.asked is None else formats.money(line.asked),
    }
    return Expected(line.part, cells)


def of_parts(result: Result, orders: Sequence[Order] | None = None) -> Rows:
    """What is bought, order by order; of some orders where these are given."""
    orders = result.bill.orders if orders is None else orders
    lines = [line for order in orders for line in order.lines]
    units = result.vehicle.measures
    rows = []
    for line in lines:
        dated = say("price of {date}", date=line.dated) if line.dated else ""
        old = dated or say("price has no date")
        what = f"{line.what} ({old})" if line.old else line.what
        if line.in_place_of:
            what += f" ({say('in place of {part}', part=line.in_place_of)})"
        cells = {
            "What it is": what,
            "Serves": line.in_colours or _served(line, units),
            "To buy": units.quantity(line.quantity, line.need.unit),
            "Packs": f"{line.packs} × {units.bare_pack(line.pack, line.need.unit)}",
            "Pack": formats.money(line.pack_price),
            "Cost": formats.money(line.asked),
        }
        rows.append(Expected(line.part, cells))
    return {PARTS: rows}


def _served(line: BillLine, units: Units) -> str:
    return units.words(line.need.what) if line.need.what != line.what else ""


def of_loads(result: Result) -> Rows:
    """Every load with its amps and volts in every state."""
    states = result.vehicle.states
    found: dict[Kind, list[Expected]] = {}
    for first in range(0, len(states), STATES_ACROSS):
        group = states[first : first + STATES_ACROSS]
        heads = (*OF_LOADS, *group)
        kind = Kind("loads", heads, 0, frozenset(range(2, len(heads))))
        found[kind] = []
        for load in all_loads(result):
            cells = {heads[1]: load_words(result, load)}
            for state, cell in zip(group, load_cells(result, load, group), strict=True):
                shown = f"{formats.amps(cell[0])}, {formats.brief_reading(cell[1])}" if cell else ""
                cells[state] = shown or say("off")
            found[kind].append(Expected(load.id, cells))
    return found


def of_terminals(result: Result, devices: Iterable[str]) -> Rows:
    """The pins of some devices that are in no connector."""
    states = shown_states(result)
    heads = (*OF_TERMINALS, *states, ELSEWHERE)
    kind = Kind("terminals", heads, 1, frozenset(range(5, len(heads) - 1)), OF_PIN, least=2)
    rows = []
    size = result.vehicle.measures.bare_size
    for name in devices:
        for row in stud_rows(result, result.vehicle.devices[name]):
            wires = [f"{w.wire.id} {w.wire.colour} {size(w.label)}" for w in row.wires]
            none = say("no wire") if row.words else say("unused")
            none = say("bus bar") if row.bus else none
            shown = [formats.short_reading(r) if row.used else "" for r in row.plugged_in]
            other = [
                say(
                    "{reading} in {states}",
                    reading=formats.short_reading(e.shown),
                    states=", ".join(e.states),
                )
                for e in row.elsewhere
            ]
            cells = ["; ".join(wires) or none, row.fitted, row.words, *shown, "; ".join(other)]
            rows.append(Expected(row.pin.id, dict(zip(heads[2:], cells, strict=True))))
    return {kind: rows}


def of_pins(result: Result) -> Rows:
    """Every pin in every state, as the workings have them."""
    columns = state_columns(result.vehicle.states)
    places = [*connectors(result), *terminals(result)]
    off_columns = max((len(place.off_states) for place in places), default=0)
    read = tuple("".join(column) for column in columns)
    off = tuple(say("plug off, {letter}", letter=letter) for letter in "ABCDEFGH"[:off_columns])
    heads = (OF_TERMINALS[1], *read, *off)
    kind = Kind("pins", heads, 0, frozenset(range(1, len(heads))), OF_PIN)
    rows = []
    for place in places:
        for pin in place.pins:
            shown = ["".join(map(formats.short_reading, column)) for column in pin.plugged_in]
            shown += [formats.short_reading(reading) for reading in pin.off]
            rows.append(Expected(pin.pin.id, dict(zip(heads[1:], shown, strict=False))))
    return {kind: rows}


def _wire_cells(wire: Wire, size: WireSizing | None) -> dict[str, str]:
    return {COLOUR: wire.colour, SIZE: size.label if size else "–"}
