"""Quantities as people write them: '640 mm', '9 in', 'AWG 20', '0.5 mm2', '12 A'."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from functools import cache, lru_cache
from typing import Annotated, Any

import pint
from pydantic import (
    BeforeValidator,
    GetCoreSchemaHandler,
    GetJsonSchemaHandler,
    PlainSerializer,
    WithJsonSchema,
)
from pydantic_core import core_schema

EXAMPLES = {
    "m": "640 mm or 9 in",
    "A": "12 A or 300 mA",
    "V": "12 V or 50 mV",
    "W": "21 W",
    "ohm": "90 ohm or 8 mohm",
    "s": "150 ms",
    "degC": "85 degC or 185 degF",
    "mm**2": "0.5 mm2 or AWG 20",
    "rpm": "900 rpm",
    "Hz": "250 Hz or 20 kHz",
    "hour": "20 h",
    "Ah": "40 Ah",
    "kg": "350 g or 1.2 kg",
    "1": "30 % or 0.3",
    "bar": "4 bar or 60 psi",
    "K": "3435 K",
}

SPELLED = {"mm2": "mm**2", "mm²": "mm**2", "mohm": "milliohm", "kohm": "kiloohm", "C": "degC"}
"""Units as people write them -> as the registry knows them."""

MISTAKEN = {
    "m": ("mm", "cm", "in", "m"),
    "A": ("mA", "A"),
    "V": ("mV", "V"),
    "W": ("mW", "W", "kW"),
    "ohm": ("mohm", "ohm", "kohm"),
    "s": ("ms", "s"),
    "degC": ("degF", "K"),
    "hour": ("min", "h"),
    "Hz": ("Hz", "kHz"),
    "kg": ("g", "kg"),
    "1": ("%",),
}
"""Units that are written for one another, the likeliest first."""

SHOWN = {"mm**2": "mm2", "hour": "h"}

PREFIXES = ((1.0, ""), (1e-3, "m"), (1e-6, "u"), (1e-9, "n"))

FINEST = 1e-12
"""What is less, in the unit that is held, and not zero, was not meant: no data sheet states a
picoampere or a picometre. Our choice."""

UNIT_WORD = re.compile(r"[A-Za-zµμΩΩ°]{1,20}")
"""One unit and nothing to work out: the registry would evaluate powers of any size."""

LONGEST = 60


@cache
def registry() -> pint.UnitRegistry[Any]:
    """The one unit registry; built on first use because building it is slow."""
    units: pint.UnitRegistry[Any] = pint.UnitRegistry(autoconvert_offset_to_baseunit=True)
    units.define("Ah = ampere * hour")
    return units


def _in_registry(magnitude: float, unit: str) -> pint.Quantity[Any]:
    """A magnitude in a unit as people write it; ValueError where that is not one unit."""
    if unit not in SPELLED and not UNIT_WORD.fullmatch(unit):
        raise ValueError
    return registry().Quantity(magnitude, SPELLED.get(unit, unit))


@lru_cache(maxsize=4096)
def _in_unit(magnitude: float, unit_text: str, unit: str) -> float:
    """A magnitude turned into another unit; a description says the same ones again and again."""
    return float(_in_registry(magnitude, unit_text).to(unit).magnitude)


def _without_fraction(text: str) -> str:
    """`37 1/2 in` or `37-1/2 in`, as a tape is read, as `37.5 in`; anything else as it is."""
    found = re.fullmatch(r"\s*(?:(\d{1,6})(?:\s+|-))?(\d{1,3})/([1-9]\d{0,2})(\s*\D.*)", text)
    if not found:
        return text
    return f"{int(found[1] or 0) + int(found[2]) / int(found[3])!r}{found[4]}"


def parse(text: object, unit: str) -> float:
    """Return the magnitude of `text` in `unit`; ValueError says what was expected."""
    example = EXAMPLES.get(unit, f"a value in {unit}")
    if isinstance(text, bool) or not isinstance(text, (str, int, float)):
        raise ValueError(f"expected a quantity such as {example}")
    if isinstance(text, (int, float)):
        if unit == "1" and math.isfinite(text):
            return float(text)
        raise ValueError(f"the number {text} has no unit; write for example {example}")
    if len(text) > LONGEST:
        raise ValueError(f"too long to be a quantity; write for example {example}")
    if re.match(r"\s*[-+]?[0-9]+,[0-9]", text):
        raise ValueError(f"'{text}' has a decimal comma; write a point, for example {example}")
    match = re.fullmatch(
        r"\s*([-+]?[0-9]*\.?[0-9]+(?:[eE][-+]?\d+)?)\s*(.*?)\s*",
        _without_fraction(text) if unit == "m" else text,
    )
    if not match:
        raise ValueError(f"'{text}' is not a quantity; write for example {example}")
    magnitude, unit_text = float(match[1]), match[2]
    if not math.isfinite(magnitude):
        raise ValueError(f"'{text}' is out of range; write for example {example}")
    if unit == "1":
        if unit_text not in ("", "%"):
            raise ValueError(f"'{text}' is not a share; write for example {example}")
        return magnitude / 100 if unit_text == "%" else magnitude
    if not unit_text:
        raise ValueError(f"'{text}' has no unit; write for example {example}")
    try:
        return _in_unit(magnitude, unit_text, unit)
    except (pint.UndefinedUnitError, pint.DimensionalityError, AttributeError, ValueError):
        raise ValueError(
            f"'{unit_text}' is not a unit that fits here; write for example {example}"
        ) from None


@dataclass(frozen=True)
class Quantity:
    """Marks a float field as a quantity that is written with a unit and held in `unit`.

    `least` and `most` are what is possible there, in that unit.
    """

    unit: str
    least: float = -math.inf
    most: float = math.inf
    units: tuple[str, ...] = ()
    """Units that are written for one another, the likeliest first; those of the unit if none."""

    def __get_pydantic_core_schema__(
        self, source: Any, handler: GetCoreSchemaHandler
    ) -> core_schema.CoreSchema:
        return core_schema.no_info_before_validator_function(self._read, handler(source))

    def __get_pydantic_json_schema__(
        self, _schema: core_schema.CoreSchema, _handler: GetJsonSchemaHandler
    ) -> dict[str, Any]:
        examples = EXAMPLES.get(self.unit, "").split(" or ")
        return {"type": ["string", "number"], "examples": examples}

    def holds(self, value: float) -> bool:
        """Whether a value in `unit` is possible."""
        return self.least <= value <= self.most and (value == 0 or abs(value) >= FINEST)

    def read(self, text: object) -> float:
        """The magnitude in `unit`; ValueError says what was expected, or what is possible."""
        value = parse(text, self.unit)
        if self.holds(value):
            return value
        raise ValueError(f"`{text}` {self._refused(value)}; {self._meant(text)}")

    _read = read

    def _refused(self, value: float) -> str:
        if value <= 0 < self.least:
            return "must be above zero"
        if value < 0 <= self.least:
            return "cannot be below zero"
        if value > self.most:
            return f"is more than is possible here: at most {written(self.most, self.unit)}"
        if value < self.least:
            return f"is less than is possible here: at least {written(self.least, self.unit)}"
        return "is so little that nobody could measure it"

    def _meant(self, text: object) -> str:
        """The unit in which the same number would be possible, as a hint."""
        number = re.match(r"\s*([-+]?[0-9.]+(?:[eE][-+]?\d+)?)", str(text))
        for unit in (self.units or MISTAKEN.get(self.unit, ())) if number else ():
            if number and self.holds(parse(f"{number[1]} {unit}", self.unit)):
                return f"did you mean {unit}?"
        return f"write for example {EXAMPLES.get(self.unit, 'another')}"


def written(value: float, unit: str) -> str:
    """A bound as an author writes it: '100 m', '0.1 %', '1 mm'."""
    if unit == "1":
        return f"{100 * value:g} %"
    scale, prefix = next(((s, p) for s, p in PREFIXES if abs(value) >= s), (1.0, ""))
    return f"{value / scale:g} {prefix if value else ''}{SHOWN.get(unit, unit)}"


@dataclass(frozen=True)
class WireSize:
    """A conductor size as the author wrote it, and its copper area in mm2."""

    label: str
    area_mm2: float


THINNEST_AWG, THICKEST_AWG = 40, -3
"""AWG 40 to 4/0, the gauges of ASTM B258 that a harness could use."""


def awg_diameter_mm(gauge: int) -> float:
    """Solid diameter of an American gauge number; 0, -1, -2, -3 are 1/0 to 4/0 (ASTM B258)."""
    return float(0.127 * 92 ** ((36 - gauge) / 39))


def parse_size(text: object) -> WireSize:
    """Read '0.5 mm2' or 'AWG 20'; ValueError says what was expected."""
    if isinstance(text, WireSize):
        return text
    if not isinstance(text, str):
        raise ValueError("expected a wire size such as 0.5 mm2 or AWG 20")
    match = re.fullmatch(r"\s*AWG\s*(\d{1,3})(/0)?\s*", text)
    if match:
        gauge = 1 - int(match[1]) if match[2] else int(match[1])
        if not THICKEST_AWG <= gauge <= THINNEST_AWG:
            raise ValueError(f"there is no {text.strip()}; gauges go from AWG 40 to AWG 4/0")
        area_mm2 = 3.141592653589793 / 4 * awg_diameter_mm(gauge) ** 2
        return WireSize(f"AWG {match[1]}{match[2] or ''}", round(area_mm2, 4))
    area_mm2 = parse(text, "mm**2")
    if area_mm2 <= 0:
        raise ValueError("a wire size must be above zero")
    return WireSize(f"{area_mm2:g} mm2", area_mm2)


@dataclass(frozen=True)
class WithinSize:
    """Refuses a conductor below or above what is possible, in mm2."""

    least_mm2: float
    most_mm2: float

    def __get_pydantic_core_schema__(
        self, source: Any, handler: GetCoreSchemaHandler
    ) -> core_schema.CoreSchema:
        return core_schema.no_info_after_validator_function(self._checked, handler(source))

    def _checked(self, size: WireSize) -> WireSize:
        if self.least_mm2 <= size.area_mm2 <= self.most_mm2:
            return size
        sizes = f"{self.least_mm2:g} to {self.most_mm2:g} mm2"
        raise ValueError(f"no wire has {size.label}: {sizes} are possible; write 0.5 mm2 or AWG 20")


Size = Annotated[
    WireSize,
    BeforeValidator(parse_size),
    PlainSerializer(lambda size: size.label),
    WithJsonSchema({"type": "string", "examples": ["0.5 mm2", "AWG 20"]}),
]


@dataclass(frozen=True)
class Measured:
    """What a sensor measures, in the unit the author chose: 90 degC, 4 bar, 30 %."""

    value: float
    unit: str

    def __str__(self) -> str:
        return f"{self.value:g} {self.unit}"


MOST_MEASURED = 1e9
"""In any unit: our choice."""


def parse_measured(text: object) -> Measured:
    """Read a quantity of any kind and keep its unit; ValueError says what was expected."""
    if isinstance(text, Measured):
        return text
    match = re.fullmatch(r"\s*([-+]?[0-9]*\.?[0-9]+)\s*(\S+)\s*", str(text))
    if not match or isinstance(text, (bool, int, float)) or len(str(text)) > LONGEST:
        raise ValueError(f"'{text}' is not a quantity; write for example 90 degC, 4 bar or 30 %")
    value, unit = float(match[1]), match[2]
    if abs(value) > MOST_MEASURED:
        raise ValueError(f"'{text}' is more than any sensor measures; write for example 90 degC")
    if unit != "%":
        try:
            found = _in_registry(value, unit)
        except (pint.UndefinedUnitError, AttributeError, ValueError):
            raise ValueError(
                f"'{unit}' is not a unit; write for example 90 degC, 4 bar or 30 %"
            ) from None
        if found.check("[temperature]") and found.to("K").magnitude < 0:
            raise ValueError(f"'{text}' lies below absolute zero; write for example 20 degC")
    return Measured(value, unit)


def in_unit_of(value: Measured, other: Measured) -> float:
    """The magnitude of `value` in the unit of `other`; ValueError where they do not match."""
    if value.unit == other.unit:
        return value.value
    if "%" in (value.unit, other.unit):
        raise ValueError(f"'{value}' is not in {other.unit}")
    try:
        found = _in_registry(value.value, value.unit)
        return float(found.to(SPELLED.get(other.unit, other.unit)).magnitude)
    except pint.DimensionalityError:
        raise ValueError(f"'{value}' is not in {other.unit} or a unit like it") from None


MeasuredValue = Annotated[
    Measured,
    BeforeValidator(parse_measured),
    PlainSerializer(str),
    WithJsonSchema({"type": "string", "examples": ["90 degC", "4 bar", "30 %"]}),
]
