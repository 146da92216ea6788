"""A vehicle without what no sum reads: what is bought, and what is written for people alone."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace
from typing import Any

from buildbook.files.kept import key_of
from buildbook.vehicle.model import Vehicle

UNREAD: dict[str, Any] = {"parts": {}, "suppliers": {}, "notes": [], "waivers": []}
"""Key of the description that neither sizes nor faults nor drawings follow from, and it empty."""
OF_PRICES = ("parts", "suppliers")
"""Those of them that prices follow from."""


def plain(vehicle: Vehicle, reading: Collection[str] = ()) -> Vehicle:
    """The vehicle as its sums and drawings are worked out of it, or what is `reading` more."""
    unread = {key: empty for key, empty in UNREAD.items() if key not in reading}
    return replace(
        vehicle,
        description=vehicle.description.model_copy(update=unread),
        notes={},
        pictures={},
        positions=None,
    )


def sums_key(vehicle: Vehicle, reading: Collection[str] = ()) -> str:
    """The name of what follows from the `plain` vehicle; '' where its places are not known, since
    what is worked out may hold them."""
    if vehicle.positions is None:
        return ""
    tree = vehicle.positions.tree
    written = tree.value if isinstance(tree.value, dict) else {}
    unread = UNREAD.keys() - {*reading}
    places = [(key, tree.keys[key], node) for key, node in written.items() if key not in unread]
    return key_of((plain(vehicle, reading).description, vehicle.as_built, places))
