"""Wire families that the author adds to the catalogue, each value judged for sense."""

from __future__ import annotations

import math
from itertools import pairwise

from buildbook.catalogue.mass import insulated_kg_per_m
from buildbook.catalogue.model import Conductor, WireFamily
from buildbook.description import models as written
from buildbook.vehicle.scope import Path, Scope

COPPER_OHM_MM2_PER_M = 0.017241
"""Annealed copper at 20 degC (IEC 60028, memory)."""
LEAST_OF_COPPER, MOST_OF_COPPER = 0.8, 3.0
"""A gauge may hold a fifth more copper than its number says (AC 43.13-1B, table 11-9); beyond
three times copper's resistance a unit was mistaken, whatever the metal (judgement)."""


def add_own_families(scope: Scope) -> None:
    """Put the description's families beside the catalogue's; what makes no sense is a problem."""
    catalogue = set(scope.wires)
    for name, family in scope.description.wires.items():
        path = ("wires", name)
        if name in catalogue:
            scope.say(
                path,
                f"wire family `{name}` is in the catalogue already",
                "a circuit could not tell the two apart",
                "give yours another name",
            )
            continue
        _check_temperatures(scope, path, family)
        conductors = [_conductor(scope, (*path, "sizes", i), s) for i, s in enumerate(family.sizes)]
        conductors.sort(key=lambda c: c.area_mm2)
        _check_order(scope, path, conductors)
        overload_c = family.rated if family.overload is None else family.overload
        scope.wires[name] = WireFamily(
            name,
            family.title,
            family.rated,
            tuple(conductors),
            family.source,
            overload_c,
            overload_c if family.short_circuit is None else family.short_circuit,
        )


def _check_temperatures(scope: Scope, path: Path, family: written.OwnWire) -> None:
    least_key, least_c = "rated", family.rated
    for key, stood in (("overload", family.overload), ("short circuit", family.short_circuit)):
        if stood is not None and stood < least_c:
            scope.say(
                (*path, key),
                f"`{key}` of {stood:g} degC is below `{least_key}`, {least_c:g} degC",
                "insulation stands the more the shorter it lasts: `rated` is for ever, `overload` "
                "for hours, `short circuit` for up to 5 s",
            )
        elif stood is not None:
            least_key, least_c = key, stood


def _conductor(scope: Scope, path: Path, row: written.OwnSize) -> Conductor:
    area_mm2, outside_mm = row.size.area_mm2, row.outside * 1000
    ohm_per_m = row.resistance_of_1_km / 1000
    of_copper = ohm_per_m * area_mm2 / COPPER_OHM_MM2_PER_M
    if not LEAST_OF_COPPER < of_copper < MOST_OF_COPPER:
        scope.say(
            (*path, "resistance of 1 km"),
            f"{row.size.label} of this resistance would conduct {1 / of_copper:.2g} times as well "
            "as copper",
            f"copper of {row.size.label} has "
            f"{1000 * COPPER_OHM_MM2_PER_M / area_mm2:.3g} ohm in a kilometre",
            "give the ohms of 1 km at 20 degC",
        )
    if outside_mm <= math.sqrt(4 * area_mm2 / math.pi):
        scope.say(
            (*path, "outside"),
            f"{row.size.label} of copper alone is wider than {outside_mm:g} mm",
            "",
            "give the diameter over the insulation",
        )
    mass = row.mass_of_1_km
    return Conductor(
        row.size.label,
        area_mm2,
        ohm_per_m,
        outside_mm,
        insulated_kg_per_m(area_mm2, outside_mm) if mass is None else mass / 1000,
        "author's data sheet" + (", mass computed" if mass is None else ""),
        row.strands,
        1000 * row.strand,
    )


def _check_order(scope: Scope, path: Path, conductors: list[Conductor]) -> None:
    for thin, thick in pairwise(conductors):
        if thin.label == thick.label:
            scope.say((*path, "sizes"), f"size {thin.label} is given twice")
        elif thick.ohm_per_m_20c >= thin.ohm_per_m_20c:
            scope.say(
                (*path, "sizes"),
                f"{thick.label} resists no less than {thin.label}",
                "thicker wire of one kind conducts better",
            )
