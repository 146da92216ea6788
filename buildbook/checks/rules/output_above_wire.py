"""Finds outputs that trip at more than the weakest wire behind them stands."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.model import Finding
from buildbook.checks.stages import Assessed
from buildbook.words.say import say

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
            say(
                "Output {name} trips at {trips_a:g} A, but wire {weakest_wire} behind it "
                "would be harmed unless it tripped at {weakest_trip_a:.1f} A.",
                name=name,
                trips_a=trips_a,
                weakest_wire=sized.weakest_wire,
                weakest_trip_a=sized.weakest_trip_a,
            ),
            say(
                "Use a larger size for wire {weakest_wire}, set the output to trip at less "
                "or sooner, or put a fuse behind it.",
                weakest_wire=sized.weakest_wire,
            ),
            SOURCE,
            assessed.vehicle.devices[sized.device].where,
        )
