"""The limits considered for a wire or a fuse, as rows that say what each would ask for."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from buildbook.catalogue.model import FuseFamily
from buildbook.description.quantities import WireSize
from buildbook.figures import current
from buildbook.sizing.fuse_load import CRANK_S, FuseLoad
from buildbook.sizing.fuse_rating import carries_a, derating, inrush_rating_a, load_rating_a
from buildbook.sizing.installation import Candidate, Installation
from buildbook.sizing.installed_ampacity import InstalledAmpacity
from buildbook.sizing.load_paths import state_said
from buildbook.sizing.model import Limit, Selectivity
from buildbook.sizing.openers import WRITTEN
from buildbook.sizing.opening_time import fastest_s, slowest_s
from buildbook.sizing.overcurrent import LargestFuse, Temperatures
from buildbook.sizing.short_circuit_withstand import k_factor, withstand_s
from buildbook.sizing.unfused import SWITCHED_OFF_S
from buildbook.sizing.voltage_drop import WorstPath
from buildbook.words.say import mark, say

HEAT = mark(
    "heat balance in still air (Churchill and Chu), bundle and altitude: AC 43.13-1B, 11-69"
)
TOO_HOT = mark("the insulation's rated temperature against the air of its zone")
CRANKING = mark("copper's heat capacity over 30 s of cranking")
DROP = mark("allowed drop of the load, feed and return, contacts, fuses and splices with it")
FUSE = mark("fuse's opening-time band, slowest side; what the insulation stands, ISO 6722 (memory)")
TRIP = mark("the longest time that its sheet gives; what the insulation stands, ISO 6722 (memory)")
OUTPUT_LOAD = mark("the limit in this description, from the output's data sheet")
UNFUSED = mark(
    "adiabatic equation, IEC 60364-5-54: no fuse before it; time until the isolator is open, our "
    "choice"
)
SHORT = mark("adiabatic equation, IEC 60364-5-54: I2 t let through against k2 S2")
TERMINAL = mark("conductor range and current of the contacts at its ends, from the catalogue")
AUTHOR = mark("the size written in this description")
LEAST = mark("the least size written in this description")
MOST = mark("the most size written in this description")
BUILT = mark("the size that the record says was built")
SMALLEST = mark("smallest wire allowed in this vehicle")
LOAD = mark("three quarters of the rating, derated for the air: common practice, no source")
INRUSH = mark(
    "fuse's opening-time band, quickest side: I2 t of the inrush against I2 t that melts it"
)
CRANK_FUSE = mark("fuse's opening-time band, quickest side, over 30 s of cranking")
BREAKING = mark("breaking capacity of the fuse (ISO 8820) against a dead short behind it")
SELECTIVE = mark("opening-time bands: slowest side of the fuse below, quickest side of this one")
ORDER = ("smallest", "author", "terminal", "heat", "fuse", "unfused", "drop")
"""Where several limits ask for the same size, the first named here governs."""
ENDLESS_S = 1e6
"""Printed for a time without end."""


@dataclass(frozen=True)
class FuseProtection:
    """A wire's hardest fuse: its rating, what the wire stands, and the short behind it."""

    fuse: str
    family: FuseFamily
    rating_a: float
    short_a: float
    largest_fuse: LargestFuse


@dataclass(frozen=True)
class WireFacts:
    """Everything that the rows of one wire quote."""

    installation: Installation
    chosen: Candidate
    steady_a: float
    ampacity: InstalledAmpacity
    crank_a: float
    crank_allowed_a: float
    temperatures: Temperatures
    worst: WorstPath | None
    protection: FuseProtection | None
    smallest: WireSize
    unfused_a: float = 0.0
    """Dead short that flows in it past every fuse; 0 where a fuse stands before it."""
    switched: bool = False
    """An isolator parts it from every battery."""


def governing(needs: Mapping[str, int], pinned_by: str) -> str:
    """Name of the limit that asked for the most copper, or of what fixed the size."""
    if pinned_by:
        return pinned_by
    return max((n for n in ORDER if n in needs), key=lambda n: needs[n])


def wire_limits(facts: WireFacts, needs: Mapping[str, int]) -> tuple[Limit, ...]:
    """A row for each limit that applies to the wire."""
    installation = facts.installation

    def label(name: str) -> str:
        return installation.candidates[needs[name]].label if name in needs else ""

    rows = [_heat(facts, label("heat"))]
    if facts.worst:
        floor = label("drop") or installation.candidates[max(needs.values())].label
        worst = facts.worst
        about = f"{worst.load}, {state_said(worst.state)}"
        rows.append(Limit("drop", worst.drop_v, worst.allowed_v, "V", floor, DROP, about))
    if facts.protection:
        rows += _fuse(facts, facts.protection, label("fuse"))
    if facts.unfused_a:
        rows.append(_unfused(facts, label("unfused")))
    rows += _terminal(facts, label("terminal"))
    rows += _asked(facts, label("author"))
    rows += _size(facts, needs, label("smallest"))
    return tuple(rows)


def _heat(facts: WireFacts, needs: str) -> Limit:
    """The harder of continuous current and cranking; in air too hot, the insulation itself."""
    ambient_c, rated_c = facts.installation.ambient_c, facts.chosen.family.rated_c
    if ambient_c >= rated_c:
        return Limit("heat", ambient_c, rated_c, "degC", "hotter family", TOO_HOT)
    steady = facts.steady_a / max(facts.ampacity.allowed_a, 1e-9)
    if facts.crank_a / max(facts.crank_allowed_a, 1e-9) > steady:
        return Limit("heat", facts.crank_a, facts.crank_allowed_a, "A", needs, CRANKING, "cranking")
    return Limit("heat", facts.steady_a, facts.ampacity.allowed_a, "A", needs, HEAT)


def _fuse(facts: WireFacts, protection: FuseProtection, needs: str) -> list[Limit]:
    """The rating against what the wire outlasts, and the heat let through by a dead short."""
    rows = [
        Limit(
            "fuse",
            protection.rating_a,
            protection.largest_fuse.rating_a,
            "A",
            needs,
            _opens_by(protection.family),
            protection.fuse,
        )
    ]
    opens_s = slowest_s(protection.family, protection.rating_a, protection.short_a)
    if math.isfinite(opens_s):
        k = k_factor(facts.temperatures.start_c, facts.chosen.family.short_circuit_c)
        most = (k * facts.chosen.conductor.copper_mm2) ** 2
        through = protection.short_a**2 * opens_s
        about = f"{protection.short_a:.0f} A for {opens_s:.2g} s"
        rows.append(Limit("short", through, most, "A2s", "", SHORT, about))
    return rows


def _opens_by(family: FuseFamily) -> str:
    return TRIP if family.how == WRITTEN else FUSE


def _unfused(facts: WireFacts, needs: str) -> Limit:
    """The time for which a dead short must be stood against the one for which it is."""
    k = k_factor(facts.temperatures.start_c, facts.chosen.family.short_circuit_c)
    harms_s = withstand_s(facts.chosen.conductor.copper_mm2, k, facts.unfused_a)
    amps = facts.unfused_a
    about = (
        say("{amps:.0f} A", amps=amps)
        if facts.switched
        else say("{amps:.0f} A, and no isolator cuts it off", amps=amps)
    )
    return Limit("unfused", SWITCHED_OFF_S, min(harms_s, ENDLESS_S), "s", needs, UNFUSED, about)


def _terminal(facts: WireFacts, needs: str) -> list[Limit]:
    """The narrowest contact's largest and, where not met, smallest conductor; the least current."""
    rows, area = [], facts.chosen.area_mm2
    contacts = facts.installation.contacts
    for contact in sorted(contacts, key=lambda c: (c.largest_mm2, c.id))[:1]:
        about = f"{contact.id}, largest"
        rows.append(Limit("terminal", area, contact.largest_mm2, "mm2", needs, TERMINAL, about))
    for contact in contacts:
        if area < contact.smallest_mm2 - 1e-6:
            rows.append(
                Limit("terminal", contact.smallest_mm2, area, "mm2", needs, TERMINAL, contact.id)
            )
    for contact in sorted(contacts, key=lambda c: (c.amps, c.id))[:1]:
        rows.append(Limit("terminal", facts.steady_a, contact.amps, "A", "", TERMINAL, contact.id))
    return rows


def _asked(facts: WireFacts, needs: str) -> list[Limit]:
    """The author's least and most, where no size is fixed."""
    author, area = facts.installation.author, facts.chosen.area_mm2
    rows = []
    if author.least_size and not facts.installation.pinned:
        rows.append(Limit("author", author.least_size.area_mm2, area, "mm2", needs, LEAST))
    if author.most_size and not facts.installation.pinned:
        rows.append(Limit("most", area, author.most_size.area_mm2, "mm2", "", MOST))
    return rows


def _size(facts: WireFacts, needs: Mapping[str, int], smallest: str) -> list[Limit]:
    """The author's size held against all that is asked; else the vehicle's smallest."""
    installation, chosen = facts.installation, facts.chosen
    if installation.pinned:
        most = installation.candidates[max(needs.values())]
        name, source = (
            installation.pinned_by,
            AUTHOR if installation.pinned_by == "author" else BUILT,
        )
        return [Limit(name, most.area_mm2, chosen.area_mm2, "mm2", chosen.label, source)]
    least = facts.smallest.area_mm2
    if installation.most_mm2 < least:
        return []
    return [Limit("smallest", least, chosen.area_mm2, "mm2", smallest, SMALLEST)]


@dataclass(frozen=True)
class FuseFacts:
    """Everything that the rows of one fuse quote."""

    family: FuseFamily
    load: FuseLoad
    rating_a: float
    weakest_a: float
    weakest_wire: str
    short_a: float
    selective: tuple[Selectivity, ...]


def fuse_limits(facts: FuseFacts) -> tuple[Limit, ...]:
    """Rows for the load, inrush, cranking, the weakest wire, a dead short, and the fuses below."""
    family, load, rating_a = facts.family, facts.load, facts.rating_a
    allowed_a = carries_a(family, rating_a, load.ambient_c)
    enough = f"{load_rating_a(family, load):g} A"
    source = OUTPUT_LOAD if family.how == WRITTEN else LOAD
    rows = [Limit("load", load.current_a, allowed_a, "A", enough, source, load.state)]
    rows += _timed(facts)
    if facts.weakest_wire:
        below = [r for r in family.ratings_a if r <= facts.weakest_a]
        most = f"{below[-1]:g} A" if below else "a thicker wire"
        source = _opens_by(family)
        rows.append(Limit("wire", rating_a, facts.weakest_a, "A", most, source, facts.weakest_wire))
    if facts.short_a and family.how != WRITTEN:
        rows.append(Limit("breaking", facts.short_a, family.breaking_a, "A", "", BREAKING))
    worst = min(
        facts.selective,
        key=lambda s: (s.holds, s.upper_s / max(s.lower_s, 1e-9), s.downstream),
        default=None,
    )
    if worst:
        rows.append(
            Limit(
                "selective",
                min(worst.lower_s, ENDLESS_S),
                min(worst.upper_s, ENDLESS_S),
                "s",
                "",
                SELECTIVE,
                say("{fuse} at {amps:.0f} A", fuse=worst.downstream, amps=worst.fault_a),
            )
        )
    return tuple(rows)


def _timed(facts: FuseFacts) -> list[Limit]:
    """Inrush as heat, I2 t; cranking as the time that the fuse holds."""
    family, load, rows = facts.family, facts.load, []
    warm_a = facts.rating_a * derating(family, load.ambient_c)
    stands = f"{inrush_rating_a(family, load):g} A"
    if load.inrush_a > 0:
        lasts_s = min(fastest_s(family, warm_a, load.inrush_a), ENDLESS_S)
        square = load.inrush_a**2
        about = say(
            "{loads}: {amps} for {ms:.0f} ms",
            loads=load.inrush_load,
            amps=current(load.inrush_a),
            ms=load.inrush_s * 1000,
        )
        rows.append(
            Limit("inrush", square * load.inrush_s, square * lasts_s, "A2s", stands, INRUSH, about)
        )
    if load.crank_a > 0:
        lasts_s = min(fastest_s(family, warm_a, load.crank_a), ENDLESS_S)
        about = f"{load.crank_a:.0f} A"
        rows.append(Limit("crank", CRANK_S, lasts_s, "s", stands, CRANK_FUSE, about))
    return rows
