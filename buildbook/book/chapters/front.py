"""Cover and contents."""

from __future__ import annotations

from buildbook.book.chapter import Chapter
from buildbook.book.drawings import Drawings
from buildbook.book.shared_rows import note
from buildbook.figures import counted
from buildbook.result import Result


def chapters(result: Result, drawings: Drawings, of: str = "") -> tuple[Chapter, ...]:
    """Cover and contents; `of` says what part of the book follows, '' for all of it."""
    counts = (
        ("device", len(result.vehicle.devices)),
        ("circuit", len(result.vehicle.circuits)),
        ("wire", len(result.harness.wires)),
        ("connector", len(result.harness.connectors)),
        ("splice", len(result.harness.splices)),
        ("fuse", len(result.vehicle.all_of("fuse"))),
    )
    open_findings = [f for f in result.findings if not f.waived and f.severity != "note"]
    plan = drawings.first("cover") if not of else None
    context = {
        "of": of,
        "plan": plan,
        "counts": [counted(n, what) for what, n in counts],
        "open_findings": open_findings,
        "note": note(result, "vehicle"),
    }
    return (Chapter("contents", "Contents", "front.html", context, (plan,) if plan else ()),)
