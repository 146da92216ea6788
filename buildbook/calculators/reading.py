"""Reads what people type into values, and says everything that is wrong with it at once."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from buildbook.calculators.model import Calculator, Given, Mistake, Reader
from buildbook.description.quantities import parse, parse_size
from buildbook.description.suggest import did_you_mean

PLACEHOLDERS = {
    "A": "CURRENT",
    "V": "VOLTS",
    "m": "LENGTH",
    "mm": "LENGTH",
    "degC": "TEMPERATURE",
    "s": "TIME",
    "ohm": "OHMS",
    "rpm": "SPEED",
    "K": "KELVIN",
    "Ah": "CAPACITY",
    "1": "SHARE",
}
THINNEST_MM, THICKEST_MM = 0.01, 1000.0
COLDEST_C, HOTTEST_C = -200.0, 1000.0
"""Nothing in a vehicle is colder or hotter; copper's law of resistance ends at -234.5 degC."""
MOST_WIRES = 1000
LONGEST_ROW = 120
FEET_AND_INCHES = re.compile(r"\s*(\d{1,4}\s*ft)\s+(\d{1,3}(?:\.\d{1,6})?\s*in)\s*")
TINY, HUGE = 1e-9, 1e9
"""Nothing that is typed here is nearer zero or further from it, in the unit of the working."""


def quantity(
    unit: str, least: float | None = None, above: float | None = None, most: float | None = None
) -> Reader:
    """A number with a unit, held in `unit`, within limits that are in `unit` too."""
    if unit == "degC":
        least = COLDEST_C if least is None else least
        most = HOTTEST_C if most is None else most

    def read(text: str) -> float:
        value = sane(text, unit)
        _within(value, unit, least, above, most)
        return value

    return Reader(PLACEHOLDERS[unit], unit, read)


def sane(text: str, unit: str) -> float:
    """A quantity in `unit` that is zero or of a size that something in a vehicle has.

    A length may be feet and inches: '7 ft 2 in'.
    """
    both = FEET_AND_INCHES.fullmatch(text) if unit in ("m", "mm") else None
    value = parse(both[1], unit) + parse(both[2], unit) if both else parse(text, unit)
    if unit == "degC" and abs(value) < TINY:
        value = 0.0  # 32 degF, by way of kelvins
    if value and not TINY <= abs(value) <= HUGE:
        raise ValueError(f"'{text}' is too {'small' if abs(value) < TINY else 'large'} to be meant")
    return value


def _within(
    value: float, unit: str, least: float | None, above: float | None, most: float | None
) -> None:
    words = {"1": ""}.get(unit, f" {unit}")
    if least is not None and value < least:
        raise ValueError(f"it must be {least:g}{words} or more, not {value:g}{words}")
    if above is not None and value <= above:
        raise ValueError(f"it must be above {above:g}{words}, not {value:g}{words}")
    if most is not None and value > most:
        raise ValueError(f"it must be {most:g}{words} or less, not {value:g}{words}")


def count(least: int = 0, most: int = MOST_WIRES) -> Reader:
    """A whole number."""

    def read(text: str) -> int:
        if not re.fullmatch(r"\s*[0-9]{1,9}\s*", text):
            raise ValueError(f"'{text}' is not a whole number; write for example {max(least, 1)}")
        number = int(text)
        _within(number, "1", least, None, most)
        return number

    return Reader("COUNT", "", read)


def size(known: Iterable[str] = ()) -> Reader:
    """A conductor size as its label; one of `known`, where they are given."""
    labels = tuple(dict.fromkeys(known))

    def read(text: str) -> str:
        label = parse_size(text).label
        if labels and label not in labels:
            raise ValueError(f"no family of wire has {label}; sizes: {', '.join(labels)}")
        return label

    return Reader("SIZE", "", read)


def choice(names: Iterable[str]) -> Reader:
    """One of some names."""
    known = tuple(names)

    def read(text: str) -> str:
        if text.strip() not in known:
            raise ValueError(f"'{text}' is not known; {did_you_mean(text.strip(), known)}")
        return text.strip()

    return Reader("NAME", "", read)


@dataclass(frozen=True)
class Allowance:
    """A drop that may be lost: volts, or a share of the system's voltage."""

    volts: float | None
    share: float | None

    def of(self, system_v: float) -> float:
        """The allowance in volts."""
        return self.volts if self.volts is not None else (self.share or 0.0) * system_v


def allowance() -> Reader:
    """Volts or a share: '0.5 V' or '3 %'."""

    def read(text: str) -> Allowance:
        if text.strip().endswith("%"):
            share = sane(text, "1")
            _within(100 * share, "%", None, 0.0, 100.0)
            return Allowance(None, share)
        try:
            volts = sane(text, "V")
        except ValueError:
            raise ValueError(
                f"'{text}' is neither volts nor a share; write for example 0.5 V or 3 %"
            ) from None
        _within(volts, "V", None, 0.0, None)
        return Allowance(volts, None)

    return Reader("VOLTS or %", "", read)


def listed(placeholder: str, one: Callable[[str], Any], unit: str = "", most: int = 200) -> Reader:
    """Several items with commas between them, each read by `one`; `unit` names all of a row."""

    def read(text: str) -> tuple[Any, ...]:
        items = [item.strip() for item in text.split(",")]
        if len(items) > most:
            raise ValueError(f"{len(items)} items are too many; {most} are allowed")
        if not all(items):
            raise ValueError("there is nothing between two commas")
        return tuple(one(item) for item in items)

    return Reader(placeholder, unit, read)


NUMBER_AND_UNIT = re.compile(r"[-+]?\d*\.?\d+\s*(?:%|[A-Za-zµμΩΩ°]+\d*)")


@dataclass(frozen=True)
class Row:
    """Some quantities written side by side, and the words before them."""

    name: str
    values: tuple[float, ...]


def row(text: str, units: tuple[str, ...], example: str, named: bool = False) -> Row:
    """Read quantities side by side in the order of `units`: '1500 rpm 20 A'."""
    if len(text) > LONGEST_ROW:
        raise ValueError(f"it is too long; write for example {example}")
    first = NUMBER_AND_UNIT.search(text)
    name = text[: first.start()].strip(" :") if first else text.strip()
    found = NUMBER_AND_UNIT.findall(text)
    left = NUMBER_AND_UNIT.sub("", text[first.start() :]).strip() if first else text
    if left or len(found) != len(units) or (name and not named):
        raise ValueError(f"'{text}' is not what goes here; write for example {example}")
    return Row(name, tuple(sane(one, unit) for one, unit in zip(found, units, strict=True)))


@dataclass(frozen=True)
class Group:
    """So many wires alike: of a conductor size, or of an outside diameter."""

    count: int
    label: str | None
    outside_mm: float | None


def group(text: str) -> Group:
    """Read '12 x 0.5 mm2', 'AWG 20' or '2 x 3.4 mm', a diameter outside."""
    match = re.fullmatch(r"(?:(\d{1,4})\s*[x×]\s*)?(.+)", text.strip())
    number, what = (int(match[1] or 1), match[2]) if match else (1, text)
    if not 1 <= number <= MOST_WIRES:
        raise ValueError(f"'{text}': there must be 1 to {MOST_WIRES} of them")
    try:
        return Group(number, parse_size(what).label, None)
    except ValueError:
        pass
    try:
        outside = 1000 * sane(what, "m")
    except ValueError:
        raise ValueError(
            f"'{text}' is neither wires nor diameters; write for example 12 x 0.5 mm2, "
            "3 x AWG 12 or 2 x 3.4 mm"
        ) from None
    _within(outside, "mm", THINNEST_MM, None, THICKEST_MM)
    return Group(number, None, outside)


def read_inputs(
    calculator: Calculator, texts: Mapping[str, str | None]
) -> tuple[tuple[Given, ...], tuple[Mistake, ...]]:
    """Every input with its value, defaults filled in, and every mistake that was found."""
    given: list[Given] = []
    mistakes: list[Mistake] = []
    for asked in calculator.inputs:
        text = texts.get(asked.name)
        assumed = text is None
        text = asked.default if text is None else text
        if assumed and not asked.default:
            if not asked.optional:
                mistakes.append(
                    Mistake(
                        asked.name,
                        "it is missing",
                        f"the sum needs {asked.help}",
                        _example(calculator, asked.name),
                    )
                )
            given.append(Given(asked, "", None, True))
            continue
        try:
            given.append(Given(asked, text.strip(), asked.reader.read(text), assumed))
        except ValueError as reason:
            mistakes.append(
                Mistake(
                    asked.name,
                    str(reason),
                    f"it stands for {asked.help}",
                    _example(calculator, asked.name),
                )
            )
    return tuple(given), tuple(mistakes)


def _example(calculator: Calculator, name: str) -> str:
    """How the calculator's own example writes an input, as a hint."""
    found = re.search(rf"--{name} (.+?)(?= --|$)", calculator.example)
    return f"write for example --{name} {found[1]}" if found else ""
