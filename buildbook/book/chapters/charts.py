"""Charts that nobody works by: fuses under their loads, the alternator's curve, masses, and
sections of bundles in which places are not prescribed."""

from __future__ import annotations

from buildbook.book.chapter import Chapter
from buildbook.book.drawings import Drawings
from buildbook.result import Result
from buildbook.words.say import say


def chapters(result: Result, drawings: Drawings) -> tuple[Chapter, ...]:
    masses = drawings.of("masses")
    sections = [
        section
        for name in result.vehicle.description.rope
        if not any(r.lay_up for r in result.finished_runs.values() if r.harness == name)
        for section in drawings.of("sections", name)
    ]
    charts = [*drawings.of("fuses"), *drawings.of("alternator"), *masses, *sections]
    if not charts:
        return ()
    context = {"charts": charts, "has_masses": bool(masses)}
    title = say("Loads, charging and mass in charts")
    return (Chapter("charts", title, "charts.html", context, tuple(charts)),)
