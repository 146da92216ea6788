"""Finds a battery that loses more over a day's running than the alternator puts back."""

from __future__ import annotations

from collections.abc import Iterator
from math import fsum

from buildbook.checks.model import Finding
from buildbook.checks.stages import Assessed
from buildbook.figures import current
from buildbook.problem import Where
from buildbook.words.say import mark, say

RULE = "charging-negative"
SEVERITY = "error or warning or note"
SOURCE = "the curve of what charges and the states' shares in this description"
GIVES_NO_MORE = {
    "alternator": mark(
        "In '{state}' the battery gives {gives} although the engine runs: the alternator "
        "can give no more than {most} at that speed."
    ),
    "dynamo": mark(
        "In '{state}' the battery gives {gives} although the engine runs: the dynamo can "
        "give no more than {most} at that speed."
    ),
}
REMEDY = {
    "alternator": mark(
        "Fit a larger alternator or a smaller pulley, or draw less at low engine speed."
    ),
    "dynamo": mark("Fit a larger dynamo or a smaller pulley, or draw less at low engine speed."),
}

LONG_SHARE = 0.1
"""Of the running time: what takes from the battery for so long is felt. Our choice."""


def check(assessed: Assessed) -> Iterator[Finding]:
    """Weigh each state's battery current by its share of the day; then look at each state."""
    description = assessed.vehicle.description
    alternator = assessed.vehicle.supply.generator_data
    if alternator is None:
        return
    word = assessed.vehicle.supply.generator_word
    about = alternator.between[0].partition(".")[0]
    device = assessed.vehicle.devices.get(about)
    where = device.where if device else Where("vehicle.yaml")
    shares = {name: state.share for name, state in description.states.items()}
    balance = fsum(shares[name] * s.charging_a for name, s in assessed.solved.meter.items())
    drains = any(shares.values()) and balance < -1e-6
    if drains:
        yield Finding(
            RULE,
            "error",
            about,
            say(
                "Over a day's running the battery loses {loses} on average; it should gain.",
                loses=current(-balance),
            ),
            say(REMEDY[word]),
            SOURCE,
            where,
        )
    first_rpm = min((speed for speed, _ in alternator.curve), default=0.0)
    for name, solution in assessed.solved.meter.items():
        if description.states[name].engine < first_rpm or solution.charging_a >= -1e-6:
            continue
        if 0 < shares[name] < LONG_SHARE and not drains:
            continue  # the rest of the day puts it back
        yield Finding(
            RULE,
            "warning" if shares[name] >= LONG_SHARE else "note",
            name,
            say(
                GIVES_NO_MORE[word],
                state=name,
                gives=current(-solution.charging_a),
                most=current(solution.alternator_limit_a),
            ),
            say(REMEDY[word]),
            SOURCE,
            where,
        )
