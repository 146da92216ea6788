"""The thinnest wire that carries a current without harm and keeps the voltage drop."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from buildbook.calculators.model import (
    Amount,
    Answer,
    Calculator,
    Input,
    Mistake,
    Step,
    Table,
    Working,
)
from buildbook.calculators.reading import choice, size
from buildbook.calculators.wire_inputs import (
    ALLOW,
    CONDUCTOR,
    CURRENT,
    FAMILY,
    LENGTH,
    RETURN,
    SURROUNDINGS,
    SYSTEM,
    Surroundings,
    Wire,
    capacity_a,
    copper_c,
    copper_length_m,
    ohm_per_m,
    surroundings,
    too_hot,
    wires_of,
)
from buildbook.calculators.wire_steps import (
    allowance_step,
    copper_length_step,
    copper_steps,
    drop_step,
)
from buildbook.catalogue.load import wire_families
from buildbook.description.quantities import parse_size

SMALLEST = Input(
    "smallest", size(), "the thinnest wire you will use at all, for its strength", "0.35 mm2"
)
WIRE = Input("wire", choice(wire_families()), FAMILY.help, "thin-wall")
NOTES = (
    "Contacts, fuse and relay lose some of the voltage too: see `buildbook calc drop`.",
    "The fuse must protect this wire: see `buildbook calc fuse`.",
)
SHOWN_BELOW = 2
"""Sizes shown below the one that is chosen."""


def work(values: Mapping[str, Any]) -> Working | tuple[Mistake, ...]:
    """Try the sizes from the thinnest up; the first that meets every limit is the answer."""
    tried, where = wires_of(values["wire"]), surroundings(values)
    hot = too_hot(tried[0], where)
    if hot:
        return (hot,)
    failing = [_fails(wire, where, values) for wire in tried]
    place = next((i for i, fails in enumerate(failing) if not fails), None)
    if place is None:
        return _none_will_do(tried[-1], where, values, failing[-1])
    wire, current = tried[place], values["current"]
    governed = failing[place - 1] if place else ("no limit: the thinnest of its family",)
    at_c = copper_c(wire, where, current, values["conductor"])
    return Working(
        _steps(wire, where, values),
        (
            Answer("wire size", wire.conductor.label),
            Answer("wire family", wire.family.id),
            Answer("governed by", " and ".join(governed)),
            Answer("drop", Amount(_drop_v(wire, where, values), "V")),
            Answer("allowed drop", Amount(values["allow"].of(values["system"]), "V")),
            Answer("current capacity", Amount(capacity_a(wire, where), "A")),
            Answer("conductor temperature", Amount(at_c, "degC")),
        ),
        tables=(_tried(tried, failing, place, where, values),),
        notes=NOTES,
    )


def _drop_v(wire: Wire, where: Surroundings, values: Mapping[str, Any]) -> float:
    at_c = copper_c(wire, where, values["current"], values["conductor"])
    length = copper_length_m(values["length"], values["return"])
    return drop_step(values["current"], ohm_per_m(wire, at_c), length).result.value


def _fails(wire: Wire, where: Surroundings, values: Mapping[str, Any]) -> tuple[str, ...]:
    """The limits that a wire does not meet."""
    least = parse_size(values["smallest"]).area_mm2
    limits = {
        "smallest": wire.conductor.area_mm2 >= least - 1e-6,
        "heat": capacity_a(wire, where) >= values["current"],
        "drop": _drop_v(wire, where, values) <= values["allow"].of(values["system"]),
    }
    return tuple(name for name, met in limits.items() if not met)


def _steps(wire: Wire, where: Surroundings, values: Mapping[str, Any]) -> tuple[Step, ...]:
    copper = copper_steps(wire, where, values["current"], values["conductor"])
    length = copper_length_step(values["length"], values["return"])
    drop = drop_step(values["current"], copper[-1].result.value, length.result.value)
    return (allowance_step(values), *copper, length, drop)


def _tried(
    tried: Sequence[Wire],
    failing: Sequence[tuple[str, ...]],
    place: int,
    where: Surroundings,
    values: Mapping[str, Any],
) -> Table:
    rows = []
    shown = slice(max(0, place - SHOWN_BELOW), place + 2)
    for wire, fails in zip(tried[shown], failing[shown], strict=True):
        at_c = copper_c(wire, where, values["current"], values["conductor"])
        rows.append(
            (
                wire.conductor.label,
                f"{capacity_a(wire, where):.4g} A",
                f"{at_c:.4g} degC",
                f"{_drop_v(wire, where, values):.4g} V",
                "fails: " + ", ".join(fails) if fails else "meets every limit",
            )
        )
    columns = ("size", "capacity", "conductor", "drop", "")
    return Table("Sizes tried, from the thinnest up", columns, tuple(rows))


def _none_will_do(
    thickest: Wire, where: Surroundings, values: Mapping[str, Any], fails: tuple[str, ...]
) -> tuple[Mistake, ...]:
    label, capacity = thickest.conductor.label, capacity_a(thickest, where)
    drop, allowed = _drop_v(thickest, where, values), values["allow"].of(values["system"])
    found = {
        "heat": Mistake(
            "current",
            f"the thickest wire, {label}, carries {capacity:.4g} A there",
            "more would harm its insulation",
            "lay several in parallel, each with a fuse, or a hotter --wire",
        ),
        "drop": Mistake(
            "length",
            f"the thickest wire, {label}, still loses {drop:.4g} V of the {allowed:.4g} V allowed",
            "the load would not get its voltage",
            "shorten the run, allow more drop, or feed it at a higher --system",
        ),
        "smallest": Mistake(
            "smallest",
            f"no wire of the family is as thick as {values['smallest']}",
            "",
            f"the thickest is {label}",
        ),
    }
    return tuple(found[name] for name in fails)


CALCULATOR = Calculator(
    "size",
    "the thinnest wire for a current and a voltage drop",
    "Tries the sizes of a family from the thinnest up and takes the first that carries the "
    "current without passing its insulation's temperature and loses no more than is allowed.",
    "--current 20 A --length 12 ft --system 12 V --ambient 60 degC --bundle 8",
    (CURRENT, LENGTH, RETURN, SYSTEM, ALLOW, WIRE, SMALLEST, *SURROUNDINGS, CONDUCTOR),
    work,
)
