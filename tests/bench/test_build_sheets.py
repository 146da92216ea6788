"""Build sheets: every piece, end, splice and test of a harness is there, once, in order."""

from __future__ import annotations

import csv
import io
from collections import Counter
from itertools import pairwise

import numpy as np
import pytest
from scipy.sparse import coo_matrix
from scipy.sparse.csgraph import connected_components

from buildbook.bench.build_sheet import build_sheet
from buildbook.bench.labels import SLEEVES_MM, sleeve_for
from buildbook.bench.model import WorkTime
from buildbook.bench.pull_force import pull_n
from buildbook.export.tables import table
from buildbook.export.wires import label_rows

VEHICLES = ["two_wire", "motorcycle", "lapwing"]


def sheets(result):
    """Harness -> its build sheets."""
    return {
        name: build_sheet(result.vehicle, result.harness, result.sizing, result.finished_runs, name)
        for name in result.vehicle.description.rope
    }


def own(result, name):
    return [w for w in result.harness.wires.values() if w.harness == name]


@pytest.fixture(params=VEHICLES)
def vehicle(request):
    return request.getfixturevalue(request.param)


def test_every_wire_is_cut_once_as_long_as_its_parts(vehicle):
    for name, sheet in sheets(vehicle).items():
        cut = Counter(wire.id for row in sheet.cuts for wire in row.wires)
        assert cut == Counter(wire.id for wire in own(vehicle, name))
        for row in sheet.cuts:
            assert row.cut_mm == pytest.approx(sum(mm for _, mm in row.addends), abs=1.0)
            if row.colour:
                assert 0 <= row.cut_mm - 1000 * row.wires[0].cut_m + 1e-6 < 1 + 1e-6


def test_a_cable_is_one_piece_as_long_as_its_longest_core(lapwing):
    cables = [row for s in sheets(lapwing).values() for row in s.cuts if not row.colour]
    assert cables
    for row in cables:
        assert len(row.wires) > 1
        assert row.cut_mm >= max(1000 * wire.cut_m for wire in row.wires)


def test_terminals_at_one_point_stand_as_they_are_counted(lapwing):
    """F10 stood before F2, and so did the relays."""
    there = [s.name for s in sheets(lapwing)["cabin"].terminations if s.point == "panel"]
    assert [n for n in there if n.startswith("F")] == [f"F{n}" for n in range(1, 29) if n != 14]
    assert [n for n in there if n.startswith("K")] == [f"K{n}" for n in range(1, 11)]


def test_the_cut_list_is_sorted_by_type_colour_size_and_falling_length(lapwing):
    for sheet in sheets(lapwing).values():
        wires = [row for row in sheet.cuts if row.colour]
        areas = {w.wire: w.area_mm2 for w in lapwing.sizing.wires.values()}
        keys = [(r.family, r.colour, areas[r.name], -r.cut_mm) for r in wires]
        assert all(a <= b for a, b in pairwise(keys))


def test_a_label_for_each_end_on_a_sleeve_that_goes_over_the_wire(vehicle):
    outside = {
        w: c.outside_mm
        for w, s in vehicle.sizing.wires.items()
        for c in vehicle.vehicle.wire_families[s.family].conductors
        if c.label == s.label
    }
    for name, sheet in sheets(vehicle).items():
        assert Counter((x.wire.id, x.end) for x in sheet.labels) == Counter(
            (w.id, end) for w in own(vehicle, name) for end in "ab"
        )
        for label in sheet.labels:
            end = label.wire.a if label.end == "a" else label.wire.b
            assert label.text.startswith(f"{label.wire.id} ")
            assert end.kind == "capped" or end.node in label.text.split(" < ")[0]
            if label.sleeve != "flag label":
                assert float(label.sleeve.split()[0]) > outside[label.wire.id]


def test_a_label_sleeve_shrinks_onto_its_wire():
    """Two to one: half the bore is under the wire, for all but the thinnest wires there are."""
    for wire_mm in np.arange(1.2, 22, 0.1):
        bore = float(sleeve_for(wire_mm).split()[0])
        assert bore / 2 <= wire_mm < bore
    assert sleeve_for(SLEEVES_MM[-1]) == "flag label"


def test_every_terminal_is_crimped_once_and_counted(vehicle):
    for name, sheet in sheets(vehicle).items():
        found = Counter((r.wire.id, r.end.node) for t in sheet.terminations for r in t.rows)
        ends = Counter((w.id, e.node) for w in own(vehicle, name) for e in (w.a, w.b) if e.contact)
        assert found == ends
        splices = sum(s.harness == name for s in vehicle.harness.splices.values())
        assert sum(c.count for c in sheet.crimps) == sum(ends.values()) + splices
        for t in sheet.terminations:
            assert all(r.tool for r in t.rows), t.name
            for r in t.rows:
                sealed = t.connector is not None and t.connector.plug.sealed
                assert bool(r.seal) == sealed


def test_splices_are_made_from_the_datum_outwards(lapwing):
    for name, sheet in sheets(lapwing).items():
        away = [step.from_datum_mm for step in sheet.splices]
        assert away == sorted(away)
        made = {step.splice.id for step in sheet.splices}
        assert made == {s.id for s in lapwing.harness.splices.values() if s.harness == name}
        for step in sheet.splices:
            assert {w.id for w, _, _ in step.wires} == set(step.splice.wires)


def test_what_must_be_joined_is_what_the_wires_connect_on_the_bench(vehicle):
    """Judged by scipy's connected components over the wires; a ring is joined to its wire only."""
    for name, sheet in sheets(vehicle).items():
        wires = own(vehicle, name)

        def loose(end, wire):
            return (end.node, "" if end.connector or end.kind != "pin" else wire.id)

        nodes = sorted({loose(e, w) for w in wires for e in (w.a, w.b)})
        at = {node: n for n, node in enumerate(nodes)}
        rows, columns = ([at[loose(getattr(w, e), w)] for w in wires] for e in "ab")
        edges = coo_matrix(([1] * len(wires), (rows, columns)), shape=(len(nodes),) * 2)
        count, label = connected_components(edges, directed=False)
        hidden = {e.node for w in wires for e in (w.a, w.b) if e.kind in ("splice", "capped")}
        expected = Counter(
            frozenset(n for n, _ in nodes if label[at[n, _]] == k and n not in hidden)
            for k in range(count)
        )
        found = Counter(
            frozenset(
                t.end.node for t in ([net.first] if net.first else []) + [p.to for p in net.others]
            )
            for net in sheet.nets
        )
        assert found == expected


def test_a_wire_alone_reads_the_ohms_of_its_copper(two_wire):
    (sheet,) = sheets(two_wire).values()
    feed = next(net for net in sheet.nets if net.circuit == "lamp feed")
    (wire,) = [w for w in two_wire.harness.wires.values() if w.circuit == "lamp feed"]
    sized = two_wire.sizing.wires[wire.id]
    (ohms,) = [probing.ohms for probing in feed.others]
    # Copper of 0.0172 ohm mm2/m (IEC 60028); 1.5 mm2 class 5 may have 13.3 mohm/m (IEC 60228).
    plain = 0.0172 * wire.cut_m / sized.area_mm2
    assert sized.label == "1.5 mm2"
    assert plain < ohms <= 0.0133 * wire.cut_m


@pytest.mark.parametrize(
    "area, newtons",
    [
        (0.22, 28),
        (0.5, 60),
        (0.519, 60),
        (0.75, 85),
        (1.0, 108),
        (1.5, 150),
        (2.5, 230),
        (4.0, 310),
        (6.0, 360),
        (10.0, 380),
    ],
)
def test_crimps_must_stand_the_pull_of_iec_60352(area, newtons):
    """IEC 60352-2, table 1, from memory."""
    assert pull_n(area) == newtons


def test_no_pull_is_made_up_outside_the_table():
    assert pull_n(16.0) is None
    assert pull_n(0.03) is None


def test_wire_on_the_scales_weighs_what_copper_and_insulation_do(two_wire):
    """At least its copper (8.96 g/cm3), at most two and a half times that for wire this thin."""
    (sheet,) = sheets(two_wire).values()
    copper_kg = sum(
        8960 * two_wire.sizing.wires[w.id].area_mm2 * 1e-6 * w.cut_m
        for w in two_wire.harness.wires.values()
    )
    assert copper_kg < sheet.mass.wires < 2.5 * copper_kg
    assert sheet.mass.cover > 0


def test_hours_are_the_minutes_of_all_work(lapwing):
    for sheet in sheets(lapwing).values():
        assert sheet.hours == pytest.approx(
            sum(row.count * row.minutes_each for row in sheet.work) / 60
        )
    assert WorkTime("crimp", 30, "ends", 2.0).minutes == 60


def test_gathered_terminals_are_as_many_as_crimps(lapwing):
    for sheet in sheets(lapwing).values():
        terminals = sum(n.quantity for n in sheet.gather if n.key.startswith("terminal "))
        assert terminals == sum(len(t.rows) for t in sheet.terminations)
        tools = {n.what for n in sheet.gather if n.key.startswith("tool ")}
        assert {r.tool for t in sheet.terminations for r in t.rows} <= tools


def test_the_steps_use_the_heat_shrink_that_was_gathered(vehicle):
    for sheet in sheets(vehicle).values():
        used = Counter()
        for step in sheet.splices:
            used[step.shrink] += step.shrink_mm
            if step.joint.under:
                used[step.joint.under.id] += step.joint.under_mm
        for _, _, size, mm in sheet.caps:
            used[size] += mm
        for step in sheet.dressing:
            if step.finished.cover == "heat-shrink":
                used[step.finished.sleeve.id] += step.sleeve_mm
            if step.end_shrink:
                used[step.end_shrink] += 2 * 40
        gathered = {
            n.key.removeprefix("heat-shrink "): 1000 * n.quantity
            for n in sheet.gather
            if n.key.startswith("heat-shrink ")
        }
        assert used == pytest.approx(gathered, abs=1.0)


def test_labels_come_as_a_table_for_the_printer(lapwing):
    rows = list(csv.DictReader(io.StringIO(table(label_rows(lapwing)))))
    wires = [row for row in rows if row["of"] == "wire"]
    assert len(wires) == 2 * len(lapwing.harness.wires)
    plugs = {row["id"] for row in rows if row["of"] == "connector"}
    assert plugs == set(lapwing.harness.connectors)
