"""Charts that nobody works by: fuses under their loads, the alternator's curve, masses."""

from __future__ import annotations

from buildbook.book.chapter import Chapter
from buildbook.book.drawings import Drawings
from buildbook.result import Result


def chapters(result: Result, drawings: Drawings) -> tuple[Chapter, ...]:
    masses = drawings.of("masses")
    charts = [*drawings.of("fuses"), *drawings.of("alternator"), *masses]
    if not charts:
        return ()
    context = {"charts": charts, "has_masses": bool(masses)}
    title = "Loads, charging and mass in charts"
    return (Chapter("charts", title, "charts.html", context, tuple(charts)),)
