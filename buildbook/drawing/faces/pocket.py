"""Faces small enough for the pocket: cavity numbers alone, lettered to be read by torchlight."""

from __future__ import annotations

from html import escape

from buildbook.description.models import Plug
from buildbook.drawing.shared.model import Drawing
from buildbook.vehicle.faces import cavity_places

LETTER_MM = 2.9
"""Height of type: 8.2 points."""
LETTER_WIDE_MM = 1.75
"""Width of the widest digit or capital at that size, measured on Roboto, rounded up."""
EDGE_MM = 1.2


def pocket_face(name: str, plug: Plug) -> Drawing:
    """A plug type from the wire side, its keyway marked by a bar on the shell."""
    places = cavity_places(plug)
    letters = max((len(cavity) for cavity in places), default=1)
    wide, high = letters * LETTER_WIDE_MM + 1.2, LETTER_MM + 1.2
    if plug.staggered:
        wide = max(wide, high)
    across, down = (max(wide, high),) * 2 if plug.rings else (wide, high)
    xs, ys = [x for x, _ in places.values()] or [0.0], [y for _, y in places.values()] or [0.0]
    width = (max(xs) - min(xs)) * across + wide + 2 * EDGE_MM
    height = (max(ys) - min(ys)) * down + high + 2 * EDGE_MM
    bars = {
        "top": (width / 2 - 2, 0, 4, 1),
        "bottom": (width / 2 - 2, height - 1, 4, 1),
        "left": (0, height / 2 - 2, 1, 4),
        "right": (width - 1, height / 2 - 2, 1, 4),
    }
    x, y, w, h = bars[plug.keyway]
    parts = [
        f'<rect x="0.2" y="0.2" width="{width - 0.4:.2f}" height="{height - 0.4:.2f}" rx="1" '
        f'fill="none" stroke="#000000" stroke-width="0.3"/>',
        f'<rect x="{x:.2f}" y="{y:.2f}" width="{w}" height="{h}" fill="#000"/>',
    ]
    for cavity, (column, row) in places.items():
        left = EDGE_MM + wide / 2 + (column - min(xs)) * across
        top = EDGE_MM + high / 2 + (row - min(ys)) * down
        parts.append(
            f'<text x="{left:.2f}" y="{top + 0.36 * LETTER_MM:.2f}" font-family="Roboto" '
            f'font-size="{LETTER_MM}" text-anchor="middle">{escape(cavity)}</text>'
        )
    size = f'width="{width:.2f}mm" height="{height:.2f}mm"'
    svg = (
        f'<svg xmlns="http://www.w3.org/2000/svg" {size} '
        f'viewBox="0 0 {width:.2f} {height:.2f}">{"".join(parts)}</svg>'
    )
    return Drawing(f"pocket-{name}", f"{name} from the wire side", svg, width, height)
