"""How each size was chosen: every wire and fuse, each limit with its factors, what governed."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import fsum

from buildbook.book.chapter import Chapter
from buildbook.book.drawings import Drawings
from buildbook.book.shared_rows import unique
from buildbook.catalogue.copper import FROM_ZERO_TO_REFERENCE_C, J_PER_M3_K, ZERO_RESISTANCE_C
from buildbook.catalogue.load import fuse_families
from buildbook.catalogue.model import Conductor, FuseFamily, WireFamily
from buildbook.result import Result
from buildbook.sizing.bundle_derating import FULL_BUNDLE, NEIGHBOUR_HEAT
from buildbook.sizing.fuse_load import BAND_C, CRANK_S
from buildbook.sizing.installed_ampacity import START_STEP_C
from buildbook.sizing.load_paths import state_said
from buildbook.sizing.model import (
    FuseSizing,
    Limit,
    PathDrop,
    RatedPart,
    WireSizing,
    WireWorking,
    limit_said,
)
from buildbook.sizing.overcurrent import ANY_A
from buildbook.sizing.resistance import SPLICE_OHM
from buildbook.sizing.short_circuit_withstand import COPPER_K2
from buildbook.words.say import mark, say

SAME_A = 0.001
"""Currents nearer than this are one current: the wire's largest is its continuous one."""
TITLES = {
    "switch": mark("Switch contacts"),
    "relay": mark("Relay contacts"),
    "driver": mark("Drivers"),
    "output": mark("Outputs of controllers"),
    "coil": mark("Relay coils"),
    "splice": mark("Splices"),
}
SIGNAL_A = 0.1
"""Wires of less that only carry signals are listed apart, in fewer columns."""
LEAST_V = 0.0005
"""Anything but wire that loses less is added up in a list of ways, not named."""


NEVER_OPENS_A2S = 1e7
"""A fuse that lets more through than this, A2s, is not opened by an inrush."""


@dataclass(frozen=True)
class Sums:
    """The constants of the sums as the page prints them, each from where it is used."""

    zero_c: float = ZERO_RESISTANCE_C
    from_20_c: float = FROM_ZERO_TO_REFERENCE_C
    neighbour: float = NEIGHBOUR_HEAT
    full_bundle: int = FULL_BUNDLE
    splice_ohm: float = SPLICE_OHM
    copper_j_per_mm2_m_k: float = J_PER_M3_K / 1e6
    """Heat that a metre of copper of one square millimetre takes for each degree."""
    short_k2: str = f"{COPPER_K2:,.0f}".replace(",", " ")
    crank_s: float = CRANK_S
    start_step_c: float = START_STEP_C
    band_c: float = BAND_C
    signal_a: float = SIGNAL_A
    named_v: float = LEAST_V


@dataclass(frozen=True)
class WireRow:
    """One wire with its factors, its limits by name, and the number of its hardest way."""

    sized: WireSizing
    working: WireWorking
    family: int
    limits: dict[str, Limit]
    state: str
    way: int | None

    @property
    def joints(self) -> int:
        """Ends of the wire that lie in a splice."""
        return round(self.working.joints_ohm / SPLICE_OHM)

    @property
    def neighbours(self) -> int:
        """Other wires of the bundle that decides its heat, as many as count."""
        return min(self.working.heat_count, FULL_BUNDLE) - 1


@dataclass(frozen=True)
class WayRow:
    """A way with its named parts, and what all smaller ones lose together."""

    number: int
    way: PathDrop
    state: str
    named: tuple[tuple[str, float], ...]
    smaller_v: float


def chapters(result: Result, drawings: Drawings) -> tuple[Chapter, ...]:
    sizing = result.sizing
    wires = [sizing.wires[w] for w in result.harness.wires if w in sizing.wires]
    fuses = tuple(sizing.fuses.values())
    letters = {state: f"s{n}" for n, state in enumerate(result.vehicle.states, start=1)}
    ways = {(w.load, w.state): n for n, w in enumerate(sizing.path_drops, start=1)}
    families = {w.family: result.vehicle.wire_families[w.family] for w in wires}
    marks = {family: n for n, family in enumerate(families, start=1)}
    kinds = unique(result.vehicle.devices[f.fuse].written.fuse for f in fuses)
    rows = [wire_row(w, marks[w.family], letters, ways) for w in wires if w.working]
    drops = drawings.of("drops")
    context = {
        "rows": [row for row in rows if not is_signal(row)],
        "signals": [row for row in rows if is_signal(row)],
        "conductors": conductor_rows(wires, families, marks),
        "families": [(marks[name], family) for name, family in families.items()],
        "limit_said": limit_said,
        "state_said": state_said,
        "ways": [way_row(n, w, letters) for n, w in enumerate(sizing.path_drops, start=1)],
        "fuses": [(f, fuse_family(result, f), limits_of(f.limits)) for f in fuses],
        "bands": [fuse_families()[kind] for kind in kinds],
        "letters": letters,
        "drops": drops,
        "carriers": carriers_by_kind(sizing.rated_parts),
        "sources": [
            (say(source), [limit_said(name) for name in names])
            for source, names in sources((*wires, *fuses, *sizing.rated_parts)).items()
        ],
        "titles": {kind: say(title) for kind, title in TITLES.items()},
        "sums": Sums(),
        "fuse_lost_per_k": max((fuse_families()[kind].lost_per_k for kind in kinds), default=0.0),
        "any_a": ANY_A,
        "never_opens_a2s": NEVER_OPENS_A2S,
        "worked": (row := worked(result)),
        "worked_rated_c": families[row.sized.family].rated_c if row else 0.0,
    }
    return (Chapter("sizes", say("How each size was chosen"), "sizes.html", context, drops),)


def limits_of(limits: Iterable[Limit]) -> dict[str, Limit]:
    """Limits by name; of two of one name the one with less margin, in amps 'name A'."""
    found: dict[str, Limit] = {}
    for limit in limits:
        name = f"{limit.name} A" if limit.name == "terminal" and limit.unit == "A" else limit.name
        if name not in found or limit.margin < found[name].margin:
            found[name] = limit
    return found


def wire_row(
    sized: WireSizing, family: int, letters: dict[str, str], ways: dict[tuple[str, str], int]
) -> WireRow:
    working = sized.working
    assert working is not None
    return WireRow(
        sized,
        working,
        family,
        limits_of(sized.limits),
        letters.get(working.state, ""),
        ways.get((working.drop_load, working.drop_state)),
    )


def is_signal(row: WireRow) -> bool:
    """Whether next to nothing can be said of a wire: hardly a current, no fuse, no way."""
    small = max(row.working.steady_a, row.working.drop_a) < SIGNAL_A
    unfused = not row.sized.fuse and row.way is None
    return small and unfused and row.sized.governing == "smallest"


def conductor_rows(
    wires: Iterable[WireSizing], families: dict[str, WireFamily], marks: dict[str, int]
) -> list[tuple[int, Conductor, float, WireWorking]]:
    """(family number, conductor, its rated temperature, what it does in one air), once each."""
    found = {}
    for sized in wires:
        family, working = families[sized.family], sized.working
        if working is not None:
            row = next(c for c in family.conductors if c.label == sized.label)
            key = (marks[sized.family], sized.area_mm2, sized.label, working.heat_c)
            found[key] = (marks[sized.family], row, family.rated_c, working)
    return [found[key] for key in sorted(found)]


def way_row(number: int, way: PathDrop, letters: dict[str, str]) -> WayRow:
    named = tuple(
        (say("wire {id}", id=p.ref) if p.kind == "wire" else p.ref, p.volts)
        for p in way.parts
        if p.kind == "wire" or p.volts >= LEAST_V
    )
    total = fsum(p.volts for p in way.parts)
    smaller_v = total - fsum(volts for _, volts in named)
    return WayRow(number, way, letters.get(way.state, state_said(way.state)), named, smaller_v)


def fuse_family(result: Result, fuse: FuseSizing) -> FuseFamily:
    return fuse_families()[result.vehicle.devices[fuse.fuse].written.fuse]


def carriers_by_kind(carriers: Iterable[RatedPart]) -> dict[str, list[RatedPart]]:
    found: dict[str, list[RatedPart]] = {}
    for carrier in carriers:
        found.setdefault(carrier.kind, []).append(carrier)
    return found


def sources(sized: Iterable[WireSizing | FuseSizing | RatedPart]) -> dict[str, list[str]]:
    """What stands behind the limits, each said once -> names of the limits that it is behind."""
    found: dict[str, list[str]] = {}
    for one in sized:
        for limit in one.limits:
            if limit.source and limit.name not in found.setdefault(limit.source, []):
                found[limit.source].append(limit.name)
    return found


def worked(result: Result) -> WireRow | None:
    """One wire to do the sums with: of those ruled by drop, the one that loses most.

    None where no wire has both a drop and a continuous current to reckon with.
    """
    letters = {state: state for state in result.vehicle.states}
    ways = {(w.load, w.state): n for n, w in enumerate(result.sizing.path_drops, start=1)}
    able = []
    for sized in result.sizing.wires.values():
        if sized.working is None:
            continue
        row = wire_row(sized, 0, letters, ways)
        heat = row.limits.get("heat")
        lasting = abs(sized.working.steady_a - sized.working.drop_a) < SAME_A
        if heat and heat.unit == "A" and row.way and lasting:
            able.append((sized.governing == "drop", sized.drop_v, row))
    return max(able, key=lambda found: found[:2])[2] if able else None
