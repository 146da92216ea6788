"""The ends of one harness, connector by connector, then stud by stud."""

from __future__ import annotations

from collections import Counter, defaultdict
from math import fsum

from buildbook.bench.model import CrimpCount, SpliceStep, Termination, TerminationSheet
from buildbook.bench.on_bench import HarnessOnBench
from buildbook.bench.pull_force import pull_n
from buildbook.catalogue.load import contact_families
from buildbook.harness.connector_home import home_of
from buildbook.harness.cut_length import end_addends
from buildbook.harness.joints import Joint
from buildbook.harness.model import End, Wire
from buildbook.parts.device_needs import halves, plug_words
from buildbook.parts.tools import BESIDE, crimper
from buildbook.parts.wire_needs import blanked, is_sealed, terminal, terminal_words
from buildbook.sizing.finished_runs import boots_of
from buildbook.vehicle.pins import cavities
from buildbook.words.in_order import natural
from buildbook.words.say import mark, say

TAKEN = {"lock": mark("lock"), "backshell": mark("backshell")}
"""What a plug takes beside its contacts."""


def termination_sheets(bench: HarnessOnBench) -> tuple[TerminationSheet, ...]:
    """Connectors by their distance from the datum, each with its cavities in order."""
    mates = {half for half, second in halves(bench.vehicle, bench.harness) if second}
    held: dict[str, list[Termination]] = defaultdict(list)
    for wire in bench.wires:
        for end in (wire.a, wire.b):
            if end.contact:
                held[_home(end)].append(_row(bench, wire, end, end.connector in mates))
    boots = {
        b.connector: b.boot.id if b.boot else say("none in the catalogue fits")
        for b in boots_of(bench.vehicle, bench.harness, bench.sizing)
    }
    blanks = blanked(bench.harness)
    sheets = [
        _sheet(bench, name, rows, name in mates, boots.get(name, ""), blanks.get(name, ()))
        for name, rows in held.items()
    ]
    return tuple(
        sorted(
            sheets,
            key=lambda s: (bench.from_datum_mm.get(s.point, 0.0), s.point, natural(s.name)),
        )
    )


def _home(end: End) -> str:
    """The connector, or the device whose stud it is."""
    return end.connector or end.node.rsplit(".", 1)[0]


def _row(bench: HarnessOnBench, wire: Wire, end: End, mate: bool) -> Termination:
    size = bench.size(wire)
    key, _ = terminal(end, size, mate)
    _, tool = crimper(key) or ("", "")
    return Termination(
        end.cavity or end.node.rsplit(".", 1)[-1],
        wire,
        end,
        size,
        contact_families()[end.contact].strip_mm,
        terminal_words(end, mate),
        end.contact if is_sealed(bench.harness, end) else "",
        tool,
        1000 * fsum(a.length_m for a in end_addends(bench.vehicle, end) if a.kind == "loop"),
        pull_n(bench.sizing.wires[wire.id].area_mm2),
    )


def _sheet(
    bench: HarnessOnBench,
    name: str,
    rows: list[Termination],
    mate: bool,
    boot: str,
    blanks: tuple[str, ...],
) -> TerminationSheet:
    connector = bench.harness.connectors.get(name)
    point = rows[0].end.point
    if connector is None:
        device = bench.vehicle.devices.get(name)
        ordered = sorted(rows, key=lambda r: (r.cavity, r.wire.id))
        return TerminationSheet(
            name, device.title if device else "", None, "", point, tuple(ordered), (), "", ()
        )
    places = {cavity: n for n, cavity in enumerate(cavities(connector.plug))}
    ordered = sorted(rows, key=lambda r: (places.get(r.cavity, len(places)), r.wire.id))
    own = home_of(bench.harness, connector) == bench.name
    return TerminationSheet(
        name,
        connector.title,
        connector,
        plug_words(connector.plug_type, mate),
        point,
        tuple(ordered),
        blanks if own else (),
        boot,
        tuple(say(TAKEN[piece]) for piece in connector.plug.takes),
    )


def crimp_counts(
    sheets: tuple[TerminationSheet, ...], splices: tuple[SpliceStep, ...]
) -> tuple[CrimpCount, ...]:
    """Crimps counted by tool, terminal and size; splices last."""
    counted = Counter((row.tool, row.terminal, row.size) for s in sheets for row in s.rows)
    found = [
        CrimpCount(terminal, size, tool, count)
        for (tool, terminal, size), count in sorted(counted.items())
    ]
    barrels = Counter(barrel_of(step.joint) for step in splices)
    found += [
        CrimpCount(say("Splice"), barrel, say(BESIDE["splice"][1]), count)
        for barrel, count in sorted(barrels.items())
    ]
    return tuple(found)


def barrel_of(joint: Joint) -> str:
    """What the barrel of a splice is called."""
    return say(joint.barrel.title) if joint.barrel else say("lugs on an insulated stud")
