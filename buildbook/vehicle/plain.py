"""A vehicle without what no sum reads: what is bought, and what is written for people alone."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from buildbook.files.kept import key_of
from buildbook.vehicle.model import Vehicle

UNREAD: dict[str, Any] = {"parts": {}, "suppliers": {}, "notes": [], "waivers": []}
"""Key of the description that neither sizes nor faults nor drawings follow from, and it empty."""


def plain(vehicle: Vehicle) -> Vehicle:
    """The vehicle as its sums and drawings are worked out of it."""
    return replace(
        vehicle,
        description=vehicle.description.model_copy(update=UNREAD),
        notes={},
        pictures={},
        positions=None,
    )


def sums_key(vehicle: Vehicle) -> str:
    """The name of what follows from the vehicle without what is left out; '' where its places are
    not known, since what is worked out may hold them."""
    if vehicle.positions is None:
        return ""
    tree = vehicle.positions.tree
    written = tree.value if isinstance(tree.value, dict) else {}
    places = [(key, tree.keys[key], node) for key, node in written.items() if key not in UNREAD]
    return key_of((plain(vehicle).description, vehicle.as_built, places))
