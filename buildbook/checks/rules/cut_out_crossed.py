"""Finds cut-outs of dynamos whose two terminals are joined the wrong way round."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.model import Finding
from buildbook.checks.places import where_of_pin
from buildbook.checks.questions import pins_with
from buildbook.checks.stages import Assessed
from buildbook.description.models import Dynamo
from buildbook.words.say import say

RULE = "cut-out-crossed"
SEVERITY = "error"
SOURCE = "this description: `cut out` names its terminal at the dynamo first"


def check(assessed: Assessed) -> Iterator[Finding]:
    """The dynamo's live end has to be in the circuit of the first terminal."""
    vehicle = assessed.vehicle
    for source in vehicle.supply.generators:
        if not isinstance(source.written, Dynamo):
            continue
        first, second = source.written.cut_out.between
        live = [p for p in (source.plus_pin, source.minus_pin) if p in vehicle.supply.live_pins]
        for pin in live:
            if second in pins_with(vehicle, pin) and first not in pins_with(vehicle, pin):
                yield Finding(
                    RULE,
                    "error",
                    source.id,
                    say(
                        "The cut-out of {source} is crossed: its battery's terminal {second} "
                        "is joined to the dynamo ({pin}), and {first} to the battery: it never "
                        "charges, and the battery drives the dynamo.",
                        source=source.id,
                        second=second,
                        pin=pin,
                        first=first,
                    ),
                    say(
                        "Exchange the wires of {first} and {second}, or the two under `cut out`.",
                        first=first,
                        second=second,
                    ),
                    SOURCE,
                    where_of_pin(vehicle, second),
                )
