"""Counts and measured values as messages say them."""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal

from buildbook.words.say import in_figures, language, say

ESTIMATE = "≈"
"""Beside a length that is an estimate, everywhere in the book."""
NO_CURRENT_A = 1e-6
"""Below it is what insulation lets through. Our choice."""
LEAST_A = 0.0995
"""From here on a tenth of an ampere is printed for it."""
MOST_MM_M = 10.0
"""Metres from which a length is said in metres. Our choice."""


def counted(n: int, what: str) -> str:
    """'no clamps', '1 clamp', '2 clamps': for whoever types; the book has `say_counted`."""
    return f"{n or 'no'} {what}" + ("" if n == 1 else "s")


def decimals(value: float, digits: int) -> str:
    """A number with so many decimals, and never a minus before nothing but zeros."""
    return in_figures(f"{round(value, digits) + 0.0:.{digits}f}")


def significant(value: float, digits: int) -> str:
    """A number to so many significant digits, written out: '600', '0.021'."""
    return in_figures(f"{Decimal(f'{value:.{digits}g}'):f}")


def current(amps: float, digits: int = 1, plus: bool = False) -> str:
    """A current to that many decimals, where these would leave next to none in milliamps: '1.2 A',
    '−12 mA'; with `plus` of what is gained '+1.2 A'.

    A meter shows less than half a milliamp as nothing, but what flows there is said to flow.
    """
    size, sign = abs(amps), "−" if amps < 0 else "+" if plus else ""
    if size < NO_CURRENT_A:
        return "0 A"
    if size < LEAST_A:
        return "< 1 mA" if size < 0.0005 else f"{sign}{size * 1000:.0f} mA"
    return f"{sign}{in_figures(f'{size:.{digits}f}')} A"


def length(metres: float) -> str:
    """A length as the trade says it: '860 mm', '12.5 m'."""
    if metres < MOST_MM_M:
        return f"{metres * 1000:.0f} mm"
    return f"{significant(metres, 4)} m"


def whole_mm(length_m: float) -> int:
    """A length to cut in millimetres, to the next whole one; a sum's last bits make no more."""
    return math.ceil(1000 * length_m - 1e-6)


def estimated(length_words: object, is_estimate: bool) -> str:
    """A length with the mark of an estimate where it is one: '220', '220 ≈'."""
    return f"{length_words} {ESTIMATE}" if is_estimate else str(length_words)


def squared(text: str) -> str:
    """Words with their square millimetres as they are printed: '0.5 mm²' for '0.5 mm2'."""
    return AREA.sub(lambda found: f"{in_figures(found[1])}mm²", text)


AREA = re.compile(r"((?:(?:\d+(?:\.\d+)? (?:to|bis|or|oder|and|und) )?\d+(?:\.\d+)? )?)mm2")
INCH_MM, FOOT_M = 25.4, 0.3048
KCMIL_MM2 = 1000 * math.pi / 4 * (INCH_MM / 1000) ** 2
"""Of a thousand circular mils: circles a thousandth of an inch across (ASTM B258)."""
GAUGE_OF = {
    **{0.22: "24", 0.35: "22", 0.5: "20", 0.75: "18", 1.0: "18", 1.5: "16", 2.5: "14", 4.0: "12"},
    **{
        6.0: "10",
        10.0: "8",
        16.0: "6",
        25.0: "4",
        35.0: "2",
        50.0: "1/0",
        70.0: "2/0",
        95.0: "3/0",
    },
}
"""Size in mm2 -> the gauge that is taken in its place (IEC 60947-1, table 1, from memory; 0.22,
0.35 and 1 the next of ASTM B258)."""
EIGHTHS = 8
"""Parts of an inch to which a length along a rope is said: a tape shows them. Our choice."""
LEAST_ALONG_MM = 30.0
"""Words that say whole millimetres from here on mean a way along something. Our choice."""
FINE_MM = 5.0
"""Thicknesses below are said to the thousandth of an inch. Our choice."""
BETWEEN = {"en": "to|or|×", "de": "bis|oder|×"}
"""What stands between two numbers with one unit, by language."""
METRES = {"en": "metres?", "de": "Metern?"}


@dataclass(frozen=True)
class Units:
    """How a vehicle's book says lengths and thicknesses: in millimetres, or in inches and feet.

    What is called bare stands without its unit, under a heading that says it.
    """

    inches: bool = False
    gauges: bool = False
    """Whether its wire is named by gauge numbers."""

    @property
    def short(self) -> str:
        """Unit of what is measured with a tape."""
        return "in" if self.inches else "mm"

    @property
    def name(self) -> str:
        """The same after 'in', where a short one would read as that word."""
        return say("inches") if self.inches else "mm"

    @property
    def long(self) -> str:
        """Unit of what is cut from a reel."""
        return "ft" if self.inches else "m"

    @property
    def size(self) -> str:
        """Unit of a wire's size, as a heading of `bare_size` says it."""
        return "AWG" if self.gauges else say("mm² or AWG")

    def bare_size(self, label: str) -> str:
        """A wire's size under that heading: '0.5' for '0.5 mm2', 'AWG 20' as it is.

        Among gauges a metric size keeps its unit.
        """
        return squared(label) if self.gauges else squared(label).removesuffix(" mm²")

    @property
    def rule_mm(self) -> float:
        """From mark to mark of what a rule is laid on: 100 mm, or four inches."""
        return 4 * INCH_MM if self.inches else 100.0

    @property
    def rule_parts(self) -> int:
        """Into which that is divided: 10 mm, or half an inch."""
        return 8 if self.inches else 10

    def bare(self, length_mm: float) -> str:
        """Along a rope: '953', or to the next eighth of an inch as a tape is read: '37-1/2'."""
        if not self.inches:
            return decimals(length_mm, 0).replace("-", "−")
        return _eighths(round(EIGHTHS * length_mm / INCH_MM))

    def bare_m(self, length_m: float) -> str:
        """The same of a length in metres."""
        return self.bare(1000 * length_m)

    def along(self, length_mm: float) -> str:
        """Along a rope, with the unit."""
        return f"{self.bare(length_mm)} {self.short}"

    def sides(self, width_mm: float, height_mm: float) -> str:
        """Of a board: '2400 × 1200 mm'."""
        return f"{self.bare(width_mm)} × {self.bare(height_mm)} {self.short}"

    def typed(self, length_m: float) -> str:
        """A length as an author writes it: '640 mm', '25.5 in'."""
        if self.inches:
            return f"{round(1000 * length_m / INCH_MM, 3):g} in"
        return f"{round(1000 * length_m, 1):g} mm"

    def bare_pack(self, value: float, unit: str) -> str:
        """What a pack holds: so much of what is cut, or so many of what is counted."""
        return self.reel(value, 1) if unit == "m" and self.inches else in_figures(f"{value:g}")

    def cut(self, length_m: float) -> str:
        """A length to cut, rounded up, bare: '954', '37-5/8'."""
        return self.cut_mm(whole_mm(length_m))

    def cut_mm(self, length_mm: float) -> str:
        """The same of whole millimetres."""
        if not self.inches:
            return f"{length_mm:.0f}"
        return _eighths(math.ceil(EIGHTHS * length_mm / INCH_MM - 1e-6))

    def bare_across(self, width_mm: float, digits: int = 1) -> str:
        """A thickness, a hole: '12.3', '0.48'."""
        if self.inches:
            return in_figures(f"{width_mm / INCH_MM:.{2 if width_mm >= FINE_MM else 3}f}")
        return in_figures(f"{width_mm:.{digits}f}")

    def across(self, width_mm: float, digits: int = 1) -> str:
        """The same with the unit."""
        return f"{self.bare_across(width_mm, digits)} {self.short}"

    def bare_stated(self, width_mm: float) -> str:
        """As finely as sheets state it: '4.5', '5', '0.18'."""
        return self.bare_across(width_mm) if self.inches else in_figures(f"{width_mm:g}")

    def stated(self, width_mm: float) -> str:
        """The same with the unit."""
        return f"{self.bare_stated(width_mm)} {self.short}"

    def bare_reel(self, length_m: float, digits: int = 2) -> str:
        """Of what is cut from a reel: '2.50', '8.20'."""
        return in_figures(f"{length_m / FOOT_M if self.inches else length_m:.{digits}f}")

    def reel(self, length_m: float, digits: int = 2) -> str:
        """The same with the unit."""
        return f"{self.bare_reel(length_m, digits)} {self.long}"

    def quantity(self, value: float, unit: str) -> str:
        """How much of something: '2.50 m' of what is cut, '3 pc' of what is counted."""
        return self.reel(value) if unit == "m" else say("{n} pc", n=f"{value:.0f}")

    def bare_quantity(self, value: float, unit: str) -> str:
        """How much of something, what is counted without a unit: '2.50 m', '3'."""
        return self.reel(value) if unit == "m" else f"{value:.0f}"

    def words(self, text: str) -> str:
        """Words of ours in these units; every quantity in them stands in mm, mm2 or m."""
        return squared(_said_quantity().sub(self._said, text) if self.inches else text)

    def _said(self, found: re.Match[str]) -> str:
        numbers, unit = found[1], found[2]
        values = [_value(number) for number in ONE.findall(numbers)]
        if unit in ("mm2", "mm²"):
            if not self.gauges:
                return found[0]
            gauges = [gauge_of(value) for value in values]
            if None not in gauges:
                return f"AWG {ONE.sub(lambda _: str(gauges.pop(0)), numbers)}"
            return f"{_each(numbers, lambda mm2: significant(mm2 / KCMIL_MM2, 3))} kcmil"
        if unit != "mm":
            return f"{_each(numbers, lambda m: self.bare_reel(m, 1))} ft"
        along = min(values) >= LEAST_ALONG_MM and not set(",.") & set(numbers)
        return f"{_each(numbers, self.bare if along else self.bare_across)} in"


ONE = re.compile(r"\d+(?:[.,]\d+)?")


def _value(number: str) -> float:
    return float(number.replace(",", "."))


def _each(numbers: str, said: Callable[[float], str]) -> str:
    """Words with each of their numbers said otherwise."""
    return ONE.sub(lambda number: said(_value(number[0])), numbers)


def _said_quantity() -> re.Pattern[str]:
    """One or several numbers and their unit, as the language of now says them."""
    signs = "." + in_figures(".")
    one, code = rf"\d+(?:[{signs}]\d+)?", language()
    numbers = rf"{one}(?: (?:{BETWEEN[code]}) {one})*"
    return re.compile(rf"(?<![\w.-])({numbers}) (mm[2²]?|m|{METRES[code]})(?![\w²/])")


METRIC = Units()


def gauge_of(area_mm2: float) -> str | None:
    """The gauge of a copper area, or that is taken in the place of a metric size; None for others.

    A gauge n is 0.127 mm times 92 to the (36 - n)/39 across (ASTM B258).
    """
    if area_mm2 in GAUGE_OF:
        return GAUGE_OF[area_mm2]
    across = math.sqrt(4 * area_mm2 / math.pi)
    exact = 36 - 39 * math.log(across / 0.127, 92)
    number = round(exact)
    if abs(exact - number) > 0.05 or not -3 <= number <= 40:
        return None
    return str(number) if number > 0 else f"{1 - number}/0"


def _eighths(count: int) -> str:
    """So many eighths of an inch: '37-1/2', '3/8', '12'."""
    whole, rest = divmod(abs(count), EIGHTHS)
    sign = "−" if count < 0 else ""
    if not rest:
        return f"{sign}{whole}"
    shared = math.gcd(rest, EIGHTHS)
    part = f"{rest // shared}/{EIGHTHS // shared}"
    return f"{sign}{whole}-{part}" if whole else f"{sign}{part}"
