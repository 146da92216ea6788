"""A mechanic who knows only the printed chapter: reads a tree from the PDF's text and follows it.

What a driver sees gives the number and heading of a tree; letters of a tree that stands for several
are put back as its small table says. The meter is on a car that is built anew with the part broken.
"""

from __future__ import annotations

import json
import math
import re
import subprocess
from dataclasses import dataclass

from buildbook.book.chapters import troubleshooting
from buildbook.book.fault_wording import briefly, probe_place, short_place, thing_words
from buildbook.book.join import alone
from buildbook.book.page_numbers import PageMap
from buildbook.book.render import Job, render
from buildbook.book.templates import chapter_html
from buildbook.export.faults import symptom_rows
from buildbook.faultfinding.access import probe_places, reach_of_pin, reach_of_points
from buildbook.faultfinding.model import ALTERNATING
from tests.faultfinding.broken_car import looked_up, well
from tests.once import undrawn

NUMBER = r"[−-]?\d+(?:\.\d+)?"
ANSWER = (
    rf"(?:{NUMBER}(?:(?:–| to ){NUMBER})? V(?: or less| or more)?|{NUMBER} [kM]?Ω|{NUMBER} mΩ"
    r"|open|no|yes|silent|clicks|as before|well again)"
)
HANDS = ("does ", "finger on ", "fuse ", "relay ", "hot at ")
MOST = 40


@dataclass(frozen=True)
class Line:
    """One printed question."""

    where: str
    low: str
    low_then: str
    high: str
    high_then: str


@dataclass(frozen=True)
class Found:
    """What is named in the end, after how many questions, and where the first of them is."""

    named: str
    asked: int
    first: str


def chapter_text(result, folder, maker=troubleshooting) -> str:
    """The troubleshooting chapter, or another, as its PDF has it, in one line."""
    (chapter,) = maker.chapters(result, undrawn(result))
    vehicle = result.vehicle
    html = chapter_html(
        chapter, 1, (chapter,), vehicle.description.vehicle, PageMap(), vehicle.supply
    )
    path = folder / f"{chapter.name}.pdf"
    pictures = {drawing.name: drawing.svg for drawing in chapter.drawings}
    path.write_bytes(alone(render(Job(chapter.name, html, pictures))))
    told = subprocess.run(["pdftotext", "-raw", path, "-"], capture_output=True, check=True)
    pages = told.stdout.decode().split("\f")
    body = (re.sub(r"\n?Revision .*$", "", page, flags=re.DOTALL) for page in pages)
    head = rf"{re.escape(vehicle.description.vehicle.name)} {re.escape(chapter.title)} ?"
    return re.sub(head, "", " ".join(" ".join(body).split()))


def closed(text: str) -> str:
    """Names that a line was broken in, after a point or a hyphen, are one again.

    Nobody can tell such a place from the space behind a pin that is called 'B-', so what is looked
    up by its words is closed too.
    """
    return re.sub(r"(?<=\w[.-]) (?=\w)", "", text)


class Book:
    """The printed trees of a vehicle."""

    def __init__(self, result, folder) -> None:
        self.result = result
        self.text = chapter_text(result, folder)
        groups = troubleshooting.printed(result, troubleshooting.grouped(result))
        self.trees = [row for _, rows in groups for row in rows]
        self.rows = {r["id"]: r for r in json.loads(json.dumps(symptom_rows(result)))}
        nodes = probe_places(result.vehicle, result.harness)
        self.node_of = {closed(short_place(probe_place(result, node))): node for node in nodes}
        self.load_of = {
            closed(thing_words(result, (x.id,))): x.id
            for d in result.vehicle.devices.values()
            for x in d.loads
        }

    def head(self, row) -> str:
        return f"{row.number} {re.sub('[‹›]', '', row.tree.heading)}"

    def _starts(self, row) -> list[int]:
        """Where its heading stands; that of the fourth stands in that of the fourteenth too."""
        head = re.escape(self.head(row)).replace(r"\)", r" ?\)")  # a letter's box has an edge
        return [match.start() for match in re.finditer(rf"(?<!\d){head}", self.text)]

    def lines(self, symptom: str) -> tuple[list[Line], str, str]:
        """The questions of a symptom's tree, the state of its head, and what it names at once."""
        at = next(n for n, row in enumerate(self.trees) if symptom in row.tree.anchors)
        row = self.trees[at]
        *_, start = self._starts(row)
        after = self.trees[at + 1 :]
        ends = [n for later in after[:3] for n in self._starts(later) if n > start]
        end = min(ends, default=len(self.text))
        said = self.text[start + len(self.head(row)) : end]
        state = re.sub("[‹›]", "", row.tree.state)
        letters = {}
        if row.tree.names:
            names = row.tree.names[row.tree.anchors.index(symptom)]
            letters = dict(zip(row.tree.letters, names, strict=True))

        def put(text: str) -> str:
            return re.sub(
                r"(?<![\w.])([A-N])(?![\w.])", lambda m: letters.get(m[1], m[1]), text
            ).strip()

        found = []
        body = closed(said.partition("Likeliest: ")[2])
        for k in range(1, len(row.tree.lines) + 1):
            step = re.compile(
                rf"(?:^|\s){k} (?P<where>\S.*?): (?P<low>{ANSWER}) (?P<lt>» \d+|.+?) ◊ "
                rf"(?P<high>{ANSWER}) (?P<ht>» \d+|.+?)(?=\s{k + 1} \S.*?: {ANSWER}\s|$)"
            )
            match = step.search(body)
            if match is None:
                raise AssertionError(f"question {k} of {self.head(row)} is not to be read")
            found.append(
                Line(
                    put(match["where"]),
                    match["low"],
                    put(match["lt"]),
                    match["high"],
                    put(match["ht"]),
                )
            )
            body = body[match.end() :]
        return found, put(state), put(said)

    def find(self, car) -> Found:
        """Follow the printed tree of what is seen, on a car with one part broken."""
        row = looked_up(list(self.rows.values()), car, well(self.result))
        lines, state, said = self.lines(row["id"])
        if not lines:
            return Found(said, 0, "")
        at, asked, first = 1, 0, ""
        states = self._states(lines, state)
        while asked < MOST:
            line = lines[at - 1]
            first = first or line.where
            asked += 1
            then = self._answer(car, line, states[at - 1])
            if not then.startswith("» "):
                return Found(then, asked, first)
            at = int(re.match(r"» (\d+)", then)[1])
        raise AssertionError("a tree without end")

    def _states(self, lines, state) -> list[str]:
        """The state of each line: it holds until another is named."""
        found = []
        for line in lines:
            before = line.where
            named = [s for s in self.result.vehicle.states if before.endswith(f" {s}")]
            named = [s for s in named if not before.removesuffix(f" {s}").endswith(", from")]
            state = max(named, key=len, default=state)
            found.append(state)
        return found

    def _answer(self, car, line: Line, state: str) -> str:
        where = line.where
        if not where.removesuffix(f" {state}").endswith(", from"):
            where = where.removesuffix(f" {state}")
        step = self._step(where, state)
        if step["measure"] == "volts" and "Ω" in line.low:
            step["measure"] = "ohms"
        shown = car.reads(step)
        sides = [self._range(line.low, step), self._range(line.high, step)]
        away = [max(0.0, least - shown, shown - most) for least, most in sides]
        return line.low_then if away[0] <= away[1] else line.high_then

    def _range(self, words: str, step) -> tuple[float, float]:
        if step["measure"] in ("look", "click", "swap", "feel"):
            value = float(words in ("yes", "clicks", "well again"))
            return value, value
        if words == "open":
            return 7.0, 7.0
        ends = [float(x.replace("−", "-")) for x in re.findall(NUMBER, words)]
        ends = ends * 2 if len(ends) == 1 else ends
        if "Ω" in words:
            unit = {"k": 3, "M": 6, "m": -3}.get(words.split()[1][0], 0)
            return tuple(math.log10(max(e, 1e-3)) + unit for e in ends)
        if words.endswith(" or less"):
            return -math.inf, ends[1]
        return (ends[0], math.inf) if words.endswith(" or more") else tuple(ends)

    def _step(self, where: str, state: str) -> dict:
        """What a question asks for, by its words."""
        where = where.strip()
        for how, other in ((", the middle of its swing", "swings"), (", meter on AC", ALTERNATING)):
            if where.endswith(how):
                return self._step(where.removesuffix(how), state) | {"other": other}
        if where.startswith("Ω "):
            one, other = re.match(r"Ω (\S+) to (\S+),", where).groups()
            how = "bus ohms unplugged" if "unplugged" in where else "bus ohms"
            return {"measure": how, "node": one, "other": other, "state": state}
        if match := re.match(r"does (.+) work\?$", where):
            return {"measure": "look", "node": self.load_of[match[1]], "state": state}
        if match := re.match(r"finger on (\S+), from (.+)$", where):
            return {"measure": "click", "node": match[1], "other": match[2], "state": state}
        if match := re.match(r"(?:fuse|relay) (\S+) changed for", where):
            return {"measure": "swap", "node": match[1], "state": state}
        return {"measure": "volts", "node": self.node_of[where], "state": state}


def names(result, found: str, fault) -> bool:
    """Whether the part that is broken is among those named."""
    said = re.sub(r" \(.+\)$", "", briefly(result, [fault.id]))
    part = re.sub(r"^(?:pin|nut|wire|contact|joint) ", "", said)
    broken_over_lines = re.sub(r"(\\\.|\\-)", r"\1 ?", re.escape(part))
    return re.search(rf"(?<![\w.-])(?<!\w- ){broken_over_lines}(?![\w-])", found) is not None


def under_the_car(book: Book, where: str) -> bool:
    """Whether a question's place is a pin that is reached from under the car alone."""
    vehicle = book.result.vehicle
    for node in (n for place, n in book.node_of.items() if where.startswith(place)):
        pin = vehicle.pins.get(node.removesuffix("~"))
        if pin is not None:
            return reach_of_pin(vehicle, pin, reach_of_points(vehicle)) == "under the car"
    return False
