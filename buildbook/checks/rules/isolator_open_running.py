"""Finds isolators that are written as open while the engine runs."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.model import Finding
from buildbook.checks.naming import called, quoted
from buildbook.checks.places import written_at
from buildbook.checks.stages import Assessed
from buildbook.words.say import say

RULE = "isolator-open-running"
SEVERITY = "warning"
SOURCE = (
    "ISO 16750-2, load dump: an alternator that loses its battery while it charges sends tens of "
    "volts into all that it feeds"
)


def check(assessed: Assessed) -> Iterator[Finding]:
    """Look at the states in which a generator gives current, and at each isolator's contacts."""
    vehicle = assessed.vehicle
    generators = vehicle.supply.generators
    charged = [s for s in vehicle.states if any(g.limit_a.get(s) for g in generators)]
    for device in vehicle.all_of("isolator"):
        switches = [c for c in device.contacts if c.kind == "switch"]
        for index, contact in enumerate(switches):
            opened = [s for s in charged if s not in contact.states]
            if not opened or len(opened) == len(charged):
                continue
            states = quoted(opened)
            yield Finding(
                RULE,
                "warning",
                contact.id,
                say(
                    "{device} is open in {states}, in which the engine turns a generator: "
                    "opened then, it parts the generator from the battery.",
                    device=called(device.title, contact.id),
                    states=states,
                ),
                say(
                    "Let {contact} be closed in {states} (`closed`); or give the state no "
                    "`engine`, if it is the one in which somebody pulls it.",
                    contact=contact.id,
                    states=states,
                ),
                SOURCE,
                written_at(vehicle, "devices", device.id, "contacts", index, "closed"),
            )
