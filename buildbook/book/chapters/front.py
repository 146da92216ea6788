"""Cover and contents."""

from __future__ import annotations

from buildbook.book.chapter import Chapter
from buildbook.book.drawings import Drawings
from buildbook.book.views import note
from buildbook.result import Result


def chapters(result: Result, drawings: Drawings) -> tuple[Chapter, ...]:
    counts = (
        ("devices", len(result.vehicle.devices)),
        ("circuits", len(result.vehicle.circuits)),
        ("wires", len(result.harness.wires)),
        ("connectors", len(result.harness.connectors)),
        ("splices", len(result.harness.splices)),
        ("fuses", len(result.vehicle.all_of("fuse"))),
    )
    open_findings = [f for f in result.findings if not f.waived and f.severity != "note"]
    context = {
        "counts": counts,
        "open_findings": open_findings,
        "note": note(result, "vehicle"),
        "sheets": tuple(d for sheets in drawings.schematics.values() for d in sheets),
    }
    return (Chapter("contents", "Contents", "front.html", context, lists_pages=True),)
