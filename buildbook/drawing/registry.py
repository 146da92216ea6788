"""Every kind of drawing: its name, what one is of, and the stage of the result it is drawn from.

To add one: write its file, add its line here, and let a chapter ask for it by name.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, Generic, Literal, TypeVar

from buildbook.checks.stages import Assessed
from buildbook.drawing.charts.alternator import alternator_chart
from buildbook.drawing.charts.charging import charging_chart
from buildbook.drawing.charts.cost import cost_chart
from buildbook.drawing.charts.drop import drop_charts
from buildbook.drawing.charts.fuse import fuse_chart
from buildbook.drawing.charts.mass import mass_charts
from buildbook.drawing.charts.power import power_diagram
from buildbook.drawing.faces.face import faces
from buildbook.drawing.faces.panel import panels
from buildbook.drawing.harness.lay_up import lay_ups
from buildbook.drawing.harness.layout import layouts
from buildbook.drawing.harness.section import sections
from buildbook.drawing.maps.bus import bus_maps
from buildbook.drawing.maps.cover import cover_plans
from buildbook.drawing.maps.drilling import drillings
from buildbook.drawing.maps.ground import ground_maps
from buildbook.drawing.maps.plan import plans
from buildbook.drawing.schematic.system_sheets import schematics
from buildbook.drawing.shared.by_subject import Sheets
from buildbook.result import Priced
from buildbook.sizing.stage import Sized

Stage = TypeVar("Stage", bound=Sized)


@dataclass(frozen=True)
class Kind(Generic[Stage]):
    """One kind of drawing."""

    name: str
    of: Literal["vehicle", "system", "harness", "panel", "connector", "wall"]
    stage: type[Stage]
    """The earliest stage that holds all that is drawn."""
    draw: Callable[[Stage], Mapping[str, Sheets]]
    """Id of the system, harness, … -> its sheets; '' of the vehicle. Those without are left out."""


def _whole(draw: Callable[[Stage], Sheets]) -> Callable[[Stage], Mapping[str, Sheets]]:
    """A drawing of the whole vehicle in the shape of the others."""
    return lambda result: {"": draw(result)}


KINDS: tuple[Kind[Any], ...] = (
    Kind("power", "vehicle", Assessed, _whole(power_diagram)),
    Kind("charging", "vehicle", Sized, _whole(charging_chart)),
    Kind("alternator", "vehicle", Assessed, _whole(alternator_chart)),
    Kind("fuses", "vehicle", Sized, _whole(fuse_chart)),
    Kind("cost", "vehicle", Priced, _whole(cost_chart)),
    Kind("plan", "vehicle", Sized, _whole(plans)),
    Kind("cover", "vehicle", Sized, _whole(cover_plans)),
    Kind("grounds", "vehicle", Sized, _whole(ground_maps)),
    Kind("drops", "vehicle", Sized, _whole(drop_charts)),
    Kind("masses", "vehicle", Priced, _whole(mass_charts)),
    Kind("buses", "system", Sized, bus_maps),
    Kind("schematics", "system", Sized, schematics),
    Kind("lay-ups", "harness", Sized, lay_ups),
    Kind("panels", "panel", Sized, panels),
    Kind("layouts", "harness", Sized, layouts),
    Kind("sections", "harness", Sized, sections),
    Kind("faces", "connector", Sized, faces),
    Kind("drilling", "wall", Sized, drillings),
)
"""In the order in which they are exported. The chapters that ask for a kind say where it is
printed: an edition draws what its chapters ask for, and no more."""
