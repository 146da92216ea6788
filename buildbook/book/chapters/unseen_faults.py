"""Poor joints by the ohms from which they are seen, and faults that show nothing."""

from __future__ import annotations

from buildbook.book.chapter import Chapter
from buildbook.book.drawings import Drawings
from buildbook.book.fault_wording import gathered
from buildbook.result import Result
from buildbook.words.say import say


def chapters(result: Result, drawings: Drawings) -> tuple[Chapter, ...]:
    context = {"joints": joint_rows(result), "silent": silent_rows(result)}
    title = say("Faults that are not seen")
    return (Chapter("unseen-faults", title, "unseen_faults.html", context),)


def joint_rows(result: Result) -> list[tuple[float, str]]:
    """Ohms from which a poor joint is seen, the least first, and the joints."""
    found = result.faultfinding
    by_ohms: dict[float, list[str]] = {}
    for fault in found.faults.values():
        if fault.mode == "resistive" and fault.kind != "ground" and found.effects[fault.id]:
            by_ohms.setdefault(fault.ohms, []).append(fault.id)
    return [(ohms, gathered(result, names, how=False)) for ohms, names in sorted(by_ohms.items())]


def silent_rows(result: Result) -> list[tuple[str, str, str]]:
    """Faults that show nothing, by reason and the test that finds them."""
    rows: dict[tuple[str, str], list[str]] = {}
    for silent in result.faultfinding.unseen:
        rows.setdefault((silent.why, silent.alike), []).append(silent.fault)
    return [(why, test, gathered(result, names)) for (why, test), names in sorted(rows.items())]
