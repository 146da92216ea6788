"""The vehicle from above for the cover: its outline and rope, without a word."""

from __future__ import annotations

from buildbook.drawing.maps.outline import Outline, draw_vehicle
from buildbook.drawing.maps.plan import MARKS, draw_mark, draw_rope
from buildbook.drawing.shared.canvas import Canvas
from buildbook.drawing.shared.model import Drawing
from buildbook.sizing.stage import Sized
from buildbook.words.say import say

WIDE_MM, DEEP_MM = 170.0, 95.0
"""Room for the vehicle on the cover."""
EDGE_MM = 4.0


def cover_plans(result: Sized) -> tuple[Drawing, ...]:
    """The plan as large as the cover takes it; none where the author gives no plan."""
    plan = result.vehicle.description.plan
    if plan is None:
        return ()
    across, deep = WIDE_MM - 2 * EDGE_MM, DEEP_MM - 2 * EDGE_MM
    scale = 1000 * max(plan.length / across, plan.width / deep)
    outline = Outline(plan, ((WIDE_MM - 1000 * plan.length / scale) / 2, DEEP_MM / 2), scale)
    canvas = Canvas(WIDE_MM, DEEP_MM)
    draw_vehicle(canvas, outline, named=False)
    draw_rope(canvas, result, outline)
    marks = {
        (device.point, MARKS.get(device.kind, "device"))
        for device in result.vehicle.devices.values()
        if device.point in plan.places and not device.panel
    }
    for point, mark in sorted(marks):
        draw_mark(canvas, *outline.place(point), mark)
    return (canvas.drawing("cover", say("The vehicle from above")),)
