"""Reads every reading of a healthy vehicle back out of a printed book: place, state, and value."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

import pypdfium2
import pypdfium2.raw as pdfium

from buildbook.book.shown_states import shown_states

WORDS_OF_KIND = {"floats": "floating", "AC": "alternating", "unsure": "unsettled"}
NUMBER = re.compile(r"−?\d+(?:\.\d+)?")
CELL = re.compile(r"\boff\b|[\d.]+ [mµ]?A, (?:floats|AC|unsure|\S+(?: av\. \S+)?(?: to \S+)? V)")
"""Of the table of loads in every state."""
RANGE = r"(?:−?[\d.]+ to −?[\d.]+|[\d.]+–[\d.]+)"
VALUE = re.compile(rf"floats|AC|unsure|{RANGE}|−?[\d.]+(?: av\. (?:{RANGE}|−?[\d.]+)|\|−?[\d.]+)?")
FOOT_PT = 40.0
"""Of a page, with its number: that is no reading."""
GAP_PT = 14.0
"""From line to line within a table at most: what follows one stands further below."""
GROUND_SHARE = 0.49
"""What stands before the readings in the table of ground points, of its width."""
LINE_PT = 2.0
"""Letters of one line stand within this of each other."""
TITLE_PT = 5.0
"""What stands over a face may be so much higher than the title beside it."""
EDGE_PT = 6.0
"""A title stands at the left edge of its table or so much further left."""


@dataclass(frozen=True)
class Word:
    text: str
    left: float
    right: float
    y: float
    """Of its foot, from the top of the page, points."""


@dataclass(frozen=True)
class Printed:
    """A reading as it is printed; `values` in volts, each to within `half_v`."""

    plus: str
    minus: str
    """'' for the battery's negative post."""
    state: str
    kind: str
    values: tuple[float, ...]
    half_v: float
    page: int
    text: str


def words_of_page(page: pypdfium2.PdfPage) -> list[Word]:
    """The words of a page with their places, in lines from the top."""
    text, height = page.get_textpage(), page.get_height()
    found: list[list[tuple[str, float, float, float]]] = [[]]
    for i in range(text.count_chars()):
        letter = chr(pdfium.FPDFText_GetUnicode(text, i))
        if letter.isspace():
            found.append([])
            continue
        left, bottom, right, _top = text.get_charbox(i, loose=True)
        before = found[-1][-1] if found[-1] else None
        if before and (left - before[2] > 1.5 or abs(height - bottom - before[3]) > LINE_PT):
            found.append([])
        found[-1].append((letter, left, right, height - bottom))
    words = [
        Word("".join(x[0] for x in letters), letters[0][1], letters[-1][2], letters[0][3])
        for letters in found
        if letters
    ]
    return sorted(words, key=lambda word: (round(word.y / LINE_PT), word.left))


def value_of(text: str, scale: float = 1.0) -> tuple[str, tuple[float, ...], float] | None:
    """Kind, values and half of the last digit of a printed reading; None for one that is none."""
    plain = text.replace(" V", "").strip()
    if plain in WORDS_OF_KIND:
        return WORDS_OF_KIND[plain], (), 0.0
    if plain.endswith(" AC"):
        return "alternating", (), 0.0
    numbers = NUMBER.findall(plain)
    if not numbers:
        return None
    kind = "steady"
    if " or " in plain or "|" in plain:
        kind = "levels"
    elif " av" in plain:
        kind = "average"
    elif " to " in plain or "–" in plain:
        kind = "between"
    shown = numbers[:1] if kind == "average" else numbers
    digits = min(len(n.partition(".")[2]) for n in shown)
    values = tuple(float(n.replace("−", "-")) * scale for n in shown)
    return kind, values, 0.5 * 10.0**-digits * scale


def joined(words: Sequence[Word]) -> str:
    """The words of a cell, those broken behind a dash or stroke put together."""
    text = " ".join(w.text for w in sorted(words, key=lambda w: (round(w.y / LINE_PT), w.left)))
    return re.sub(r"([–|]) ", r"\1", text)


def table_below(words: Sequence[Word], head_y: float) -> list[Word]:
    """The words of a table from its head on, to the first gap that is wider than between rows."""
    found: list[Word] = []
    for word in sorted((w for w in words if w.y > head_y - LINE_PT), key=lambda w: w.y):
        if found and word.y - found[-1].y > GAP_PT:
            break
        found.append(word)
    return found


@dataclass(frozen=True)
class Reader:
    """What names the readings of one vehicle."""

    states: tuple[str, ...]
    pins: frozenset[str]
    """Pins and halves of pass-throughs."""
    shown: tuple[str, ...]
    """The states with columns of their own."""
    cavities: dict[str, dict[str, str]]
    """Connector -> cavity -> pin."""
    off: dict[str, int]
    """Connector -> columns of readings with it off."""
    loads: dict[str, tuple[str, str]]
    """Load id -> the pins that it is between."""
    grounds: frozenset[str]
    posts: tuple[str, str]

    def read(self, pdf: Path) -> list[Printed]:
        """Every reading of the healthy vehicle, everything plugged in."""
        found: list[Printed] = []
        plug: str | None = None
        for number, page in enumerate(pypdfium2.PdfDocument(pdf), 1):
            words = [w for w in words_of_page(page) if w.y < page.get_height() - FOOT_PT]
            text = " ".join(word.text for word in words)
            if "6 Terminate" in text or "plug off:" in text and "build sheets" in text:
                found += self._connectors(words, number, plug)
            plug = self._last_plug(words, plug)
            if "Device Pin Wire, colour, size" in text:
                found += self._studs(words, number)
            if "Ground points" in text:
                found += self._grounds(words, number)
            if "Readings in every state" in text:
                found += self._every_state(words, number)
                found += self._every_load(words, number)
            elif "Meter + and −" in text:
                found += self._loads(words, number)
            found += self._across(text, number)
        return found

    def _printed(self, plus, minus, state, text, page, scale=1.0) -> Iterator[Printed]:
        value = value_of(text, scale)
        if value is not None:
            yield Printed(plus, minus, state, *value, page, text)

    def _columns(self, words, page, name_at, start, columns, right) -> Iterator[tuple]:
        """Cells of the rows whose names stand at one edge: (name, column number, words)."""
        names = [w for w in words if w.text in name_at[0] and abs(w.left - name_at[1]) < 3]
        edges = [w.y for w in words if abs(w.left - name_at[1]) < 3]
        for name in names:
            below = min((y for y in edges if y > name.y + LINE_PT), default=1e9)
            row = [w for w in words if name.y - LINE_PT < w.y < below - LINE_PT]
            count = columns(name.text)
            wide = (right - start) / count
            for n in range(len(self.states)):
                low, high = start + n * wide, start + (n + 1) * wide
                cell = [w for w in row if low - 1 < w.right <= high + 0.5 and w.left > start - 6]
                yield name.text, n, cell

    def _titles(self, words) -> list[Word]:
        """Names of connectors at the left edge of the page or of their tables beside faces."""
        heads = [w.left for w in words if w.text == "Cavity"]
        edges = [min((w.left for w in words), default=0.0), *heads]
        return [
            w
            for w in words
            if w.text[-1] in ":,"
            and w.text[:-1] in self.cavities
            and any(-EDGE_PT < w.left - edge < 3 for edge in edges)
        ]

    def _last_plug(self, words, before) -> str | None:
        """The connector whose table may go on on the next page."""
        last = max(self._titles(words), key=lambda w: w.y, default=None)
        return last.text[:-1] if last else before

    def _connectors(self, words, page, before) -> Iterator[Printed]:
        """The pins of the connectors that a harness is pinned into, beside or below their faces.

        `before` is the connector that a table without a title over it goes on with.
        """
        heads = [w for w in words if w.text == "Cavity"]
        titles = self._titles(words)
        for head in heads:
            plug = self._plug_above(words, head) or before
            if plug is None:
                continue
            below = min((w.y for w in [*heads, *titles] if w.y > head.y + LINE_PT), default=1e9)
            there = [w for w in words if head.y < w.y < below - TITLE_PT]
            there = [w for w in there if w.left > head.left - 2]
            columns = self._columns_of(words, head)
            yield from self._pins(there, head.left, columns, plug, page)
            yield from self._elsewhere(there, head.left, plug, page)

    def _columns_of(self, words, head) -> list[tuple[float, float]]:
        """From where to where the readings of each state shown end: at the edge of its head."""
        beside = (w for w in words if abs(w.y - head.y) < LINE_PT and w.left > head.left)
        line = sorted(beside, key=lambda w: w.left)
        use = next(n for n, w in enumerate(line) if w.text == "use")
        after = iter(line[use + 1 :])
        ends = [state.split()[-1] for state in self.shown]
        edges = [next(w.right for w in after if w.text == end) for end in ends]
        wide = edges[1] - edges[0] if len(edges) > 1 else edges[0] - line[use].right
        return [(edge - wide, edge) for edge in edges]

    def _plug_above(self, words, head) -> str | None:
        """The connector whose heading stands last before the head of a table."""
        above = sorted((w for w in words if w.y < head.y), key=lambda w: -w.y)
        named = (w.text.rstrip(":,") for w in above)
        return next((name for name in named if name in self.cavities), None)

    def _pins(self, there, left, columns, plug, page) -> Iterator[Printed]:
        """Rows of one table: cavity, wire, colour, size, pull, circuit, then the readings."""
        cavities = self.cavities[plug]
        edges = sorted({w.y for w in there if w.left - left < 16})
        for row in (w for w in there if w.text in cavities and 3 < w.left - left < 16):
            foot = min((y for y in edges if y > row.y + LINE_PT), default=1e9)
            cells = [w for w in there if row.y - LINE_PT < w.y < foot - LINE_PT]
            for state, (low, high) in zip(self.shown, columns, strict=True):
                cell = [w for w in cells if low + 1 < w.right <= high + 1 and w.left > low - 4]
                yield from self._printed(cavities[row.text], "", state, joined(cell), page)

    def _elsewhere(self, there, left, plug, page) -> Iterator[Printed]:
        """'In raining, about: 2 13.2, 4 6.5': of several states the first has just that."""
        text = joined(there)
        for states, told in re.findall(
            r"\bIn ([^:]*?), about: (.*?)(?=\bIn |Unused|Blanks|$)", text
        ):
            for one in told.split(", "):
                cavity, _, value = one.partition(" ")
                shown = VALUE.match(value)
                if shown and cavity in self.cavities[plug]:
                    first = states.split(", ")[0]
                    pin = self.cavities[plug][cavity]
                    yield from self._printed(pin, "", first, shown[0], page)

    def _studs(self, words, page) -> Iterator[Printed]:
        """Terminals that are not in connectors; a reading ends at the edge of its state's head."""
        pin = next(w for w in words if w.text == "Pin")
        heads = [w for w in words if abs(w.y - pin.y) < LINE_PT and w.left > pin.left]
        at = next(n for n, w in enumerate(heads) if w.text == "use") + 1
        rest = iter(heads[at:])
        ends = [state.split()[-1] for state in self.shown]
        edges = [next(w.right for w in rest if w.text == end) for end in ends]
        wide = edges[1] - edges[0]
        names = [w for w in words if w.text in self.pins and abs(w.left - pin.left) < 3]
        for name in names:
            foot = min((w.y for w in names if w.y > name.y + LINE_PT), default=1e9)
            row = [w for w in words if name.y - LINE_PT < w.y < foot - LINE_PT]
            for edge, state in zip(edges, self.shown, strict=True):
                cell = [w for w in row if edge - wide + 1 < w.right <= edge + 1]
                yield from self._printed(name.text, "", state, joined(cell), page)
            told = joined([w for w in row if w.left > edges[-1]])
            for value, states in re.findall(r"(\S.*?) in ([^;]+)", told):
                yield from self._printed(name.text, "", states.split(", ")[0], value, page)

    def _grounds(self, words, page) -> Iterator[Printed]:
        left, right = min(w.left for w in words), max(w.right for w in words)
        head = next((w for w in words if w.text == "Ground" and abs(w.left - left) < 3), None)
        there = [w for w in words if head is None or w.y > head.y]
        columns = self._columns(
            there,
            page,
            (self.grounds, left),
            left + GROUND_SHARE * (right - left),
            lambda _: len(self.states),
            right,
        )
        for ground, n, cell in columns:
            yield from self._printed(f"{ground}.stud", "", self.states[n], joined(cell), page, 1e-3)

    def _loads(self, words, page) -> Iterator[Printed]:
        """A system's table of loads: 'volts, amps' between two pins."""
        left, right = min(w.left for w in words), max(w.right for w in words)
        wide = right - left
        for head in (w.y for w in words if w.text == "Meter"):
            there = table_below(words, head)
            yield from self._loads_of(there, left, wide, page)

    def _loads_of(self, words, left, wide, page) -> Iterator[Printed]:
        """One such table."""
        pins = [
            w
            for w in words
            if w.text in self.pins and left + 0.21 * wide < w.left < left + 0.41 * wide
        ]
        for plus, minus in zip(pins[::2], pins[1::2], strict=True):
            below = min((w.y for w in pins[::2] if w.y > plus.y + LINE_PT), default=1e9)
            row = [w for w in words if plus.y - LINE_PT < w.y < below - LINE_PT]
            for n, state in enumerate(self.shown):
                low = left + (0.41 + 0.12 * n) * wide
                cell = joined([w for w in row if low - 2 < w.left and w.right <= low + 0.12 * wide])
                volts, comma, _ = cell.rpartition(", ")
                if comma:
                    yield from self._printed(plus.text, minus.text, state, volts, page)
            end = left + (0.41 + 0.12 * len(self.shown)) * wide
            told = joined([w for w in row if w.left > end - 2])
            for states, volts in re.findall(r"([^;:]+): ([^;:]+), [\d.]+ [mµ]?A", told):
                first = states.strip().split(", ")[0]
                yield from self._printed(plus.text, minus.text, first, volts, page)

    def _every_state(self, words, page) -> Iterator[Printed]:
        """The tables of the workings: of pins in volts, of ground points in millivolts."""
        left, right = min(w.left for w in words), max(w.right for w in words)
        at_edge = [w for w in words if abs(w.left - left) < 3]
        loads = min((w.y for w in at_edge if w.text in ("Loads:", "Load")), default=1e9)
        words = [w for w in words if w.y < loads - LINE_PT]
        start = left + 0.16 * (right - left)
        off = max(self.off.values(), default=0)
        head = next((w for w in at_edge if w.text in ("Grounds,", "Ground")), None)
        below = head.y if head else 1e9
        for names, columns, scale, end in (
            (self.pins, len(self.states) + off, 1.0, "{}"),
            (self.grounds, len(self.states), 1e-3, "{}.stud"),
        ):
            there = [w for w in words if (w.y < below) == (scale == 1.0)]
            cells = self._columns(there, page, (names, left), start, lambda _, n=columns: n, right)
            for name, n, cell in cells:
                place = end.format(name)
                yield from self._printed(place, "", self.states[n], joined(cell), page, scale)

    def _every_load(self, words, page) -> Iterator[Printed]:
        """The landscape table: 'off', or 'amps, volts', of each load in a line."""
        left = min(w.left for w in words)
        for name in (w for w in words if w.text in self.loads and abs(w.left - left) < 3):
            row = " ".join(w.text for w in words if abs(w.y - name.y) < LINE_PT)
            cells = CELL.findall(row)
            for state, cell in zip(self.states, cells[-len(self.states) :], strict=False):
                _, comma, volts = cell.partition("A, ")
                if comma and len(cells) >= len(self.states):
                    yield from self._printed(*self.loads[name.text], state, volts, page)

    def _across(self, text, page) -> Iterator[Printed]:
        """Tests of a system, and the table of the starter's way."""
        for state in self.states:
            pattern = rf"{re.escape(state)}: [^;]*; ([^;]*?V[^;]*?) across (\S+) and (\S+)\. "
            for value, plus, minus in re.findall(pattern, text):
                if {plus, minus} <= self.pins:
                    yield from self._printed(plus, minus, state, value, page)
        if "While the starter turns" in text:
            state = re.search(r"While the starter turns: (.*?) (?:CAUTION|Meter)", text)
            for plus, minus, value in re.findall(r"(\S+\.\S+) (\S+\.\S+) (−?\d+\.\d+ V)", text):
                if state and {plus, minus} <= self.pins:
                    yield from self._printed(plus, minus, state[1], value, page)


def reader_of(result) -> Reader:
    vehicle = result.vehicle
    connectors = result.harness.connectors.values()
    halves = {pin.id for c in connectors for pin in c.pins}
    battery = vehicle.supply.battery
    return Reader(
        vehicle.states,
        frozenset(vehicle.pins) | halves,
        shown_states(result),
        {c.id: {pin.cavity or pin.name: pin.id for pin in c.pins} for c in connectors},
        {c.id: len(result.unplugged[c.id].states) for c in connectors},
        {x.id: (x.from_pin, x.to_pin) for d in vehicle.devices.values() for x in d.loads},
        frozenset(d.id for d in vehicle.all_of("ground")),
        (battery.plus_pin, battery.minus_pin),
    )
