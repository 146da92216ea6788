"""Cover and contents."""

from __future__ import annotations

from buildbook.book.chapter import Chapter
from buildbook.book.drawings import Drawings
from buildbook.book.shared_rows import note
from buildbook.description.move.lay import to_measure
from buildbook.result import Result
from buildbook.words.say import say, say_counted


def chapters(result: Result, drawings: Drawings, of: str = "") -> tuple[Chapter, ...]:
    """Cover and contents; `of` says what part of the book follows, '' for all of it."""
    vehicle, harness = result.vehicle, result.harness
    counts = (
        say_counted("{n} device", "{n} devices", len(vehicle.devices)),
        say_counted("{n} circuit", "{n} circuits", len(vehicle.circuits)),
        say_counted("{n} wire", "{n} wires", len(harness.wires)),
        say_counted("{n} connector", "{n} connectors", len(harness.connectors)),
        say_counted("{n} splice", "{n} splices", len(harness.splices)),
        say_counted("{n} fuse", "{n} fuses", len(vehicle.all_of("fuse"))),
    )
    open_findings = [f for f in result.findings if not f.waived and f.severity != "note"]
    plan = drawings.first("cover") if not of else None
    context = {
        "of": of,
        "plan": plan,
        "counts": counts,
        "open_findings": open_findings,
        "note": note(result, "vehicle"),
        "moves": moves(result),
        "to_measure": [
            f"{run.harness}: {run.from_} – {run.to}"
            for run in (to_measure(vehicle.positions.tree) if vehicle.positions else ())
        ],
    }
    return (Chapter("contents", say("Contents"), "front.html", context, (plan,) if plan else ()),)


def moves(result: Result) -> list[str]:
    """What the variant that is built moves, and where it goes."""
    description = result.vehicle.description
    variant = description.variants.get(description.vehicle.variant or "")
    return [
        say("{device} moves to {place}", device=device, place=move.to)
        for device, move in (variant.move.items() if variant else ())
    ]
