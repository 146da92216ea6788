"""Which parts may be bought for a need, and which of them stand in for another."""

from __future__ import annotations

from dataclasses import replace

from buildbook.description import models as written
from buildbook.parts.keys import keys_for
from buildbook.parts.model import Need


def serving(need: Need, parts: dict[str, written.Part]) -> tuple[str, ...]:
    """Ids of the parts that serve a need closest, then their substitutes.

    A part that names the need itself goes before one that names a wider need.
    """
    for key in keys_for(need.key):
        found = [part_id for part_id, part in parts.items() if key in part.serves]
        if need.key.startswith("part ") and key in parts:
            found = [key, *(p for p in found if p != key)]
        if found:
            beside = [s for p in found for s in parts[p].substitutes if s in parts]
            return tuple(dict.fromkeys([*found, *beside]))
    return ()


def stands_in_for(part_id: str, need: Need, parts: dict[str, written.Part]) -> str:
    """The part that `part_id` is bought in place of; '' where it serves the need itself."""
    first = serving(need, parts)[0]
    if first == part_id or any(key in parts[part_id].serves for key in keys_for(need.key)):
        return ""
    return next((p for p in parts if part_id in parts[p].substitutes), "")


def with_carried(need: Need, parts: dict[str, written.Part], rule: float) -> Need:
    """The need with what its part says is carried, or the rule's number."""
    first = next((parts[p] for p in serving(need, parts)), None)
    said = first.carry if first else None
    return replace(need, carried=float(rule if said is None else said))
