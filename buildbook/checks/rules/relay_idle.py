"""Finds relays that never close, and relays that never open."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.buzzing import buzzes_in
from buildbook.checks.model import Finding
from buildbook.checks.naming import called
from buildbook.checks.stages import Assessed
from buildbook.words.say import say

RULE = "relay-idle"
SEVERITY = "warning"
SOURCE = "this description: its states, and the volts across each coil in them"


def check(assessed: Assessed) -> Iterator[Finding]:
    """Look at each relay contact in every state; one break contact counts the other way round."""
    states = list(assessed.solved.meter.values())
    for relay in assessed.vehicle.all_of("relay"):
        for contact in relay.contacts:
            if contact.kind != "relay" or contact.inverted or not states:
                continue
            closed = sum(contact.id in s.closed for s in states)
            if 0 < closed < len(states) or buzzes_in(relay, assessed.solved):
                continue
            name = called(relay.title, relay.id)
            yield Finding(
                RULE,
                "warning",
                contact.id,
                say("{relay} stays closed in every state.", relay=name)
                if closed
                else say("{relay} closes in no state.", relay=name),
                say(
                    "See what its coil (85 and 86) is joined to: one end needs a feed, the "
                    "other a ground, and one of them a switch or a driver. If it is right, add "
                    "the state in which it works."
                ),
                SOURCE,
                relay.where,
            )
