"""Index of everything that has a name."""

from __future__ import annotations

from buildbook.book.chapter import Chapter
from buildbook.book.drawings import Drawings
from buildbook.result import Result


def chapters(result: Result, drawings: Drawings) -> tuple[Chapter, ...]:
    vehicle, harness = result.vehicle, result.harness
    devices = [
        (d.id, d.title, [("device", d.id), *(("connector", c.id) for c in d.connectors)])
        for d in vehicle.devices.values()
    ]
    by_circuit = {
        c.id: [("wire", w.id) for w in harness.wires.values() if w.circuit == c.id]
        for c in vehicle.circuits.values()
    }
    circuits = [(c.id, str(c.number), [("circuit", c.id)]) for c in vehicle.circuits.values()]
    groups = (
        ("Devices, fuses, relays and grounds", sorted(devices)),
        ("Circuits", sorted(circuits)),
        ("Wires", [(w, "", [("wire", w), ("cut", w), ("size", w)])
                   for wires in by_circuit.values() for _kind, w in wires]),
        ("Connectors", [(c.id, c.title, [("connector", c.id)])
                        for c in sorted(harness.connectors.values(), key=lambda c: c.id)]),
        ("Splices", [(s, "", [("splice", s)]) for s in harness.splices]),
    )  # fmt: skip
    return (Chapter("index", "Index", "index.html", {"groups": groups}, lists_pages=True),)
