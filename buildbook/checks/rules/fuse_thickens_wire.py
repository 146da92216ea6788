"""Finds wires that are thick for nothing but a fuse that is far above what they carry."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.model import PRACTICE, Finding
from buildbook.checks.stages import Assessed
from buildbook.sizing.model import WireSizing
from buildbook.sizing.openers import family_of
from buildbook.words.say import in_figures, say, say_n

RULE = "fuse-thickens-wire"
SEVERITY = "note"
SOURCE = f"{PRACTICE}: a coil or a lamp beside a heavy load has a small fuse of its own"
SMALL_SHARE = 0.05
"""Of the fuse's rating: what carries less is no load that the fuse is there for. Our choice."""
TIMES = 3.0
"""Thicker than all else asks by this much, at least. Our choice."""
BUT = ("fuse", "drop")
"""Limits that are not among all else."""


def check(assessed: Assessed) -> Iterator[Finding]:
    """Report each circuit once, with all such wires of it."""
    by_circuit: dict[tuple[str, str], list[WireSizing]] = {}
    for sized in assessed.sizing.wires.values():
        if _thick_for_its_fuse(assessed, sized):
            circuit = assessed.harness.wires[sized.wire].circuit
            by_circuit.setdefault((circuit, sized.fuse), []).append(sized)
    for (circuit, fuse), wires in by_circuit.items():
        rating_a = assessed.sizing.fuses[fuse].rating_a
        most_a = max(sized.current_a for sized in wires)
        thickest = max(wires, key=lambda sized: sized.area_mm2)
        yield Finding(
            RULE,
            SEVERITY,
            circuit,
            say_n(
                "Wire {wires} of '{circuit}' carries {most_a:.2f} A and would be {needs_mm2:g} "
                "mm2, but stands behind {fuse} of {rating_a:g} A and is up to {size} for that "
                "alone.",
                "Wires {wires} of '{circuit}' carry {most_a:.2f} A and would be {needs_mm2:g} "
                "mm2, but stand behind {fuse} of {rating_a:g} A and are up to {size} for that "
                "alone.",
                len(wires),
                wires=", ".join(w.wire for w in wires),
                circuit=circuit,
                most_a=most_a,
                needs_mm2=thickest.asked_mm2(BUT),
                fuse=fuse,
                rating_a=rating_a,
                size=in_figures(thickest.label),
            ),
            say(
                "Feed it through a fuse of its own ({own_fuse_a:g} A).",
                own_fuse_a=_own_fuse_a(assessed, fuse, most_a),
            ),
            SOURCE,
            assessed.vehicle.circuits[circuit].where,
        )


def _thick_for_its_fuse(assessed: Assessed, sized: WireSizing) -> bool:
    if sized.pinned or sized.governing != "fuse" or sized.fuse not in assessed.sizing.fuses:
        return False
    rating_a = assessed.sizing.fuses[sized.fuse].rating_a
    small = sized.current_a < SMALL_SHARE * rating_a
    return small and sized.area_mm2 >= TIMES * sized.asked_mm2(BUT) - 1e-9


def _own_fuse_a(assessed: Assessed, fuse: str, current_a: float) -> float:
    """The smallest standard rating that would carry it."""
    family = family_of(assessed.vehicle, fuse)
    fits = [r for r in family.ratings_a if current_a <= family.continuous_share * r]
    return fits[0] if fits else family.ratings_a[-1]
