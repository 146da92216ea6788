"""What working sensors may hold their wires at in a broken bench, by Ohm and by their sheets."""

from __future__ import annotations

from functools import cache
from types import SimpleNamespace

import numpy as np
import pytest

from buildbook.electrical.case import Case
from buildbook.electrical.solve import settler_of
from buildbook.faultfinding.crossed import crossings
from buildbook.faultfinding.faults import open_faults, short_faults, stuck_faults
from buildbook.faultfinding.model import Fault
from buildbook.faultfinding.sensor_levels import _without_sign, ends
from buildbook.faultfinding.swaps import BETWEEN_PAIRS, BETWEEN_PINS
from tests.electrical.sensor_bench import bench

BROKEN = (
    "load:valve",
    "load:temperature",
    "load:pickup.1-3",
    "load:pressure.2-3",
    "load:tracks.1-2",
    "pin:pickup.1",
    "pin:ecu.4",
)


def wire_between(at, one, other):
    """The wire that joins a pin to another, or to the splice on the way there."""
    return next(
        w.id
        for w in at.harness.wires.values()
        if w.a.node == one
        and other in (w.b.node, "")
        or w.b.node == one
        and other in (w.a.node, "")
    )


@cache
def shown(*changes):
    """What `ends` makes of the bench with each of `BROKEN`, standing: by fault and node."""
    at = bench(*changes)
    settler = settler_of(at.vehicle, at.harness, at.solved)
    branches = [e.branch for e in settler.prepared.network.elements]
    known = {
        fault.branch: fault for fault in open_faults(at.vehicle, at.harness, branches).values()
    }
    names = {b.id for b in branches}
    chosen = [branch for branch in BROKEN if branch in names]
    chosen.append(f"wire:{wire_between(at, 'ecu.5', 'temperature.1')}")
    cases = [Case("standing", opened=frozenset({branch})) for branch in chosen]
    volts = settler.settle(cases).volts.T
    volts = np.hstack([volts, np.zeros((len(chosen), 1))])
    nodes = settler.prepared.network.nodes
    swept = SimpleNamespace(
        nodes=nodes,
        faults=[known[branch] for branch in chosen],
        faulted={"standing": volts},
        alternating={},
    )
    low, high = ends(at.vehicle, at.harness, swept)["standing"]
    place = {node: i for i, node in enumerate(nodes)}

    def of(branch, node):
        row, column = chosen.index(branch), place[node]
        ground = volts[row, place["ecu.3~"]]
        return low[row, column] - ground, high[row, column] - ground

    return of, chosen


@pytest.mark.parametrize(
    ("pin", "meter"),
    [
        ("temperature.1", "ecu.5"),
        ("pressure.2", "ecu.6"),
        ("pickup.2", "ecu.7"),
        ("tracks.3", "ecu.12"),
    ],
)
def test_with_something_else_broken_a_sensor_holds_what_its_table_says(pin, meter):
    """The valve is open, which no sensor sees: from the lowest to the highest row of its table, but
    for the 40 mV that 1 ohm takes of the 5 V by which a ratiometric output is told here."""
    of, _ = shown()
    rows = [row.volts.nominal for row in bench().table(pin).rows]
    assert of("load:valve", meter) == pytest.approx((min(rows), max(rows)), abs=0.04)


@pytest.mark.parametrize(
    ("volts", "of_v", "least", "most"),
    [("5 V", "5 V", 0.5, 4.5), ("3.3 V", "3.3 V", 0.5, 4.5), ("3.3 V", "5 V", 0.33, 2.97)],
)
def test_a_ratiometric_output_follows_the_supply_that_it_has(volts, of_v, least, most):
    """0.5 to 4.5 V of the volts that its sheet is told for; of 3.3 V instead of 5 two thirds."""
    of, _ = shown(
        ("volts: 5 V, limit", f"volts: {volts}, limit"),
        ("{of: 5 V, points: [[0 bar", f"{{of: {of_v}, points: [[0 bar"),
    )
    assert of("load:valve", "ecu.6") == pytest.approx((least, most), abs=0.04)


def test_a_sensor_broken_inside_leaves_its_pull_up():
    of, _ = shown()
    assert of("load:temperature", "ecu.5") == pytest.approx((5.0, 5.0), abs=1e-3)


def test_a_wire_that_is_off_leaves_the_pull_up_at_the_controller_and_nothing_at_the_sensor():
    of, chosen = shown()
    assert of(chosen[-1], "ecu.5") == pytest.approx((5.0, 5.0), abs=1e-3)
    assert of(chosen[-1], "temperature.1") == pytest.approx((0.0, 0.0), abs=0.01)


def test_a_pickup_without_its_supply_lets_go():
    """Whether its own electronics are open or the supply's contact: 5 V, whatever is before it."""
    of, chosen = shown()
    parts = [b for b in ("load:pickup.1-3", "pin:pickup.1", "pin:ecu.4") if b in chosen]
    assert len(parts) >= 2
    for branch in parts:
        assert of(branch, "ecu.7") == pytest.approx((5.0, 5.0), abs=0.02), branch


def test_of_electronics_without_supply_nobody_knows_more_than_the_pull_up_allows():
    of, _ = shown()
    low, high = of("pin:ecu.4", "ecu.6")
    assert low == pytest.approx(0.0, abs=0.02)
    assert high == pytest.approx(5.0, abs=0.02)


def test_where_a_magneto_moves_a_place_a_meter_has_no_sign():
    """-3 to -1 V is 1 to 3, -2 to 1 is 0 to 2; what does not alternate keeps its sign."""
    shown_v = np.array([[-3.0, -2.0, -3.0]]), np.array([[-1.0, 1.0, -1.0]])
    low, high = _without_sign(shown_v, [0, 1])
    assert low.tolist() == [[1.0, 0.0, -3.0]]
    assert high.tolist() == [[3.0, 2.0, -1.0]]
    assert shown_v[0].tolist() == [[-3.0, -2.0, -3.0]], "what came in stays"


def swap(*pairs):
    branch = "swap:" + BETWEEN_PAIRS.join(BETWEEN_PINS.join(pair) for pair in pairs)
    return Fault("swap " + branch, "swap", branch, "", mode="swap")


def test_two_sensors_that_change_places_are_each_read_as_the_other():
    at = bench()
    both = swap(("ecu.5", "ecu.6"))
    (found,) = crossings(at.vehicle, [both]).values()
    assert {(x.load.partition(".")[0], x.is_read) for x in found} == {
        ("temperature", True),
        ("pressure", True),
    }
    assert all(x.states == {"standing", "braking", "turning"} for x in found)


@pytest.mark.parametrize("pair", [("ecu.5", "ecu.1"), ("ecu.5", "ecu.15"), ("ecu.2", "ecu.3")])
def test_a_sensor_and_what_is_none_cross_nothing(pair):
    assert crossings(bench().vehicle, [swap(pair)]) == {}


def test_at_the_sensors_the_same_wires_cross_the_same():
    at = bench()
    found = crossings(
        at.vehicle, [swap(("temperature.1", "pressure.2")), Fault("x", "wire", "wire:1", "")]
    )
    assert len(found) == 1


def test_faults_of_the_bench_are_called_by_what_they_are():
    at = bench()
    settler = settler_of(at.vehicle, at.harness, at.solved)
    branches = [e.branch for e in settler.prepared.network.elements]
    titles = {f.branch: f.title for f in open_faults(at.vehicle, at.harness, branches).values()}
    driver = next(name for name in titles if name.startswith("contact:ecu"))
    assert titles[driver] == f"ecu output {driver.partition('.')[2]} does not switch"
    assert titles["contact:button.1-2"] == "button contact 1–2 does not close"
    assert titles["battery"] == "battery open inside"
    assert titles["fuse:F1"] == "F1 blown or not seated"
    stuck = {f.branch: f.title for f in stuck_faults(at.vehicle)}
    assert stuck["contact:button.1-2"] == "button contact 1–2 does not open"
    assert stuck[driver].endswith("does not switch off")
    shorts = short_faults(at.harness)
    assert {f.branch for f in shorts} == {f"wire:{w}" for w in at.harness.wires}
    assert all(f.mode == "short" and f.title.endswith("shorted to the body") for f in shorts)
