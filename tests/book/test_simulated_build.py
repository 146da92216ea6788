"""A harness built from its printed sheets alone: cut, mark, lay, splice, pin, test; the netlist."""

from __future__ import annotations

import re
from itertools import pairwise
from pathlib import Path

import networkx as nx
import pytest
import yaml

from buildbook.book.chapters.harnesses import one
from buildbook.book.drawings import Drawings
from buildbook.book.join import alone
from buildbook.book.page_numbers import PageMap, first_pages
from buildbook.book.render import Job, render
from buildbook.book.templates import chapter_html
from tests.book.printed import COLOUR, WIRE, between, lines_of, pinned, table, text_of
from tests.conftest import EXAMPLE, TESTS
from tests.drawing.generated import Shape, description, worked_out

CUT = ("Wire", "Colour", "Size", "Cut", "Label, A", "Label, B", "Sleeve", "Lies", "Made")
SPLICES = ("Splice", "Where", "datum", "In", "At", "Barrel;")
IN_SPLICE = re.compile(rf"({WIRE}) [A-Z]{{2}}\b")


def made_up(tmp_path_factory):
    data = description(Shape("120 wires", loads=38, systems=3, relays=0.2))
    data["rope"]["h0"]["layup"] = "concentric"
    folder = tmp_path_factory.mktemp("made-up")
    (folder / "vehicle.yaml").write_text(yaml.safe_dump(data, sort_keys=False))
    return worked_out(folder), "h0"


@pytest.fixture(scope="module", params=["engine", "motorcycle", "120 wires"])
def printed(request, tmp_path_factory):
    """A vehicle, the name of one harness, and its sheets as lines of words."""
    if request.param == "120 wires":
        result, name = made_up(tmp_path_factory)
        assert len(result.harness.wires) >= 120
    elif request.param == "engine":
        result, name = worked_out(EXAMPLE), "engine"
    else:
        result = worked_out(TESTS / "vehicles" / "motorcycle")
        name = next(iter(result.vehicle.description.rope))
    drawings = Drawings(result)
    chapter = one(result, drawings, name)
    vehicle = result.vehicle.description.vehicle
    pages = PageMap(first_pages((chapter,)))
    html = chapter_html(chapter, 1, (chapter,), vehicle, pages, result.vehicle.supply)
    target = Path(tmp_path_factory.mktemp("sheets")) / "harness.pdf"
    files = {drawing.name: drawing.svg for drawing in drawings.asked()}
    target.write_bytes(alone(render(Job(chapter.name, html, files))))
    return result, name, lines_of(target)


def cut_and_marked(lines) -> dict[str, tuple[str, str]]:
    """Wire -> what is written on the labels of its two ends."""
    marked = {}
    for row in table(between(lines, "2 Cut and label", "3 Lay"), CUT, "Colour"):
        wire = row.get("Wire", "-").split()[0]
        if row["Colour"] == "cable" or not re.fullmatch(WIRE, wire):
            continue
        ends = []
        for label in (row["Label, A"], row["Label, B"]):
            whole = re.sub(r"(?<=[-/]) (?!<)", "", label)
            own, here, there = re.fullmatch(rf"({WIRE}) (.+?) < (.+)", whole).groups()
            assert own == wire
            ends.append((here, there))
        assert ends[0] == ends[1][::-1], wire
        marked[wire] = (ends[0][0], ends[1][0])
    return marked


def spliced(lines) -> dict[str, set[str]]:
    """Splice -> the wires crimped in its barrel."""
    if not any(text_of(line) == "4 Splice" for line in lines):
        return {}
    rows = table(between(lines, "4 Splice", "5 Cover"), SPLICES, "Splice")
    found = {}
    for row in rows:
        if re.fullmatch(r"S\d+[a-z]*", row["Splice"]):
            both = f"{row.get('In', '')} {row.get('At', '')} "
            found[row["Splice"]] = set(IN_SPLICE.findall(both))
    return found


def terminated(lines, marked) -> list[tuple[str, str]]:
    """(wire, the end on its label) of every end, in the plug and cavity that the sheets give."""
    found = []
    for plug, cavity, wire, _ in pinned(between(lines, "6 Terminate", "7 Test on the bench")):
        device, _, half = plug.partition("/")
        ends = [end for end in marked[wire] if _is_at(end, device, half, cavity)]
        assert len(ends) == 1, f"{wire} is not marked for cavity {cavity} of {plug}"
        found.append((wire, ends[0]))
    return found


def crimped(lines, marked) -> nx.Graph[str]:
    """The wires with their marks, 'wire at end', joined in the barrels of the splices."""
    built: nx.Graph[str] = nx.Graph()
    for wire, (a, b) in marked.items():
        built.add_edge(f"{wire} at {a}", f"{wire} at {b}")
    for splice, wires in spliced(lines).items():
        for wire in wires:
            assert splice in marked[wire], f"{wire} is not marked for {splice}"
            built.add_edge(f"{wire} at {splice}", splice)
    return built


def test_the_sheets_alone_lead_to_the_netlist(printed):
    """Wires by their labels, joined in barrels and cavities, against the wires of the model."""
    result, name, lines = printed
    own = {w.id: w for w in result.harness.wires.values() if w.harness == name}
    marked = cut_and_marked(lines)
    assert marked.keys() == own.keys()
    built = crimped(lines, marked)
    seen = terminated(lines, marked)
    for wire, end in seen:
        built.add_edge(f"{wire} at {end}", end)
    ends = {(w.id, e.node) for w in own.values() for e in (w.a, w.b) if e.kind in ("pin", "half")}
    assert set(seen) == ends
    truth: nx.Graph[str] = nx.Graph((w.a.node, w.b.node) for w in own.values())
    nodes = {node for _, node in ends}
    nets = {frozenset(part & nodes) for part in nx.connected_components(truth)}
    found = {frozenset(part & nodes) for part in nx.connected_components(built)}
    assert found - {frozenset()} == nets - {frozenset()}


def _is_at(end: str, device: str, half: str, cavity: str) -> bool:
    """Whether a label's end, 'ecu.A5' or 'X1.5/engine', is that cavity of the plug."""
    if half:
        return end == f"{device}.{cavity}/{half}"
    owner, _, pin = end.rpartition(".")
    return pin == cavity and (device == owner or device.startswith(f"{owner}-"))


def test_no_leaf_is_turned_back(printed):
    """Each step begins where the one before it ended, or later; rows are worked from the top."""
    _, _, lines = printed
    steps = ("1 Prepare", "2 Cut and label", "3 Lay", "5 Cover", "6 Terminate", "8 Finish")
    at = [next(n for n, line in enumerate(lines) if text_of(line) == step) for step in steps]
    assert at == sorted(at)
    pages = [page for *_, page in pinned(between(lines, "6 Terminate", "7 Test on the bench"))]
    assert pages == sorted(pages)


def laid(lines) -> list[tuple[list[str], list[tuple[str, str, str, str]]]]:
    """Each line of rope: its points, and (layer, point, 'in' or 'out', strand) from its steps."""
    text = "\n".join(text_of(line) for line in between(lines, "3 Lay", "5 Cover"))
    text = re.sub(
        r"\nStep Layer At mm, point Do this|\n[^\n]*build sheets|\nRevision [^\n]*", "", text
    )
    found = []
    for block in re.split(r"\n(?=(?:Trunk|Branch): )", text)[1:]:
        head, _, body = block.partition(" mm\n")
        points = re.findall(r"([^\s–:]\S*) \(\d+\)", head.partition(":")[2])
        flat = " ".join(body.split("\n"))
        done = []
        steps = re.split(r"(?:^| )(?=\d+ (?:core|layer \d+|straight outside) \d+, )", flat)
        for step in steps:
            told = re.match(r"\d+ (core|layer \d+|straight outside) \d+, (\S+) (.*)", step)
            if not told:
                continue
            layer, point, words = told.groups()
            for verb, listed in (
                ("out", re.search(r"Take out ([^.]*)\.", words)),
                ("in", re.search(r"(?:Put in|: |straight:) ?([\w+, ]*\d[\w+, ]*)\.", words)),
            ):
                for strand in listed[1].split(", ") if listed else ():
                    done.append((layer, point, verb, strand.strip()))
        found.append((points, done))
    return found


ORDER = {"core": 0, "straight outside": 999}


def test_no_wire_crosses_a_layer_as_the_laying_order_is_followed(printed):
    """Where a strand comes in or out, none that goes on lies in a layer outside of its own."""
    result, name, lines = printed
    twisted = any(run.concentric for run in result.vehicle.runs if run.harness == name)
    followed = laid(lines)
    assert bool(followed) == twisted
    checked = 0
    for points, done in followed:
        layer: dict[str, int] = {}
        span: dict[str, list[int]] = {}
        for name_, point, verb, strand in done:
            number = ORDER.get(name_, int(name_.split()[-1]) if name_[-1].isdigit() else 0)
            assert layer.setdefault(strand, number) == number, f"{strand} changes its layer"
            at = points.index(point)
            span.setdefault(strand, [0, len(points) - 1])[verb == "out"] = at
        for inner, ends in span.items():
            for outer, (begins, stops) in span.items():
                if layer[inner] < layer[outer] < 999:
                    assert not any(begins < end < stops for end in ends), (inner, outer, points)
                    checked += 1
    assert checked or not twisted


BENCH = ("Circuit", "Apart", "From:", "Joined", "By", "Expect", "Found")


def bench_rows(lines) -> list[dict[str, str]]:
    """Rows of the bench test by their heads, of which 'Joined to' may stand a line higher."""
    rows: list[dict[str, str]] = []
    edges: dict[str, float] = {}
    joined = 0.0
    for line in between(lines, "7 Test on the bench", "8 Finish"):
        at = {word.text: word.x for word in line[::-1]}
        if {"Joined", "to:"} <= at.keys():
            joined = at["Joined"]
        if {"Circuit", "Apart", "Expect"} <= at.keys():
            edges = {head: {**at, "Joined": joined}[head] for head in BENCH}
        elif edges and not {"Joined", "to:"} <= at.keys():
            cells: dict[str, list[str]] = {}
            for word in line:
                head = [head for head, x in edges.items() if x <= word.x + 1.0][-1]
                cells.setdefault(head, []).append(word.text)
            if "Expect" in cells or cells.get("Joined", [])[:1] == ["nothing"]:
                rows.append({})
            for head, words in cells.items():
                rows[-1][head] = f"{rows[-1].get(head, '')} {' '.join(words)}".strip()
    broken = re.compile(rf"(?<=[-/]) (?!{WIRE} {COLOUR})")
    return [{head: broken.sub("", text) for head, text in row.items()} for row in rows]


def terminal(cell: str, studs: set[str]) -> str:
    """The node that a cell says to probe: a cavity, or the ring of one wire on a stud."""
    told = re.fullmatch(rf"(\S+)((?: {WIRE} {COLOUR})+)", cell)
    assert told, cell
    end, (wire, *_) = told[1], re.findall(WIRE + r"(?= )", told[2])
    return f"{wire} at {end}" if end in studs else end


def bench_test(lines, studs: set[str]) -> list[tuple[str, list[str]]]:
    """(first terminal of a net, the others) in the order of the work."""
    nets: list[tuple[str, list[str]]] = []
    for row in bench_rows(lines):
        if row["From:"].startswith("capped"):
            continue
        first = terminal(row["From:"], studs)
        if not nets or nets[-1][0] != first:
            nets.append((first, []))
        if row["Joined"] != "nothing else":
            assert float(row["Expect"]) < 2.0
            nets[-1][1].append(terminal(row["Joined"], studs))
    return nets


def failing(built: nx.Graph[str], nets: list[tuple[str, list[str]]]) -> list[str]:
    """Lines of the bench test that a harness fails, worked as it says: apart, joined, clipped."""
    probed = built.copy()
    probed.add_node("bar")
    wrong = []
    for first, others in nets:
        if nx.has_path(probed, first, "bar"):
            wrong.append(f"{first} is not apart")
        wrong += [f"{first} to {o}" for o in others if not nx.has_path(probed, first, o)]
        probed.add_edge(first, "bar")
    return wrong


def test_a_good_harness_passes_its_test_and_a_bad_one_does_not(printed):
    """Worked as printed on what was built: broken wires, swapped contacts and shorts are found."""
    result, name, lines = printed
    marked = cut_and_marked(lines)
    built, ends = crimped(lines, marked), terminated(lines, marked)
    studs = {end for _, end in ends if (pin := result.vehicle.pins.get(end)) and pin.stud}
    in_cavities = [(wire, end) for wire, end in ends if end not in studs]
    built.add_edges_from((f"{wire} at {end}", end) for wire, end in in_cavities)
    nets = bench_test(lines, studs)
    terminals = {f"{wire} at {end}" if end in studs else end for wire, end in ends}
    probed = [terminal for first, others in nets for terminal in (first, *others)]
    assert sorted(probed) == sorted(terminals)
    assert f"{len(terminals) - 1} probings" in " ".join(map(text_of, lines))
    assert failing(built, nets) == []

    def parts(graph: nx.Graph[str]) -> set[frozenset[str]]:
        return {frozenset(part & terminals) for part in nx.connected_components(graph)}

    whole, found = parts(built), 0
    for wire, (a, b) in marked.items():
        broken = built.copy()
        broken.remove_edge(f"{wire} at {a}", f"{wire} at {b}")
        if parts(broken) - {frozenset()} != whole - {frozenset()}:
            assert failing(broken, nets), f"{wire} is broken, and the test passes"
            found += 1
    assert found > 0.9 * len(marked)
    for (first, others), (other, _) in pairwise([*nets, nets[0]]):
        shorted = nx.Graph([*built.edges, ([first, *others][-1], other)])
        assert failing(shorted, nets), f"{first} and {other} are shorted, and the test passes"
    for (wire, end), (neighbour, beside) in pairwise(in_cavities):
        swapped = built.copy()
        swapped.remove_edges_from([(f"{wire} at {end}", end), (f"{neighbour} at {beside}", beside)])
        swapped.add_edges_from([(f"{wire} at {end}", beside), (f"{neighbour} at {beside}", end)])
        if parts(swapped) != whole:
            assert failing(swapped, nets), f"{end} and {beside} are swapped, and the test passes"
