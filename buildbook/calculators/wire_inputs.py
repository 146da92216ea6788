"""What the wire calculators ask, the conductor that is meant, and what it carries."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from buildbook.calculators.model import Input, Mistake
from buildbook.calculators.reading import allowance, choice, count, quantity, size
from buildbook.catalogue.load import wire_families
from buildbook.catalogue.model import Conductor, WireFamily
from buildbook.sizing.ampacity import ampacity_a, conductor_c
from buildbook.sizing.bundle_derating import LOADED_SHARE
from buildbook.sizing.heat_balance import resistance_ratio

BATTERY = "battery"
LABELS = tuple(c.label for family in wire_families().values() for c in family.conductors)
"""Every size that there is."""
CURRENT = Input("current", quantity("A", above=0.0), "the steady current in the wire, such as 20 A")
LENGTH = Input(
    "length", quantity("m", above=0.0), "the way from source to load, such as 12 ft or 3.6 m"
)
RETURN = Input(
    "return",
    choice(("wire", "body")),
    "how the current comes back: by a wire of the same size and length, or by the body "
    "(also where --length already counts the way back)",
    "wire",
)
SYSTEM = Input(
    "system", quantity("V", above=0.0), "the nominal voltage, such as 12 V or 24 V", "12 V"
)
ALLOW = Input(
    "allow",
    allowance(),
    "the drop allowed there and back, in volts or as a share of --system, such as 0.5 V or 3 %",
    "3 %",
)
SIZE = Input("size", size(LABELS), "the conductor, such as 0.5 mm2 or AWG 20")
FAMILY = Input(
    "wire",
    choice(wire_families()),
    "the family of wire: " + ", ".join(wire_families()),
    optional=True,
)
AMBIENT = Input(
    "ambient", quantity("degC"), "the air around the wire, such as 60 degC or 140 degF", "40 degC"
)
BUNDLE = Input("bundle", count(1), "how many wires lie together, this one counted; 1 is alone", "1")
LOADED = Input(
    "loaded",
    quantity("1", above=0.0, most=1.0),
    "the share of the bundle that carries its full current at once",
    f"{100 * LOADED_SHARE:g} %",
)
ALTITUDE = Input(
    "altitude",
    quantity("m", least=0.0, most=20000.0),
    "the height above the sea, such as 4300 m or 14000 ft",
    "0 m",
)
CONDUCTOR = Input(
    "conductor",
    quantity("degC"),
    "the temperature to take the copper at, instead of working it out from the current",
    optional=True,
)
SURROUNDINGS = (AMBIENT, BUNDLE, LOADED, ALTITUDE)


@dataclass(frozen=True)
class Surroundings:
    """Where a wire lies."""

    ambient_c: float
    bundle: int
    loaded_share: float
    altitude_m: float


def surroundings(values: Mapping[str, Any]) -> Surroundings:
    """The surroundings out of a calculator's values."""
    return Surroundings(values["ambient"], values["bundle"], values["loaded"], values["altitude"])


@dataclass(frozen=True)
class Wire:
    """A conductor and the family that it comes from."""

    family: WireFamily
    conductor: Conductor


def find_wire(label: str, family: str | None) -> Wire | Mistake:
    """The conductor of a size, in the family named or the first that has it."""
    families = wire_families()
    for candidate in [families[family]] if family else families.values():
        for conductor in candidate.conductors:
            if conductor.label == label:
                return Wire(candidate, conductor)
    if family is None:
        return Mistake(
            "size",
            f"no family of wire has {label}",
            "resistance and diameter come from the catalogue",
            "sizes: " + ", ".join(c.label for f in families.values() for c in f.conductors),
        )
    return Mistake(
        "size",
        f"{family} is not made in {label}",
        "resistance and diameter come from the catalogue",
        f"{family} comes in " + ", ".join(c.label for c in families[family].conductors),
    )


def wires_of(family: str) -> tuple[Wire, ...]:
    """The sizes of a family, thinnest first, and battery cable above its thickest."""
    own = [Wire(wire_families()[family], c) for c in wire_families()[family].conductors]
    thickest = own[-1].conductor.area_mm2
    battery = wire_families()[BATTERY]
    return (
        *own,
        *(Wire(battery, c) for c in battery.conductors if c.area_mm2 > thickest),
    )


def too_hot(wire: Wire, where: Surroundings) -> Mistake | None:
    """The mistake of laying a wire in air that is hotter than its insulation stands."""
    if where.ambient_c < wire.family.rated_c:
        return None
    rated = wire.family.rated_c
    stand = [
        f"{f.id} {f.rated_c:g} degC"
        for f in wire_families().values()
        if f.rated_c > where.ambient_c
    ]
    return Mistake(
        "ambient",
        f"the air, {where.ambient_c:g} degC, is no cooler than {wire.family.id} stands, "
        f"{rated:g} degC",
        "a wire cannot shed its heat to air that is as hot as itself",
        f"take a hotter --wire: {', '.join(stand)}" if stand else "lay the wire where it is cooler",
    )


def wire_there(label: str, family: str | None, where: Surroundings) -> Wire | Mistake:
    """The conductor as `find_wire` finds it, or the mistake of laying it in air too hot for it."""
    wire = find_wire(label, family)
    return wire if isinstance(wire, Mistake) else too_hot(wire, where) or wire


def capacity_a(wire: Wire, where: Surroundings) -> float:
    """Continuous current of a wire where it lies, A."""
    return ampacity_a(
        wire.conductor,
        wire.family.rated_c,
        where.ambient_c,
        where.bundle,
        where.altitude_m,
        where.loaded_share,
    )


def loaded_c(wire: Wire, where: Surroundings, current_a: float) -> float:
    """Conductor temperature of a wire under its current, degC."""
    capacity = capacity_a(wire, where)
    return conductor_c(current_a, capacity, wire.family.rated_c, where.ambient_c)


def ohm_per_m(wire: Wire, temperature_c: float) -> float:
    """Resistance of a metre of the conductor at a temperature."""
    return wire.conductor.ohm_per_m_20c * resistance_ratio(temperature_c)


def copper_c(wire: Wire, where: Surroundings, current_a: float, fixed_c: float | None) -> float:
    """Temperature of the copper, degC: as given, or as its current makes it."""
    return loaded_c(wire, where, current_a) if fixed_c is None else fixed_c


def copper_length_m(length_m: float, back: str) -> float:
    """Metres of wire that the current passes: there and, by a wire, back."""
    return 2 * length_m if back == "wire" else length_m


def family_assumed(wire: Wire, asked: str | None) -> tuple[str, ...]:
    """Says which family was taken where none was named."""
    if asked:
        return ()
    return (f"wire family {wire.family.id}, the first that has {wire.conductor.label} (--wire)",)
