"""Finds connectors whose two halves would be bought with one gender."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from buildbook.checks.model import PRACTICE, Finding
from buildbook.checks.places import written_at
from buildbook.checks.stages import Assessed
from buildbook.words.say import say

RULE = "halves-alike"
SEVERITY = "warning"
SOURCE = f"{PRACTICE}: pins go into sockets; two halves of one gender do not mate"


def check(assessed: Assessed) -> Iterator[Finding]:
    """One part for a housing or contact and for its mate, where both halves are to be bought.

    Where no part is named for the mate of a contact, the contact itself would be bought for it.
    """
    vehicle = assessed.vehicle
    kinds: dict[str, str] = {}
    for through in vehicle.pass_throughs:
        if through.on_vehicle:
            continue
        kinds.setdefault(f"housing {through.plug_type}", through.device)
        for contact in (through.plug.contact, *through.plug.contacts.values()):
            kinds.setdefault(f"terminal {contact}", through.device)
    parts = vehicle.description.parts
    served = {key for part in parts.values() for key in part.serves}
    lacking = {
        kind
        for kind in kinds
        if kind.startswith("terminal ")
        and not any(key.startswith(f"{kind} mate") for key in served)
    }
    for part_id, part in parts.items():
        both = [
            kind
            for kind in kinds
            if kind in part.serves and (kind in lacking or f"{kind} mate" in part.serves)
        ]
        if not both:
            continue
        named: dict[str, Any] = {
            "what": part.what,
            "part": part_id,
            "connector": kinds[both[0]],
            "serves": both[0],
            "more": len(both) - 1,
        }
        yield Finding(
            RULE,
            "warning",
            part_id,
            say(
                "{what} ({part}) would be bought for both halves of {connector}: as '{serves}' "
                "and as '{serves} mate', and so for {more} more. Two halves of one gender do not "
                "mate.",
                **named,
            )
            if len(both) > 1
            else say(
                "{what} ({part}) would be bought for both halves of {connector}: as '{serves}' "
                "and as '{serves} mate'. Two halves of one gender do not mate.",
                **named,
            ),
            say(
                "Describe a part for each: this one, and one that serves '{serves} "
                "mate'. If it is a kind that mates with its like, say so in a waiver.",
                serves=both[0],
            ),
            SOURCE,
            written_at(assessed.vehicle, "parts", part_id),
        )
