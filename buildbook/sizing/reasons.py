"""The limits considered for a wire or a fuse, as rows that say what each would ask for."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from buildbook.catalogue.model import FuseFamily
from buildbook.description.quantities import WireSize
from buildbook.sizing.drop import Worst
from buildbook.sizing.fuse import FuseLoad, survives_s
from buildbook.sizing.model import Limit
from buildbook.sizing.place import Candidate, Place

HEAT = "heat balance in still air (Churchill-Chu); bundle and altitude as AC 43.13-1B, 11-69"
CRANKING = "copper's heat capacity over 30 s of cranking"
DROP = "allowed drop of the load, feed and return, less its contacts and fuses"
ORDER = ("smallest", "terminal", "heat", "fuse", "drop")
"""Where several limits ask for the same size, the first named here governs."""
ENDLESS_S = 1e6


@dataclass(frozen=True)
class WireFacts:
    """Everything that the rows of one wire quote."""

    place: Place
    chosen: Candidate
    steady_a: float
    heat_a: float
    crank_a: float
    crank_allowed_a: float
    worst: Worst | None
    fuse: str
    rating_a: float
    stand_a: float | None
    smallest: WireSize
    fuse_source: str


def governing(needs: Mapping[str, int], pinned: bool) -> str:
    """Name of the limit that asked for the most copper."""
    if pinned:
        return "author"
    return max((n for n in ORDER if n in needs), key=lambda n: needs[n])


def wire_limits(facts: WireFacts, needs: Mapping[str, int]) -> tuple[Limit, ...]:
    """A row for each limit that applies to the wire."""
    place, chosen = facts.place, facts.chosen

    def label(name: str) -> str:
        return place.candidates[needs[name]].label if name in needs else ""

    rows = [_heat(facts, label("heat"))]
    if facts.worst:
        floor = label("drop") or place.candidates[max(needs.values())].label
        source = f"{DROP}; {facts.worst.load}, {facts.worst.state}"
        rows.append(Limit("drop", facts.worst.drop_v, facts.worst.allowed_v, "V", floor, source))
    if facts.stand_a is not None:
        source = f"{facts.fuse}; {facts.fuse_source}; insulation ISO 6722 (memory)"
        rows.append(Limit("fuse", facts.rating_a, facts.stand_a, "A", label("fuse"), source))
    rows += _terminal(facts, label("terminal"))
    if place.pinned:
        most = place.candidates[max(needs.values())]
        rows.append(
            Limit("author", most.area_mm2, chosen.area_mm2, "mm2", chosen.label, "size pinned")
        )
    elif not place.most_mm2 < facts.smallest.area_mm2:
        rows.append(
            Limit(
                "smallest",
                facts.smallest.area_mm2,
                chosen.area_mm2,
                "mm2",
                label("smallest"),
                "smallest wire allowed in this vehicle",
            )
        )
    return tuple(rows)


def _heat(facts: WireFacts, needs: str) -> Limit:
    """The harder of continuous current and cranking; in air too hot, the insulation itself."""
    ambient_c, family = facts.place.ambient_c, facts.chosen.family
    if ambient_c >= family.rated_c:
        return Limit(
            "heat", ambient_c, family.rated_c, "degC", "hotter family", f"zone; {family.source}"
        )
    steady = facts.steady_a / max(facts.heat_a, 1e-9)
    if facts.crank_a / max(facts.crank_allowed_a, 1e-9) > steady:
        return Limit("heat", facts.crank_a, facts.crank_allowed_a, "A", needs, CRANKING)
    return Limit("heat", facts.steady_a, facts.heat_a, "A", needs, HEAT)


def _terminal(facts: WireFacts, needs: str) -> list[Limit]:
    """The contact's largest conductor; its smallest and its current where they are not met."""
    rows = []
    area = facts.chosen.area_mm2
    for contact in sorted(facts.place.contacts, key=lambda c: c.largest_mm2)[:1]:
        rows.append(
            Limit("terminal", area, contact.largest_mm2, "mm2", needs, f"{contact.id}, largest")
        )
    for contact in facts.place.contacts:
        if area < contact.smallest_mm2 - 1e-6:
            rows.append(
                Limit("terminal", contact.smallest_mm2, area, "mm2", needs, f"{contact.id}")
            )
        if facts.steady_a > contact.amps:
            source = f"{contact.id}; {contact.source}"
            rows.append(Limit("terminal", facts.steady_a, contact.amps, "A", needs, source))
    return rows


def fuse_limits(
    family: FuseFamily, load: FuseLoad, rating_a: float, weakest: tuple[float, str]
) -> tuple[Limit, ...]:
    """Rows for the load, its inrush, and the weakest wire behind the fuse."""
    share = family.continuous_share
    enough = next(
        (r for r in family.ratings_a if r * share >= load.current_a - 1e-9), family.ratings_a[-1]
    )
    rows = [Limit("load", load.current_a, share * rating_a, "A", f"{enough:g} A", family.source)]
    if load.inrush_a > 0:
        lasts = min(survives_s(family, rating_a, load.inrush_a), ENDLESS_S)
        stands = next(
            (r for r in family.ratings_a if survives_s(family, r, load.inrush_a) > load.inrush_s),
            family.ratings_a[-1],
        )
        source = f"{load.inrush_load} takes {load.inrush_a:.1f} A; {family.source}"
        rows.append(Limit("inrush", load.inrush_s, lasts, "s", f"{stands:g} A", source))
    if weakest[1]:
        below = [r for r in family.ratings_a if r <= weakest[0]]
        source = f"wire {weakest[1]} must outlast the fuse; {family.source}"
        most = f"{below[-1]:g} A" if below else "a thicker wire"
        rows.append(Limit("wire", rating_a, weakest[0], "A", most, source))
    return tuple(rows)
