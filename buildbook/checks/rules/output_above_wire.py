"""Finds outputs that trip at more than the weakest wire behind them stands."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.model import Finding
from buildbook.checks.stages import Assessed

RULE = "output-above-wire"
SEVERITY = "error"
SOURCE = "ISO 6722-1, short-term ageing (memory): what the insulation stands until the output trips"


def check(assessed: Assessed) -> Iterator[Finding]:
    """Compare each output's trip with its weakest wire, as a fuse's rating is."""
    for name, sized in assessed.sizing.outputs.items():
        trips_a = sized.trips[0][0]
        if not sized.weakest_wire or trips_a <= sized.weakest_trip_a * (1 + 1e-9):
            continue
        yield Finding(
            RULE,
            SEVERITY,
            name,
            f"Output {name} trips at {trips_a:g} A, but wire {sized.weakest_wire} behind it would "
            f"be harmed unless it tripped at {sized.weakest_trip_a:.1f} A.",
            f"Use a larger size for wire {sized.weakest_wire}, set the output to trip at less or "
            "sooner, or put a fuse behind it.",
            SOURCE,
            assessed.vehicle.devices[sized.device].where,
        )
