"""How wide the columns of a connector's pins are: as what they hold, so that rows take one line."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import fsum

from buildbook.book.formats import reading_parts, short_reading
from buildbook.book.pin_rows import PinRow
from buildbook.drawing.shared.lettering import text_width_mm
from buildbook.words.say import language, say

BESIDE_SHARES, GAUGE_SHARES = (7.5, 7.0, 10.0, 8.5, 5.5, 17.5), (7.5, 7.0, 10.0, 11.0, 5.5, 15.0)
"""Percent of a narrow table beside a face: cavity, wire, colour, size, pull and use."""
LONG_HEADS = (1.1, 0.9, -0.6, 0.0, 0.0, -1.4)
"""What other languages add to them: their heads of cavities and wires are longer."""
BESIDE_MM_OF = (8.5, 8.0, 10.5, 9.5, 6.5)
"""Width that a column of it needs; no less than its share of a table of `NARROW_MM`."""
NARROW_MM, LONG_NARROW_MM = 102.0, 114.0
BELOW_MM_OF, GAUGE_MM = (10.7, 10.0, 11.2, 10.7, 8.7), 14.2
"""Width of the same columns below a face; of sizes that are gauges."""
LEAST_BELOW, LEAST_BESIDE = 0.22, 0.15
"""Of a table, what its uses have at least; of one beside a face, where readings need the rest."""
READING_MM = 11.0
"""Width of a column of readings in a table beside a face: '0.0–13.5' on one line."""
NO_BREAK = "\u00a0"
PT = 25.4 / 72
LETTERS_MM, HEAD_MM = 7.3 * PT, 6.3 * PT
"""Sizes of letters in the templates."""
EDGES_MM, HEAD_EDGES_MM = 2.2, 1.6
"""Left and right of what a cell holds, and a little more: breaks are not where it just fits."""


def beside_shares(
    table_mm: float, readings: int, gauges: bool, reading_mm: float = READING_MM
) -> tuple[float, ...]:
    """Percent of the columns before the readings: the use has what the others do not need.

    It is the only one that runs over several lines, and so what makes the table higher than its
    face. A narrow table gives each column its part.
    """
    least: tuple[float, ...] = GAUGE_SHARES if gauges else BESIDE_SHARES
    if language() != "en":
        least = tuple(round(a + b, 1) for a, b in zip(least, LONG_HEADS, strict=True))
    narrow = NARROW_MM if language() == "en" else LONG_NARROW_MM
    own = [max(BESIDE_MM_OF[n], narrow * share / 100) for n, share in enumerate(least[:-1])]
    use = table_mm - fsum(own) - reading_mm * readings
    if use <= table_mm * LEAST_BESIDE:
        return least
    return _percent((*own, use), table_mm)


def below_shares(
    table_mm: float, readings: int, gauges: bool, reading_mm: float, use_mm: float
) -> tuple[float, ...]:
    """The same of a table below a face; `use_mm` is what the longest use takes."""
    own = list(BELOW_MM_OF)
    if gauges:
        own[3] = GAUGE_MM
    left = table_mm - fsum(own) - reading_mm * readings
    return _percent((*own, max(LEAST_BELOW * table_mm, min(left, use_mm))), table_mm)


def _percent(widths_mm: Sequence[float], table_mm: float) -> tuple[float, ...]:
    return tuple(round(100 * mm / table_mm, 1) for mm in widths_mm)


def reading_mm(rows: Iterable[PinRow], heads: Iterable[str], stacked: bool) -> float:
    """Width of the widest reading, and of the longest word over it, which else is hyphenated.

    Stacked, a mean of pulses has what they swing between below it.
    """
    told = (short_reading(there) for row in rows for there in (*row.plugged_in, *row.off))
    parts = (part for text in told for part in (reading_parts(text) if stacked else (text,)))
    widest = max((text_width_mm(part, LETTERS_MM) for part in parts), default=0.0)
    words = (word for head in heads for word in head.split(" "))
    head = max((text_width_mm(word, HEAD_MM, True) for word in words), default=0.0)
    return max(widest + EDGES_MM, min(head + HEAD_EDGES_MM, READING_MM))


def use_mm(rows: Iterable[PinRow]) -> float:
    """Width of the longest of the uses."""
    return max((text_width_mm(row.words, LETTERS_MM) for row in rows), default=0.0) + EDGES_MM


def heads_of(states: Iterable[str], off_states: Iterable[str]) -> list[str]:
    """What stands over the readings; 'plug off:' is not to be parted."""
    off = say("plug off: {state}", state="").strip()
    told = (say("plug off: {state}", state=state) for state in off_states)
    return [*states, *(head.replace(off, off.replace(" ", NO_BREAK)) for head in told)]
