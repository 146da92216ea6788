"""Finds blade fuses that were chosen so small that nobody carries spares of them."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.model import PRACTICE, Finding
from buildbook.checks.naming import first_up, name_of
from buildbook.checks.stages import Assessed
from buildbook.sizing.fuse_rating import need_of
from buildbook.sizing.model import FuseSizing
from buildbook.vehicle.model import Vehicle
from buildbook.words.joined import all_of, few_of
from buildbook.words.say import say, say_n

RULE = "fuse-small"
SEVERITY = "note"
SOURCE = f"{PRACTICE}: blades below 3 A are rarely stocked"
BLADES = ("blade", "mini")
LEAST_A = 3.0
"""Smallest rating that shops and glove boxes have. Common practice, no source."""


def check(assessed: Assessed) -> Iterator[Finding]:
    """One for all on a panel: what is said of one is said of them all. Those that the author has
    rated, or has a part for, are meant so."""
    vehicle = assessed.vehicle
    by_place: dict[str, list[FuseSizing]] = {}
    for fuse_id, sized in assessed.sizing.fuses.items():
        if sized.rating_a < LEAST_A and sized.feeds and _is_unasked(vehicle, sized):
            by_place.setdefault(vehicle.devices[fuse_id].written.on or fuse_id, []).append(sized)
    for place, small in by_place.items():
        ratings = all_of([f"{amps:g} A" for amps in sorted({sized.rating_a for sized in small})])
        yield Finding(
            RULE,
            SEVERITY,
            place,
            say_n(
                "{place}: a fuse of {ratings} is chosen for small loads ({fuses}). Blades below "
                "{least:g} A are rarely stocked, have the most ohms, and blow by an inrush that no "
                "sheet states.",
                "{place}: fuses of {ratings} are chosen for small loads ({fuses}). Blades below "
                "{least:g} A are rarely stocked, have the most ohms, and blow by an inrush that no "
                "sheet states.",
                len(small),
                place=first_up(name_of(vehicle.devices[place])),
                ratings=ratings,
                fuses=few_of([sized.fuse for sized in small], 12),
                least=LEAST_A,
            ),
            _remedy(small),
            SOURCE,
            vehicle.devices[place].where,
        )


def _is_unasked(vehicle: Vehicle, sized: FuseSizing) -> bool:
    written = vehicle.devices[sized.fuse].written
    bought = {need for part in vehicle.description.parts.values() for need in part.serves}
    is_bought = need_of(written.fuse, sized.rating_a) in bought
    return written.rating is None and written.fuse in BLADES and not is_bought


def _remedy(small: list[FuseSizing]) -> str:
    """What their wires stand decides which of them may be larger."""
    thin = [sized.fuse for sized in small if sized.weakest_a < LEAST_A]
    if not thin:
        return say(
            "Write `rating: {least:g} A` for them, which their wires stand; or let small loads on "
            "one bus bar that may fail together share a fuse; or carry spares of these.",
            least=LEAST_A,
        )
    return say(
        "Write `rating: {least:g} A` for those whose wires stand it (not {thin}); or let small "
        "loads on one bus bar that may fail together share a fuse; or carry spares of these.",
        thin=few_of(thin, 3),
        least=LEAST_A,
    )
