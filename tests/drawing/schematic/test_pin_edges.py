"""Current flows down a sheet: pins stand on the edge that lets their wires do so."""

from __future__ import annotations

from itertools import pairwise

import pytest

from buildbook.drawing.schematic.device_elements import symbols_inside
from buildbook.drawing.schematic.pin_edges import PinEdges
from buildbook.drawing.schematic.system_elements import wires_of
from tests.drawing.schematic.test_schematic import lines
from tests.once import schematics_of


def edges_of(result, system: str) -> PinEdges:
    wires = wires_of(result, system)
    ids = {result.vehicle.pins[e.node].device for w in wires for e in (w.a, w.b) if e.kind == "pin"}
    devices = [result.vehicle.devices[id_] for id_ in sorted(ids)]
    return PinEdges(result.vehicle, wires, {d.id: symbols_inside(d, None) for d in devices})


@pytest.mark.parametrize("number", ["116", "207", "310", "904", "311"])
def test_a_wire_between_two_things_never_rises(lapwing, number) -> None:
    """A start button's output, a lamp's ground, two feeds of controllers, a motor's feed."""
    drawn = {
        id_: points
        for sheets in schematics_of(lapwing).values()
        for sheet in sheets
        for id_, points in lines(sheet, "wire").items()
    }
    mine = [w for w in lapwing.harness.wires.values() if w.id.rstrip("abc") == number]
    assert mine
    for wire in mine:
        ((_, points),) = [(i, p) for i, p in drawn.items() if i.startswith(f"wire-{wire.id}-sch")]
        heights = [y for _, y in points]
        steps = [b - a for a, b in pairwise(heights)]
        assert all(s >= 0 for s in steps) or all(s <= 0 for s in steps), wire.id


def test_a_switch_is_turned_over_where_only_its_output_is_wired(lapwing) -> None:
    """Contact 2-3 of the switch panel feeds the start relay; 1-2 is fed by a fuse."""
    assert "switch-panel.3" not in edges_of(lapwing, "starting").top
    supply = edges_of(lapwing, "supply")
    assert "switch-panel.1" in supply.top and "switch-panel.2" not in supply.top


def test_turning_a_switch_over_keeps_which_pins_it_joins(lapwing) -> None:
    for system in lapwing.vehicle.description.systems:
        for id_, parts in edges_of(lapwing, system).inside.items():
            given = symbols_inside(lapwing.vehicle.devices[id_], None)
            assert [{p.top, p.bottom} for p in parts] == [{p.top, p.bottom} for p in given]


def test_a_motor_across_two_pins_of_a_controller_has_both_on_one_edge(lapwing) -> None:
    control = edges_of(lapwing, "control")
    assert not {"ecu.A12", "ecu.A13"} & control.top
    assert "ecu.A8" in control.top, "a relay's coil is fed from elsewhere and pulled to ground"
