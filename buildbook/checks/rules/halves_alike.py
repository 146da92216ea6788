"""Finds connectors whose two halves would be bought with one gender."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.model import PRACTICE, Finding
from buildbook.checks.stages import Assessed
from buildbook.problem import Where

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
        more = f", and so for {len(both) - 1} more" if len(both) > 1 else ""
        yield Finding(
            RULE,
            "warning",
            part_id,
            f"{part.what} ({part_id}) would be bought for both halves of {kinds[both[0]]}: as "
            f"'{both[0]}' and as '{both[0]} mate'{more}. Two halves of one gender do not mate.",
            f"Describe a part for each: this one, and one that serves '{both[0]} mate'. If it is "
            "a kind that mates with its like, say so in a waiver.",
            SOURCE,
            Where("vehicle.yaml"),
        )
