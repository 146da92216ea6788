"""Where the cavities of a plug lie on its face."""

from __future__ import annotations

import math

from buildbook.description.models import Plug


def cavity_places(plug: Plug, mirrored: bool = False) -> dict[str, tuple[float, float]]:
    """Cavity -> place in pitches, y downwards, as seen from the wire side.

    Rows run from the top, rings clockwise from the keyway, innermost ring first. Mirrored, left
    and right change places: from the mating side, and from the wire side of the half that mates
    with the one that the type was written for.
    """
    places: dict[str, tuple[float, float]] = {}
    for down, row in enumerate(plug.rows):
        shift = 0.5 if plug.staggered and down % 2 else 0.0
        for across, cavity in enumerate(row):
            if cavity is not None:
                places[cavity] = (across + shift, float(down))
    start = {"top": 0.0, "right": 0.25, "bottom": 0.5, "left": 0.75}[plug.keyway]
    first = 0.0 if plug.rings and len(plug.rings[0]) == 1 else 1.0
    for out, ring in enumerate(plug.rings):
        for place, cavity in enumerate(ring):
            half = 0.5 if plug.staggered and out % 2 else 0.0
            turn = 2 * math.pi * (start + (place + half) / len(ring))
            radius = out + first
            places[cavity] = (radius * math.sin(turn), -radius * math.cos(turn))
    if mirrored:
        places = {cavity: (0.0 - x, y) for cavity, (x, y) in places.items()}
    return places
