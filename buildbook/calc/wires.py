"""What the wire calculators share: finding a conductor, and its capacity step by step."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from buildbook.calc.model import Amount, Input, Mistake, Step
from buildbook.calc.reading import allowance, choice, count, quantity, size
from buildbook.catalogue.load import wire_families
from buildbook.catalogue.model import Conductor, WireFamily
from buildbook.sizing.altitude_derating import CONVECTED_SHARE, altitude_factor, pressure_ratio
from buildbook.sizing.ampacity import ampacity_a, conductor_c, free_air_a
from buildbook.sizing.bundle_derating import (
    FULL_BUNDLE,
    LOADED_SHARE,
    NEIGHBOUR_HEAT,
    bundle_factor,
)
from buildbook.sizing.heat_balance import (
    film_w_per_m2_k,
    heat_w_per_m,
    resistance_ratio,
    wall_k_m_per_w,
)

HEAT = "heat balance of a level wire in still air: Churchill and Chu 1975, grey radiation"
JOULE = "Joule's law"
OHM = "Ohm's law"
DERATING = "FAA AC 43.13-1B, 11-69"
TEMPERATURE = "FAA AC 43.13-1B, 11-66"
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


def resistance_step(wire: Wire, at_c: float, where: str) -> Step:
    """Resistance of a metre, corrected for its temperature."""
    return Step(
        f"Resistance of a metre of {wire.conductor.label} {where}",
        "resistance at 20 degC x (234.5 + temperature) / 254.5",
        "{} x (234.5 + {}) / 254.5",
        (Amount(wire.conductor.ohm_per_m_20c, "ohm/m"), Amount(at_c, "degC")),
        Amount(ohm_per_m(wire, at_c), "ohm/m"),
        f"{TEMPERATURE}; resistance at 20 degC: {wire.conductor.how}",
    )


def capacity_steps(wire: Wire, where: Surroundings) -> tuple[Step, ...]:
    """How the continuous current of a wire is found."""
    rated = wire.family.rated_c
    heat = heat_w_per_m(wire.conductor, rated, where.ambient_c)
    hot = resistance_step(wire, rated, "at its highest temperature")
    free = free_air_a(wire.conductor, rated, where.ambient_c)
    factor = bundle_factor(where.bundle, where.loaded_share)
    thin = altitude_factor(where.altitude_m)
    return (
        Step(
            "Heat that a metre sheds when it is as hot as its insulation stands",
            "through the insulation, then by convection and radiation, in balance",
            "wire of {} in air of {}, conductor at {}",
            (
                Amount(wire.conductor.outside_mm, "mm"),
                Amount(where.ambient_c, "degC"),
                Amount(rated, "degC"),
            ),
            Amount(heat, "W/m"),
            HEAT,
        ),
        hot,
        Step(
            "Current that makes as much heat, alone in still air",
            "square root of (heat / resistance)",
            "sqrt({} / {})",
            (Amount(heat, "W/m"), hot.result),
            Amount(free, "A"),
            JOULE,
        ),
        _bundle_step(where),
        *_altitude_steps(where),
        Step(
            "Current capacity where it lies",
            "current alone x bundle x altitude",
            "{} x {} x {}",
            (Amount(free, "A"), Amount(factor), Amount(thin)),
            Amount(capacity_a(wire, where), "A"),
            DERATING,
        ),
    )


def heat_steps(wire: Wire, where: Surroundings) -> tuple[Step, ...]:
    """The heat balance at the insulation's highest temperature, taken apart."""
    rated, ambient = wire.family.rated_c, where.ambient_c
    heat = heat_w_per_m(wire.conductor, rated, ambient)
    wall = wall_k_m_per_w(wire.conductor)
    surface = rated - heat * wall
    outside_m = wire.conductor.outside_mm / 1000
    film = film_w_per_m2_k(outside_m, surface, ambient)
    return (
        Step(
            "Surface of the insulation, where the heat that comes through it leaves it",
            "rated temperature - heat x resistance of a metre of the insulation to heat",
            "{} - {} x {}",
            (Amount(rated, "degC"), Amount(heat, "W/m"), Amount(wall, "K m/W")),
            Amount(surface, "degC"),
            "Fourier's law for a tube",
        ),
        Step(
            "Heat that a square metre of it gives to the air for each degree",
            "convection of a level cylinder and radiation",
            "surface {}, air {}, diameter {}",
            (
                Amount(surface, "degC"),
                Amount(ambient, "degC"),
                Amount(wire.conductor.outside_mm, "mm"),
            ),
            Amount(film, "W/(m2 K)"),
            HEAT,
        ),
        Step(
            "Check: the heat that leaves it is the same",
            "pi x diameter x heat for each degree x (surface - air)",
            "3.1416 x {} x {} x ({} - {})",
            (
                Amount(outside_m, "m"),
                Amount(film, "W/(m2 K)"),
                Amount(surface, "degC"),
                Amount(ambient, "degC"),
            ),
            Amount(math.pi * outside_m * film * (surface - ambient), "W/m"),
            "balance",
        ),
    )


def _bundle_step(where: Surroundings) -> Step:
    others = min(where.bundle, FULL_BUNDLE) - 1
    return Step(
        "Factor of the bundle",
        f"1 / sqrt(1 + {NEIGHBOUR_HEAT:g} x other wires (up to {FULL_BUNDLE - 1}) x share loaded)",
        f"1 / sqrt(1 + {NEIGHBOUR_HEAT:g} x {{}} x {{}})",
        (Amount(others), Amount(where.loaded_share)),
        Amount(bundle_factor(where.bundle, where.loaded_share)),
        f"{DERATING}, figure 11-5, as a formula fitted to it",
    )


def _altitude_steps(where: Surroundings) -> tuple[Step, Step]:
    pressure = Amount(pressure_ratio(where.altitude_m))
    return (
        Step(
            "Air pressure there against that at sea level",
            "standard atmosphere",
            "at {}",
            (Amount(where.altitude_m, "m"),),
            pressure,
            "ISO 2533",
        ),
        Step(
            "Factor of the thinner air",
            "sqrt(1 - share of the heat that air takes x (1 - sqrt(pressure)))",
            "sqrt(1 - {} x (1 - sqrt({})))",
            (Amount(CONVECTED_SHARE), pressure),
            Amount(altitude_factor(where.altitude_m)),
            f"{DERATING}, figure 11-6, as a formula fitted to it",
        ),
    )


def temperature_step(wire: Wire, where: Surroundings, current_a: float) -> Step:
    """Temperature of the conductor under its load."""
    return Step(
        "Conductor temperature under load",
        "ambient + (rated - ambient) x square root of (current / capacity)",
        "{} + ({} - {}) x sqrt({} / {})",
        (
            Amount(where.ambient_c, "degC"),
            Amount(wire.family.rated_c, "degC"),
            Amount(where.ambient_c, "degC"),
            Amount(current_a, "A"),
            Amount(capacity_a(wire, where), "A"),
        ),
        Amount(loaded_c(wire, where, current_a), "degC"),
        TEMPERATURE,
    )


def copper_c(wire: Wire, where: Surroundings, current_a: float, fixed_c: float | None) -> float:
    """Temperature of the copper, degC: as given, or as its current makes it."""
    return loaded_c(wire, where, current_a) if fixed_c is None else fixed_c


def copper_steps(
    wire: Wire, where: Surroundings, current_a: float, fixed_c: float | None
) -> tuple[Step, ...]:
    """Capacity, temperature under load and resistance of a metre, the last in every case."""
    at_c = copper_c(wire, where, current_a, fixed_c)
    if fixed_c is not None:
        return (*capacity_steps(wire, where), resistance_step(wire, at_c, "as given"))
    return (
        *capacity_steps(wire, where),
        temperature_step(wire, where, current_a),
        resistance_step(wire, at_c, "at that temperature"),
    )


def overload_notes(wire: Wire, where: Surroundings, current_a: float) -> tuple[str, ...]:
    """A caution where the current is more than the wire carries without harm."""
    capacity = capacity_a(wire, where)
    if current_a <= capacity:
        return ()
    return (
        f"CAUTION: {current_a:.4g} A is more than the {capacity:.4g} A that this wire carries "
        f"there without passing {wire.family.rated_c:g} degC. A wire overheated so burns: "
        "take a thicker one.",
    )


def copper_length_m(length_m: float, back: str) -> float:
    """Metres of wire that the current passes: there and, by a wire, back."""
    return 2 * length_m if back == "wire" else length_m


def copper_length_step(length_m: float, back: str) -> Step:
    """Length of the conductor, there and back."""
    times = 2 if back == "wire" else 1
    return Step(
        "Wire that the current passes",
        "length x 2, there and back" if times == 2 else "length; no wire back",
        "{} x {}",
        (Amount(length_m, "m"), Amount(times)),
        Amount(copper_length_m(length_m, back), "m"),
        "geometry",
    )


def allowance_step(values: Mapping[str, Any]) -> Step:
    """Volts that may be lost."""
    allow, system = values["allow"], values["system"]
    if allow.volts is not None:
        return Step(
            "Drop allowed",
            "as given",
            "{}",
            (Amount(allow.volts, "V"),),
            Amount(allow.volts, "V"),
            "the allowance given",
        )
    return Step(
        "Drop allowed",
        "share x nominal voltage",
        "{} x {}",
        (Amount(allow.share), Amount(system, "V")),
        Amount(allow.of(system), "V"),
        "the allowance given",
    )


def drop_step(current_a: float, ohms: float, length_m: float) -> Step:
    """Volts lost along a length of wire."""
    return Step(
        "Voltage drop in the wire",
        "current x resistance of a metre x length of wire",
        "{} x {} x {}",
        (Amount(current_a, "A"), Amount(ohms, "ohm/m"), Amount(length_m, "m")),
        Amount(current_a * ohms * length_m, "V"),
        OHM,
    )


def family_assumed(wire: Wire, asked: str | None) -> tuple[str, ...]:
    """Says which family was taken where none was named."""
    if asked:
        return ()
    return (f"wire family {wire.family.id}, the first that has {wire.conductor.label} (--wire)",)
