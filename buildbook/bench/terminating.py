"""The ends of one harness, connector by connector, then stud by stud."""

from __future__ import annotations

from collections import Counter, defaultdict

from buildbook.bench.bench import Bench
from buildbook.bench.model import Crimps, Termination, TerminationSheet
from buildbook.bench.pull import pull_n
from buildbook.catalogue.load import contact_families
from buildbook.harness.joints import Joint
from buildbook.harness.lengths import end_addends
from buildbook.harness.model import End, Wire
from buildbook.parts.entry import Entry
from buildbook.parts.fitting import halves
from buildbook.parts.tools import BESIDE, tools
from buildbook.parts.wiring import home_of, terminal
from buildbook.sizing.dressed import boots_of, joints_of
from buildbook.vehicle.pins import cavities


def termination_sheets(bench: Bench) -> tuple[TerminationSheet, ...]:
    """Connectors by their distance from the datum, each with its cavities in order."""
    mates = {half for half, second in halves(bench.vehicle, bench.harness) if second}
    held: dict[str, list[Termination]] = defaultdict(list)
    for wire in bench.wires:
        for end in (wire.a, wire.b):
            if end.contact:
                held[_home(end)].append(_row(bench, wire, end, end.connector in mates))
    boots = {b.connector: b.boot.id if b.boot else "none in the catalogue fits"
             for b in boots_of(bench.vehicle, bench.harness, bench.sizing)}  # fmt: skip
    sheets = [_sheet(bench, name, rows, boots, name in mates) for name, rows in held.items()]
    return tuple(
        sorted(sheets, key=lambda s: (bench.from_datum_mm.get(s.point, 0.0), s.point, s.name))
    )


def _home(end: End) -> str:
    """The connector, or the device whose stud it is."""
    return end.connector or end.node.rsplit(".", 1)[0]


def _row(bench: Bench, wire: Wire, end: End, mate: bool) -> Termination:
    size = bench.size(wire)
    key, what = terminal(end, size, mate)
    connector = bench.harness.connectors.get(end.connector)
    sealed = connector is not None and connector.plug.sealed
    crimper = next(
        (tool.what for tool in tools([Entry(key, what, 1, "piece")])
         if not tool.key.startswith("tool extractor")), "")  # fmt: skip
    return Termination(
        end.cavity or end.node.rsplit(".", 1)[-1], wire, end, size,
        contact_families()[end.contact].strip_mm, what.removesuffix(f", {size}"),
        end.contact if sealed else "", crimper,
        1000 * sum(a.length_m for a in end_addends(bench.vehicle, end) if a.kind == "loop"),
        pull_n(bench.sizing.wires[wire.id].area_mm2),
    )  # fmt: skip


def _sheet(
    bench: Bench, name: str, rows: list[Termination], boots: dict[str, str], mate: bool
) -> TerminationSheet:
    connector = bench.harness.connectors.get(name)
    point = rows[0].end.point
    if connector is None:
        device = bench.vehicle.devices.get(name)
        ordered = sorted(rows, key=lambda r: (r.cavity, r.wire.id))
        return TerminationSheet(name, device.title if device else "", None, "", point,
                                tuple(ordered), (), "", ())  # fmt: skip
    places = {cavity: n for n, cavity in enumerate(cavities(connector.plug))}
    ordered = sorted(rows, key=lambda r: (places.get(r.cavity, len(places)), r.wire.id))
    filled = {end.cavity for wire in bench.harness.wires.values() for end in (wire.a, wire.b)
              if end.connector == name}  # fmt: skip
    empty = tuple(c for c in places if c not in filled) if connector.plug.sealed else ()
    own = home_of(bench.harness, connector) == bench.name
    return TerminationSheet(
        name, connector.title, connector, connector.plug_type + (" mate" if mate else ""), point,
        tuple(ordered), empty if own else (),
        boots.get(name, ""), tuple(connector.plug.takes),
    )  # fmt: skip


def crimps(bench: Bench, sheets: tuple[TerminationSheet, ...]) -> tuple[Crimps, ...]:
    """Crimps counted by tool, terminal and size; splices last."""
    counted = Counter((row.tool, row.terminal, row.size) for s in sheets for row in s.rows)
    found = [Crimps(terminal, size, tool, count)
             for (tool, terminal, size), count in sorted(counted.items())]  # fmt: skip
    made = joints_of(bench.vehicle, bench.harness, bench.sizing)
    own = [s for s in bench.harness.splices.values() if s.harness == bench.name]
    barrels = Counter(barrel_of(made[splice.id]) for splice in own)
    found += [Crimps("Splice", barrel, BESIDE["splice"][1], count)
              for barrel, count in sorted(barrels.items())]  # fmt: skip
    return tuple(found)


def barrel_of(joint: Joint) -> str:
    """What the barrel of a splice is called."""
    return joint.barrel.title if joint.barrel else "lugs on an insulated stud"
