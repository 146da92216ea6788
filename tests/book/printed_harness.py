"""The steps of a harness as its sheets tell them: what is cut, laid, spliced, pinned, tested.

Read from the PDF's text alone.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

import networkx as nx

from tests.book.printed import COLOUR, WIRE, Line, between, pinned, table, text_of

CUT = ("Wire", "Colour", "AWG", "Length", "Label, A", "Label, B", "Sleeve", "From")
MADE_UP = ("Wire", "Cut", "Along", "Made")
SPLICES = ("Splice", "Where", "datum", "In", "At", "Barrel;")
COVER = ("Run", "Length", "datum", "Wires", "Thick", "Cover", "Cut", "Its", "Clamps,", "Bend")
BENCH = ("Circuit", "Apart", "From:", "Joined", "By", "Expect", "Found")
IN_SPLICE = re.compile(rf"({WIRE}) [A-Z]{{2}}\b")
HYPHENED = re.compile(r"(?<=[-/]) (?![<–])")
"""A name that is broken behind its hyphen."""


@dataclass(frozen=True)
class Piece:
    """A wire of the cut list, or a core with the length of its cable."""

    wire: str
    colour: str
    size: str
    cut_mm: int
    route: tuple[str, ...]
    """The points that it lies along: the one way that the printed runs leave between its two."""
    is_core: bool
    ends: tuple[str, str]
    """What is written on its two labels of where each end goes."""


def pieces(lines: list[Line]) -> dict[str, Piece]:
    """Wire -> how it is cut and marked."""
    found: dict[str, Piece] = {}
    cable: tuple[int, str] = (0, "")
    rope: nx.Graph[str] = nx.Graph(tuple(run) for run in runs(lines))
    assert nx.is_forest(rope), "no more than one way along the runs between any two points"
    for row in table(between(lines, "2 Cut and label", "3 Lay"), CUT, "AWG"):
        wire = row.get("Wire", "-").split()[0]
        if row.get("Label, A", "").startswith("cores, each"):
            cable = int(row["Length"].split()[0]), row["AWG"].split()[0]
        elif re.fullmatch(WIRE, wire) and " < " in row.get("Label, A", ""):
            core = row["AWG"].split()[0] == "core"
            cut, size = cable if core else (int(row["Length"].split()[0]), row["AWG"].split()[0])
            ends = [_marked(wire, row[label]) for label in ("Label, A", "Label, B")]
            assert ends[0] == ends[1][::-1], wire
            points = HYPHENED.sub("", row["From"]).split(" – ")
            route = (
                tuple(nx.shortest_path(rope, points[0], points[-1])) if points[1:] else (*points,)
            )
            found[wire] = Piece(
                wire, row["Colour"], size, cut, route, core, (ends[0][0], ends[1][0])
            )
    return found


def _marked(wire: str, label: str) -> tuple[str, str]:
    """(where this end goes, where the other is), of a label."""
    told = re.fullmatch(rf"({WIRE}) (.+?) < (.+)", HYPHENED.sub("", label))
    assert told and told[1] == wire, label
    return told[2], told[3]


def lengths_made_up(lines: list[Line]) -> dict[str, dict[str, float]]:
    """Wire -> what its length is made up of, by the list in the workings."""
    rows = table(lines, MADE_UP, "Cut")
    return {row.get("Wire", ""): _parts(row.get("Made", "")) for row in rows}


def _parts(text: str) -> dict[str, float]:
    return {what: float(mm) for what, mm in re.findall(r"([a-z][a-z ]*?) ([\d.]+)", text)}


def runs(lines: list[Line]) -> dict[frozenset[str], int]:
    """The two points of a run -> its length in mm, by the list of what is covered."""
    found = {}
    for row in table(between(lines, "5 Cover", "6 Terminate"), COVER, "Length"):
        name = HYPHENED.sub("", row.get("Run", ""))
        length_mm = row["Length"].removesuffix(" ≈")
        if length_mm.isdigit() and name.count(" – ") == 1:
            found[frozenset(name.split(" – "))] = int(length_mm)
    return found


@dataclass(frozen=True)
class Made:
    """A splice: where it is made, and the wires crimped in its barrel."""

    where: str
    wires: frozenset[str]

    @property
    def point(self) -> str:
        told = re.match(r"(?:at|[\d.]+ mm from) (\S+)", self.where)
        assert told, self.where
        return told[1]


def spliced(lines: list[Line]) -> dict[str, Made]:
    """Splice -> how it is made."""
    if not any(text_of(line) == "4 Splice" for line in lines):
        return {}
    found = {}
    for row in table(between(lines, "4 Splice", "5 Cover"), SPLICES, "Splice"):
        if re.fullmatch(r"S\d+[a-z]*", row["Splice"]):
            both = f"{row.get('In', '')} {row.get('At', '')} "
            where = HYPHENED.sub("", row["Where"])
            found[row["Splice"]] = Made(where, frozenset(IN_SPLICE.findall(both)))
    return found


def terminated(lines: list[Line], cut: dict[str, Piece]) -> list[tuple[str, str, str, str]]:
    """(wire, the end on its label, plug, cavity) of every end, in the order of the work."""
    found = []
    for plug, cavity, wire, _ in pinned(between(lines, "6 Terminate", "7 Test on the bench")):
        device, _, half = plug.partition("/")
        ends = [end for end in cut[wire].ends if _is_at(end, device, half, cavity)]
        assert len(ends) == 1, f"{wire} is not marked for cavity {cavity} of {plug}"
        found.append((wire, ends[0], plug, cavity))
    return found


def _is_at(end: str, device: str, half: str, cavity: str) -> bool:
    """Whether a label's end, 'ecu.A5' or 'X1.5/engine', is that cavity of the plug."""
    if half:
        return end == f"{device}.{cavity}/{half}"
    owner, _, pin = end.rpartition(".")
    return pin == cavity and (device == owner or device.startswith(f"{owner}-"))


def crimped(lines: list[Line], cut: dict[str, Piece]) -> nx.Graph[str]:
    """The wires with their marks, 'wire at end', joined in the barrels of the splices."""
    built: nx.Graph[str] = nx.Graph()
    for wire, piece in cut.items():
        a, b = piece.ends
        built.add_edge(f"{wire} at {a}", f"{wire} at {b}", wire=wire)
    for splice, made in spliced(lines).items():
        for wire in made.wires:
            assert splice in cut[wire].ends, f"{wire} is not marked for {splice}"
            built.add_edge(f"{wire} at {splice}", splice)
    return built


@dataclass(frozen=True)
class Laid:
    """A line of rope as the laying order has it."""

    points: tuple[str, ...]
    steps: tuple[tuple[str, str, str, frozenset[str]], ...]
    """(layer, point, 'in' or 'out', wires of the strand); none where it is laid flat."""

    def spans(self) -> dict[frozenset[str], tuple[str, int, int]]:
        """Strand -> its layer, and the numbers of the points where it comes in and goes out."""
        found: dict[frozenset[str], tuple[str, int, int]] = {}
        for layer, point, verb, strand in self.steps:
            at, last = self.points.index(point), len(self.points) - 1
            before, begins, ends = found.get(strand, (layer, at, last))
            assert before == layer, f"{strand} changes its layer"
            found[strand] = (layer, begins, at) if verb == "out" else (layer, at, ends)
        return found


def laid(lines: list[Line]) -> list[Laid]:
    """Each line of rope with its steps."""
    text = "\n".join(text_of(line) for line in between(lines, "3 Lay", "5 Cover"))
    text = re.sub(
        r"\nStep Layer At mm, point Do this|\n[^\n]*build sheets|\nRevision [^\n]*", "", text
    )
    found = []
    for block in re.split(r"\n(?=(?:Trunk|Branch): )", text)[1:]:
        head, _, body = block.partition(" mm\n")
        points = re.findall(r"([^\s–:]\S*) \(\d+\)", head.partition(":")[2])
        found.append(Laid(tuple(points), tuple(_steps(" ".join(body.split("\n"))))))
    return found


def _steps(body: str) -> Iterator[tuple[str, str, str, frozenset[str]]]:
    for step in re.split(r"(?:^| )(?=\d+ (?:core|layer \d+|straight outside) \d+, )", body):
        told = re.match(r"\d+ (core|layer \d+|straight outside) \d+, (\S+) (.*)", step)
        if not told:
            continue
        layer, point, words = told.groups()
        for verb, listed in (
            ("out", re.search(r"Take out ([^.]*)\.", words)),
            ("in", re.search(r"(?:Put in|: |straight:) ?([\w+, ]*\d[\w+, ]*)\.", words)),
        ):
            for strand in listed[1].split(", ") if listed else ():
                yield layer, point, verb, frozenset(strand.strip().split("+"))


@dataclass(frozen=True)
class Probed:
    """A line of the bench test."""

    circuit: str
    first: str
    """Terminal of the net that all others of it are probed from, '' where all is capped."""
    to: str
    """'' where nothing else is joined."""
    by: tuple[str, ...]
    """The wires between them."""
    ohms: float


def bench_test(lines: list[Line], studs: set[str]) -> list[Probed]:
    """The lines of the bench test, in the order of the work."""
    found = []
    for row in _bench_rows(lines):
        capped, alone = row["From:"].startswith("capped"), row["Joined"] == "nothing else"
        found.append(
            Probed(
                row.get("Circuit", ""),
                "" if capped else _terminal(row["From:"], studs),
                "" if alone else _terminal(row["Joined"], studs),
                tuple(row["By"].split(", ")),
                0.0 if alone else float(row["Expect"]),
            )
        )
    return found


def _bench_rows(lines: list[Line]) -> list[dict[str, str]]:
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


def _terminal(cell: str, studs: set[str]) -> str:
    """The node that a cell says to probe: a cavity, or the ring of one wire on a stud."""
    told = re.fullmatch(rf"(\S+)((?: {WIRE} {COLOUR})+)", cell)
    assert told, cell
    end, (wire, *_) = told[1], re.findall(WIRE + r"(?= )", told[2])
    return f"{wire} at {end}" if end in studs else end


def probings_promised(lines: list[Line]) -> int:
    """How many probings the page says that its test takes."""
    told = re.search(r"(\d+) probings", " ".join(map(text_of, lines)))
    assert told
    return int(told[1])


def most_beyond_ohm(lines: list[Line]) -> float:
    """What the page lets a reading be beyond the figure, ohm."""
    text = " ".join(map(text_of, between(lines, "7 Test on the bench", "8 Finish")))
    told = re.search(r"no more than ([\d.]+) Ω beyond", text)
    assert told
    return float(told[1])


def nets_of(probed: list[Probed]) -> list[tuple[str, list[Probed]]]:
    """(first terminal of a net, its lines) in the order of the work."""
    nets: list[tuple[str, list[Probed]]] = []
    for line in probed:
        if line.first and (not nets or nets[-1][0] != line.first):
            nets.append((line.first, []))
        if line.to:
            nets[-1][1].append(line)
    return nets


def steps_along(route: tuple[str, ...]) -> list[frozenset[str]]:
    """The runs of a route, each by its two points."""
    return [frozenset(pair) for pair in pairwise(route)]
