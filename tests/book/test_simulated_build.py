"""A harness built from its printed sheets alone: cut, mark, lay, splice, pin, test; the netlist."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from pathlib import Path

import networkx as nx
import pytest
import yaml

from buildbook.book.chapter import Chapter
from buildbook.book.chapters import lengths
from buildbook.book.chapters.harnesses import one
from buildbook.book.drawings import Drawings
from buildbook.book.join import alone
from buildbook.book.page_numbers import PageMap, first_pages
from buildbook.book.render import Job, render
from buildbook.book.templates import chapter_html
from buildbook.result import Result
from tests.book.printed import Line, Plug, between, lines_of, pinned, plugs, text_of
from tests.book.printed_harness import (
    Probed,
    bench_test,
    crimped,
    laid,
    lengths_made_up,
    most_beyond_ohm,
    nets_of,
    pieces,
    probings_promised,
    runs,
    spliced,
    steps_along,
    terminated,
)
from tests.book.printed_sections import Cut, about, cavities_of, covered, cuts_of
from tests.conftest import EXAMPLE, TESTS
from tests.drawing.generated import Shape, description, worked_out_for_sheets


@dataclass(frozen=True)
class Printed:
    """The sheets of one harness, and what was to be built; only the tests look at that."""

    result: Result
    name: str
    lines: list[Line]
    svg: dict[str, str]
    """Drawings of the chapter as they are printed."""
    made_up_mm: dict[str, dict[str, float]]
    """Wire -> what its length is made up of, as the workings have it."""

    @cached_property
    def cut(self):
        return pieces(self.lines)

    @cached_property
    def ends(self):
        return terminated(self.lines, self.cut)

    @cached_property
    def plugs(self) -> dict[str, Plug]:
        step = between(self.lines, "6 Terminate", "7 Test on the bench")
        return {plug.name: plug for plug in plugs(step)}

    @cached_property
    def studs(self) -> set[str]:
        """Ends that the sheets have go onto studs, not into cavities."""
        return {end for _, end, plug, _ in self.ends if not self.plugs[plug].has_cavities}

    def on_bench(self) -> nx.Graph[str]:
        """The harness as it lies there: wires, barrels, cavities; rings lie loose."""
        built = crimped(self.lines, self.cut)
        for wire, end, _, _ in self.ends:
            if end not in self.studs:
                built.add_edge(f"{wire} at {end}", end)
        return built

    @cached_property
    def test(self) -> list[Probed]:
        return bench_test(self.lines, self.studs)

    @cached_property
    def sections(self) -> dict[frozenset[str], Cut]:
        """The two points of a run -> its printed section."""
        names = {"-".join(order): run for run in runs(self.lines) for order in _orders(run)}
        found = {}
        for name, svg in self.svg.items():
            for cut in cuts_of(svg) if name.startswith(("section-", "lay-up-")) else ():
                told = re.fullmatch(r".*fullest run: (\S+) to (\S+)", cut.title)
                for title in [f"{told[1]}-{told[2]}"] if told else cut.title.split(", "):
                    found[names[title]] = cut
        return found


def _orders(run: frozenset[str]) -> tuple[tuple[str, ...], tuple[str, ...]]:
    a, b = run
    return (a, b), (b, a)


def made_up(tmp_path_factory):
    data = description(Shape("120 wires", loads=38, systems=3, relays=0.2))
    data["rope"]["h0"]["layup"] = "concentric"
    folder = tmp_path_factory.mktemp("made-up")
    (folder / "vehicle.yaml").write_text(yaml.safe_dump(data, sort_keys=False))
    return worked_out_for_sheets(folder), "h0"


def as_printed(result: Result, name: str, folder: Path) -> Printed:
    """The chapter of one harness, set and read back."""
    drawings = Drawings(result)
    (workings,) = lengths.chapters(result, drawings)
    chapter = one(result, drawings, name)
    files = {drawing.name: drawing.svg for drawing in drawings.asked()}
    made_up_mm = lengths_made_up(lines_on(result, workings, folder, {}))
    return Printed(result, name, lines_on(result, chapter, folder, files), files, made_up_mm)


def lines_on(result: Result, chapter: Chapter, folder: Path, files: dict[str, str]) -> list[Line]:
    """The lines of a chapter as it is printed alone."""
    vehicle = result.vehicle.description.vehicle
    pages = PageMap(first_pages((chapter,)))
    html = chapter_html(chapter, 1, (chapter,), vehicle, pages, result.vehicle.supply)
    target = folder / f"{chapter.name}.pdf"
    target.write_bytes(alone(render(Job(chapter.name, html, files))))
    return lines_of(target)


@pytest.fixture(scope="module", params=["engine", "motorcycle", "120 wires"])
def printed(request, tmp_path_factory) -> Printed:
    if request.param == "120 wires":
        result, name = made_up(tmp_path_factory)
        assert len(result.harness.wires) >= 120
    elif request.param == "engine":
        result, name = worked_out_for_sheets(EXAMPLE), "engine"
    else:
        result = worked_out_for_sheets(TESTS / "vehicles" / "motorcycle")
        name = next(iter(result.vehicle.description.rope))
    return as_printed(result, name, tmp_path_factory.mktemp("sheets"))


def test_the_sheets_alone_lead_to_the_netlist(printed):
    """Wires by their labels, joined in barrels and cavities, against the wires of the model."""
    harness = printed.result.harness
    own = {w.id: w for w in harness.wires.values() if w.harness == printed.name}
    assert printed.cut.keys() == own.keys()
    built = printed.on_bench()
    built.add_edges_from((f"{wire} at {end}", end) for wire, end, _, _ in printed.ends)
    ends = {(w.id, e.node) for w in own.values() for e in (w.a, w.b) if e.kind in ("pin", "half")}
    assert {(wire, end) for wire, end, _, _ in printed.ends} == ends
    truth: nx.Graph[str] = nx.Graph((w.a.node, w.b.node) for w in own.values())
    nodes = {node for _, node in ends}
    nets = {frozenset(part & nodes) for part in nx.connected_components(truth)}
    found = {frozenset(part & nodes) for part in nx.connected_components(built)}
    assert found - {frozenset()} == nets - {frozenset()}


def test_every_piece_reaches_from_where_one_end_goes_to_the_other(printed):
    """Its way is one of runs that are there, as long as they are, between its plugs or splices."""
    length_mm = runs(printed.lines)
    at = {(wire, end): printed.plugs[plug].point for wire, end, plug, _ in printed.ends}
    for splice, made in spliced(printed.lines).items():
        at |= {(wire, splice): made.point for wire in made.wires}
    for wire, piece in printed.cut.items():
        places = {at.get((wire, end)) or end.removeprefix("cap ") for end in piece.ends}
        assert places <= {piece.route[0], piece.route[-1]}, wire
        way = sum(length_mm[run] for run in steps_along(piece.route))
        assert piece.cut_mm >= way, wire
        if not piece.is_core:
            parts_mm = printed.made_up_mm[wire]
            assert parts_mm.get("rope", 0.0) == way, wire
            assert piece.cut_mm == pytest.approx(sum(parts_mm.values()), abs=1.05), wire


def test_no_leaf_is_turned_back(printed):
    """Each step begins where the one before it ended, or later; rows are worked from the top."""
    lines = printed.lines
    steps = ["1 Prepare", "2 Cut and label", "3 Lay", "4 Splice", "5 Cover"]
    steps += ["6 Terminate", "7 Test on the bench", "8 Finish"]
    if not spliced(lines):
        steps.remove("4 Splice")
    at = [next(n for n, line in enumerate(lines) if text_of(line) == step) for step in steps]
    assert at == sorted(at)
    ends = list(pinned(between(lines, "6 Terminate", "7 Test on the bench")))
    pages = [page for plug, *_, page in ends if printed.plugs[plug].has_cavities]
    assert pages == sorted(pages) and len(pages) > 10  # studs stand by terminal, one list


ORDER = {"core": 0, "straight outside": 999}


def depth(layer: str) -> int:
    return ORDER[layer] if layer in ORDER else int(layer.split()[-1])


def test_no_wire_crosses_a_layer_as_the_laying_order_is_followed(printed):
    """Where a strand comes in or out, none that goes on lies in a layer outside of its own."""
    written = printed.result.vehicle.runs
    twisted = any(run.concentric for run in written if run.harness == printed.name)
    followed = laid(printed.lines)
    assert bool(followed) == twisted
    checked = 0
    for line in followed:
        spans = line.spans()
        for inner, (here, *ends) in spans.items():
            for outer, (there, begins, stops) in spans.items():
                if depth(here) < depth(there) < ORDER["straight outside"]:
                    assert not any(begins < end < stops for end in ends), (inner, outer)
                    checked += 1
    assert checked or not twisted


def test_every_wire_is_followed_through_all_printed_sections(printed):
    """Whoever lies along a run is in its section, in the layer that the laying order names; none
    that comes in or out at either end of it lies under one that goes on, as drawn."""
    followed = 0
    for line in laid(printed.lines):
        spans = line.spans()
        for n, run in enumerate(steps_along(line.points)):
            along = {w for w, p in printed.cut.items() if run in steps_along(p.route)}
            if not spans:
                assert run not in printed.sections or not printed.sections[run].twisted
                continue
            inside = {s: layer for s, (layer, a, b) in spans.items() if a <= n < b}
            assert {wire for strand in inside for wire in strand} == along, run
            if len(inside) < 2:
                continue
            drawn = {disc.wires: disc for disc in printed.sections[run].strands}
            assert drawn.keys() == inside.keys(), run
            inmost = min(map(depth, inside.values()))
            lying = about(drawn.values(), [s for s in inside if depth(inside[s]) == inmost])
            twisted = [d for d in lying if inside[d.wires] != "straight outside"]
            for station in (n, n + 1):
                ending = [s for s in inside if station in spans[s][1:]]
                going_on = [s for s in inside if spans[s][1] < station < spans[s][2]]
                if going_on:
                    assert covered(twisted, ending) == [], (run, line.points[station])
            followed += len(inside)
    told = {strand for line in laid(printed.lines) for strand in line.spans()}
    assert followed >= len(told)


def test_inner_layers_are_drawn_inside_of_outer_ones(printed):
    """By the middles of the strands; those led straight lie outermost."""
    for line in laid(printed.lines):
        spans = line.spans()
        for n, run in enumerate(steps_along(line.points)):
            inside = {s: depth(layer) for s, (layer, a, b) in spans.items() if a <= n < b}
            cut = printed.sections.get(run)
            if len(set(inside.values())) < 2 or not cut:
                continue
            inmost = min(inside.values())
            away: dict[int, list[float]] = {}
            for disc in about(cut.strands, [s for s in inside if inside[s] == inmost]):
                away.setdefault(inside[disc.wires], []).append(disc.away)
            for a, b in pairwise(sorted(away)):
                assert max(away[a]) < min(away[b]), (run, a, b)


def test_the_printed_faces_hold_what_the_tables_beside_them_say(printed):
    """A helper who works by the face puts each wire where one who works by the table does: by its
    number, or by its colour on a face that is too full for numbers."""
    tables: dict[str, dict[str, str]] = {}
    for wire, _, plug, cavity in printed.ends:
        tables.setdefault(plug, {})[cavity] = wire
    faces = {
        n.removeprefix("face-"): cavities_of(svg)
        for n, svg in printed.svg.items()
        if n.startswith("face-")
    }
    with_cavities = [plug.name for plug in printed.plugs.values() if plug.has_cavities]
    shown = {plug: faces[plug.replace("/", "-")] for plug in with_cavities}
    assert len(shown) == len(faces) > 0
    inks: dict[str, set[str]] = {}
    for plug, face in shown.items():
        assert face.keys() == tables[plug].keys(), plug
        numbered = {cavity: drawn.wire for cavity, drawn in face.items() if drawn.wire}
        assert numbered in ({}, tables[plug]), plug
        for cavity, drawn in face.items():
            body = printed.cut[tables[plug][cavity]].colour.split("/")[0]
            inks.setdefault(body, set()).add(drawn.fill)
    assert all(len(fills) == 1 for fills in inks.values()), inks
    assert len(set.union(*inks.values())) == len(inks)


OHM_PER_KM = {0.35: 54.4, 0.5: 39.0, 0.75: 26.0, 1.0: 19.5, 1.5: 13.3, 2.5: 7.98, 4.0: 4.95}
OHM_PER_KM |= {6.0: 3.30, 10.0: 1.91, 16.0: 1.21, 25.0: 0.780, 35.0: 0.554, 50.0: 0.386}
"""The most that a conductor of class 5 may have at 20 degC by its size in mm2, IEC 60228; that of
0.35 mm2 by ISO 6722-1; from memory."""
COPPER = 0.01724
"""Ohm mm2/m at 20 degC, IEC 60028."""


def test_the_printed_ohms_are_those_of_the_printed_lengths_and_sizes(printed):
    """No less than pure copper of that section, no more than the standard lets the wire have."""
    checked = 0
    for line in printed.test:
        if not line.to:
            continue
        least = most = 0.0
        for wire in line.by:
            piece = printed.cut[wire]
            area_mm2 = float(piece.size.removesuffix(" mm2"))
            least += COPPER * piece.cut_mm / 1000 / area_mm2
            most += OHM_PER_KM[area_mm2] * piece.cut_mm / 1e6
        assert 0.94 * least - 0.0005 <= line.ohms <= most + 0.0015 * len(line.by) + 0.0005, line
        checked += 1
    assert checked > 20


class Bench:
    """A harness on the bench, its wires with the ohms of their copper."""

    def __init__(self, built: nx.Graph[str], ohms: dict[str, float]) -> None:
        self.built, self.ohms = built.copy(), ohms
        self.built.add_node("bar")

    def reads(self, a: str, b: str) -> float:
        """What a meter shows between two terminals: the wires of a harness branch, never ring."""
        if not nx.has_path(self.built, a, b):
            return math.inf
        way = nx.shortest_path(self.built, a, b)
        edges = (self.built.edges[pair] for pair in pairwise(way))
        return sum(self.ohms.get(e.get("wire", ""), 0.0) + e.get("poor", 0.0) for e in edges)


def failing(bench: Bench, test: list[Probed], beyond_ohm: float) -> list[str]:
    """Lines of the bench test that a harness fails, worked as it says: apart, joined, clipped."""
    wrong = []
    for first, others in nets_of(test):
        if nx.has_path(bench.built, first, "bar"):
            wrong.append(f"{first} is not apart")
        wrong += [
            f"{first} to {line.to}"
            for line in others
            if bench.reads(first, line.to) > line.ohms + beyond_ohm
        ]
        bench.built.add_edge(first, "bar")
    return wrong


def test_a_good_harness_passes_its_test_and_a_bad_one_does_not(printed):
    """Worked as printed on what was built: broken wires, poor crimps, swapped contacts and shorts
    are found."""
    built, test = printed.on_bench(), printed.test
    beyond_ohm = most_beyond_ohm(printed.lines)
    ohms = {w: COPPER * p.cut_mm / 1000 / _area_mm2(p.size) for w, p in printed.cut.items()}

    def fails(harness: nx.Graph[str]) -> list[str]:
        return failing(Bench(harness, ohms), test, beyond_ohm)

    terminals = {f"{w} at {end}" if end in printed.studs else end for w, end, _, _ in printed.ends}
    probed = [t for first, others in nets_of(test) for t in (first, *(o.to for o in others))]
    assert sorted(probed) == sorted(terminals)
    assert probings_promised(printed.lines) == len(terminals) - 1
    assert fails(built) == []

    def parts(graph: nx.Graph[str]) -> set[frozenset[str]]:
        return {frozenset(part & terminals) for part in nx.connected_components(graph)}

    whole, found = parts(built), 0
    for wire, piece in printed.cut.items():
        a, b = (f"{wire} at {end}" for end in piece.ends)
        broken = built.copy()
        broken.remove_edge(a, b)
        if parts(broken) - {frozenset()} != whole - {frozenset()}:
            assert fails(broken), f"{wire} is broken, and the test passes"
            poor = built.copy()
            poor.edges[a, b]["poor"] = 1.0
            assert fails(poor), f"{wire} is crimped poorly, and the test passes"
            found += 1
    assert found > 0.9 * len(printed.cut)
    nets = [(first, [o.to for o in others]) for first, others in nets_of(test)]
    for (first, others), (other, _) in pairwise([*nets, nets[0]]):
        shorted = built.copy()
        shorted.add_edge([first, *others][-1], other)
        assert fails(shorted), f"{first} and {other} are shorted, and the test passes"
    in_cavities = [(w, end) for w, end, _, _ in printed.ends if end not in printed.studs]
    for (wire, end), (neighbour, beside) in pairwise(in_cavities):
        swapped = built.copy()
        swapped.remove_edges_from([(f"{wire} at {end}", end), (f"{neighbour} at {beside}", beside)])
        swapped.add_edges_from([(f"{wire} at {end}", beside), (f"{neighbour} at {beside}", end)])
        if parts(swapped) != whole:
            assert fails(swapped), f"{end} and {beside} are swapped, and the test passes"


def _area_mm2(size: str) -> float:
    return float(size.removesuffix(" mm2"))
