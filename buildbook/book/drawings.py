"""The drawings that go into a book, made once and shared by every chapter and export."""

from __future__ import annotations

from dataclasses import dataclass, field

from buildbook.drawing.shared.model import Drawing
from buildbook.result import Result


@dataclass(frozen=True)
class Drawings:
    """Every drawing of one vehicle, by what it shows."""

    power: Drawing | None = None
    charging: Drawing | None = None
    curve: Drawing | None = None
    """The alternator's output and every state's demand against engine speed."""
    schematics: dict[str, tuple[Drawing, ...]] = field(default_factory=dict)
    """System id -> its sheets."""
    faces: dict[str, Drawing] = field(default_factory=dict)
    """Connector id -> its face from the wire side and from the mating side."""
    panels: dict[str, Drawing] = field(default_factory=dict)
    """Panel device id -> panel face."""
    layouts: dict[str, Drawing] = field(default_factory=dict)
    """Harness id -> layout to scale."""
    sections: dict[str, Drawing] = field(default_factory=dict)
    """Harness id -> cross-section of its fullest run."""
    lay_ups: dict[str, tuple[Drawing, ...]] = field(default_factory=dict)
    """Twisted harness id -> sheets of cross-sections, one wherever its lay-up changes."""

    fuses: Drawing | None = None
    """Load of every fuse against its rating."""
    plan: tuple[Drawing, ...] = ()
    """Where things are: sheets, none where the author gives no places."""
    buses: dict[str, tuple[Drawing, ...]] = field(default_factory=dict)
    """System id -> topology of the data buses that it holds."""
    drops: tuple[Drawing, ...] = ()
    """Drop by circuit against its limit."""
    masses: tuple[Drawing, ...] = ()
    """Mass by harness."""
    grounds: tuple[Drawing, ...] = ()
    """Sheets of what returns to each ground point."""
    cost: Drawing | None = None
    """Cost by kind of part."""

    def every(self) -> tuple[Drawing, ...]:
        """All drawings, in the order of the book."""
        charts = (self.power, self.charging, self.curve, self.fuses, self.cost)
        single = tuple(d for d in charts if d)
        several = (
            self.plan,
            self.grounds,
            self.drops,
            self.masses,
            *self.buses.values(),
            *self.schematics.values(),
            *self.lay_ups.values(),
        )
        sheets = tuple(d for sheets in several for d in sheets)
        groups = (self.panels, self.layouts, self.sections, self.faces)
        return single + sheets + tuple(d for group in groups for d in group.values())


def draw_all(result: Result) -> Drawings:
    """Draw everything that the book shows of `result`."""
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
    from buildbook.drawing.maps.ground import ground_maps
    from buildbook.drawing.maps.plan import plans
    from buildbook.drawing.schematic.system_sheets import schematics

    charges = result.vehicle.description.supply.alternator is not None
    return Drawings(
        power=power_diagram(result),
        charging=charging_chart(result) if charges else None,
        curve=alternator_chart(result) if charges else None,
        plan=plans(result),
        grounds=ground_maps(result),
        buses=bus_maps(result),
        drops=drop_charts(result),
        masses=mass_charts(result),
        schematics=schematics(result),
        faces=faces(result),
        panels=panels(result),
        layouts=layouts(result),
        sections=sections(result),
        lay_ups=lay_ups(result),
        fuses=fuse_chart(result) if result.sizing.fuses else None,
        cost=cost_chart(result) if result.bill.by_kind else None,
    )
