"""Ranges of what each kind of thing nearly always has, and the slips of typing that miss them."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from importlib.resources import files

import yaml

from buildbook.words.say import mark, say

SLIPS = {
    1000.0: mark("a thousand times too much, as when a unit is written without its 'milli'"),
    0.001: mark("a thousandth, as when 'milli' stands where none belongs, or 'kilo' is missing"),
    10.0: mark("ten times too much, as when the decimal point slipped"),
    0.1: mark("a tenth, as when the decimal point slipped"),
    100.0: mark("a hundred times too much, as when the decimal point slipped"),
    0.01: mark("a hundredth, as when the decimal point slipped"),
    1e6: mark("a million times too much: kilo for milli"),
    1e-6: mark("a millionth: milli for kilo"),
}
"""Factor by which a value is off -> how that comes about, to be said; likelier slips first."""


@dataclass(frozen=True)
class Range:
    """From `least` to `most` in `unit`, on the word of `source`."""

    least: float
    most: float
    unit: str
    source: str

    def holds(self, value: float) -> bool:
        """Whether a value is as likely as most."""
        return self.least <= value <= self.most

    def factor(self, value: float) -> float:
        """By what a value outside is too large through one slip; 1 where no slip explains it.

        The smallest step that brings it well inside goes first: the middle of the range, not
        its rim.
        """
        fits = [
            factor
            for factor in SLIPS
            if self.holds(value / factor) and (factor > 1) == (value > self.most)
        ]
        well = [f for f in fits if self.least * 2 <= value / f <= self.most / 2]
        return (well or fits or [1.0])[0]

    def slip(self, value: float) -> str:
        """How a value outside may have been mistyped; '' where no one slip brings it inside."""
        factor = self.factor(value)
        return say(SLIPS[factor]) if factor in SLIPS else ""


def with_slip(text: str, slip: str) -> str:
    """What is told of a value, and how it may have been mistyped where that is known."""
    return say("{text} It looks {slip}.", text=text, slip=slip) if slip else text


@cache
def likely() -> dict[tuple[str, str], Range]:
    """(kind, quantity) -> its range, each row with its source."""
    text = files("buildbook.checks").joinpath("likely.yaml").read_text("utf-8")
    rows = yaml.safe_load(text)["rows"]
    return {
        (kind, unit): Range(float(least), float(most), unit, source)
        for kind, unit, least, most, source in rows
    }
