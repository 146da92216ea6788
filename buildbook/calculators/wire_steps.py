"""The working of the wire calculators, step by step: capacity, temperature, resistance, drop."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from buildbook.calculators.model import Amount, Step
from buildbook.calculators.wire_inputs import (
    Surroundings,
    Wire,
    capacity_a,
    copper_c,
    copper_length_m,
    loaded_c,
    ohm_per_m,
)
from buildbook.catalogue.copper import FROM_ZERO_TO_REFERENCE_C, ZERO_RESISTANCE_C
from buildbook.sizing.altitude_derating import CONVECTED_SHARE, altitude_factor, pressure_ratio
from buildbook.sizing.ampacity import free_air_a
from buildbook.sizing.bundle_derating import FULL_BUNDLE, NEIGHBOUR_HEAT, bundle_factor
from buildbook.sizing.heat_balance import (
    film_w_per_m2_k,
    heat_w_per_m,
    wall_k_m_per_w,
)

HEAT = "heat balance of a level wire in still air: Churchill and Chu 1975, grey radiation"
JOULE = "Joule's law"
OHM = "Ohm's law"
DERATING = "FAA AC 43.13-1B, 11-69"
TEMPERATURE = "FAA AC 43.13-1B, 11-66"
COPPER_C = f"{ZERO_RESISTANCE_C:g}"
FROM_20_C = f"{FROM_ZERO_TO_REFERENCE_C:g}"
"""The constants of `sizing.heat.resistance_ratio` as printed."""


def resistance_step(wire: Wire, at_c: float, where: str) -> Step:
    """Resistance of a metre, corrected for its temperature."""
    return Step(
        f"Resistance of a metre of {wire.conductor.label} {where}",
        f"resistance at 20 degC x ({COPPER_C} + temperature) / {FROM_20_C}",
        f"{{}} x ({COPPER_C} + {{}}) / {FROM_20_C}",
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
