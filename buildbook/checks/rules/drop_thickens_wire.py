"""Finds wires that are thick for volts that others on the way of their load lose."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import fsum

from buildbook.checks.model import PRACTICE, Finding
from buildbook.checks.naming import called, with_others
from buildbook.checks.stages import Assessed
from buildbook.sizing.load_paths import state_said
from buildbook.sizing.model import PathDrop, WireSizing
from buildbook.words.say import in_figures, say, say_n

RULE = "drop-thickens-wire"
SEVERITY = "note"
SOURCE = f"{PRACTICE}: a wire is about as thick as its own current asks"
TIMES = 4.0
"""Thicker than all else asks by this much, at least. Our choice."""
BUT = ("drop",)
"""Limits that are not among all else."""
SMALL_SHARE = 0.2
"""Of an allowance: where a load's own wires are left less, others use it up. Our choice."""
OWN = 1.5
"""A wire of the way that carries more than this many times the least is shared. Our choice."""


@dataclass(frozen=True)
class Squeezed:
    """A load whose own wires are thick because shared ones and contacts lose what it may."""

    way: PathDrop
    thick: tuple[WireSizing, ...]
    shared: tuple[str, ...]
    """Wires of its way that carry other loads as well."""
    shared_v: float


def check(assessed: Assessed) -> Iterator[Finding]:
    """Report each load once, with all such wires of it; loads that share their way together."""
    alike: dict[object, list[Squeezed]] = {}
    for way in assessed.sizing.path_drops:
        found = _squeezed(assessed, way)
        if found is not None:
            key = (way.state, way.allowed_v, found.shared or way.load)
            alike.setdefault(key, []).append(found)
    for several in alike.values():
        worst = max(several, key=lambda found: max(sized.area_mm2 for sized in found.thick))
        yield _finding(assessed, worst, [x.way.load for x in several if x is not worst])


def _squeezed(assessed: Assessed, way: PathDrop) -> Squeezed | None:
    volts = {part.ref: part.volts for part in way.parts if part.kind == "wire"}
    wires = {wire: assessed.sizing.wires[wire] for wire in volts}
    least_a = min((sized.current_a for sized in wires.values()), default=0.0)
    own = {w for w, sized in wires.items() if sized.current_a <= OWN * least_a}
    own_v = fsum(volts[w] for w in own)
    thick = tuple(wires[w] for w in volts if w in own and _thick_for(wires[w], way))
    kept = way.lost_v <= way.allowed_v + 1e-6  # else drop-above-allowance tells it
    if not thick or not kept or own_v > SMALL_SHARE * way.allowed_v:
        return None
    shared = tuple(w for w in volts if w not in own)
    return Squeezed(way, thick, shared, fsum(volts[w] for w in shared))


def _thick_for(sized: WireSizing, way: PathDrop) -> bool:
    """Whether the volts of this way, and nothing else, make a wire so thick."""
    working = sized.working
    if sized.pinned or sized.governing != "drop" or working is None:
        return False
    hardest = (working.drop_load, working.drop_state) == (way.load, way.state)
    return hardest and sized.area_mm2 >= TIMES * sized.asked_mm2(BUT) - 1e-9


def _finding(assessed: Assessed, found: Squeezed, others: list[str]) -> Finding:
    way = found.way
    device = next(
        d for d in assessed.vehicle.devices.values() if any(x.id == way.load for x in d.loads)
    )
    text = with_others(_text(found, called(device.title, way.load)) + _where(found), others)
    also = tuple(others)
    return Finding(RULE, SEVERITY, way.load, text, _remedy(way), SOURCE, device.where, also=also)


def _text(found: Squeezed, load: str) -> str:
    way = found.way
    thickest = max(found.thick, key=lambda sized: (sized.area_mm2, sized.wire))
    return say_n(
        "Wire {wires} to {load} carries {most_a:.2f} A and would be {needs_mm2:g} mm2, but is "
        "{size}: of the {allowed_v:.2f} V that this load may lose in '{state}' {others_v:.2f} V "
        "are lost elsewhere on its way, and {own_v:.2f} V are left to its own wires.",
        "Wires {wires} to {load} carry {most_a:.2f} A and would be {needs_mm2:g} mm2, but are up "
        "to {size}: of the {allowed_v:.2f} V that this load may lose in '{state}' {others_v:.2f} "
        "V are lost elsewhere on its way, and {own_v:.2f} V are left to its own wires.",
        len(found.thick),
        wires=", ".join(sized.wire for sized in found.thick),
        load=load,
        most_a=max(sized.current_a for sized in found.thick),
        needs_mm2=thickest.asked_mm2(BUT),
        size=in_figures(thickest.label),
        allowed_v=way.allowed_v,
        state=state_said(way.state),
        others_v=found.shared_v + way.others_v,
        own_v=way.allowed_v - found.shared_v - way.others_v,
    )


def _where(found: Squeezed) -> str:
    """What loses the rest: shared wires by name, all else as a sum."""
    if not found.shared:
        return ""
    return say_n(
        " Wire {wires}, which feeds other loads as well, loses {shared_v:.2f} V, contacts, fuses "
        "and grounds {rest_v:.2f} V.",
        " Wires {wires}, which feed other loads as well, lose {shared_v:.2f} V, contacts, fuses "
        "and grounds {rest_v:.2f} V.",
        len(found.shared),
        wires=", ".join(found.shared),
        shared_v=found.shared_v,
        rest_v=found.way.others_v,
    )


def _remedy(way: PathDrop) -> str:
    """The allowance itself is the cure: held wires only make the shared ones thicker."""
    if way.kind == "author":
        return say(
            "See whether the load needs that little loss: the `drop` of its circuit says so, and "
            "counts what all loads of '{state}' lose together. With a `most size` instead the "
            "shared wires grow.",
            state=state_said(way.state),
        )
    return say(
        "Let it lose more by a `drop` of its circuit, if it works with less, or give it a way "
        "of its own. With a `most size` instead the shared wires grow."
    )
