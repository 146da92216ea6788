"""Voltage drop of a wire and of what lies in its path, with the copper at its own temperature."""

from __future__ import annotations

from collections.abc import Mapping
from math import fsum
from typing import Any

from buildbook.calculators.model import Amount, Answer, Calculator, Input, Mistake, Step, Working
from buildbook.calculators.reading import choice, count, quantity
from buildbook.calculators.wire_inputs import (
    ALLOW,
    CONDUCTOR,
    CURRENT,
    FAMILY,
    LENGTH,
    RETURN,
    SIZE,
    SURROUNDINGS,
    SYSTEM,
    copper_c,
    copper_length_m,
    family_assumed,
    ohm_per_m,
    surroundings,
    wire_there,
)
from buildbook.calculators.wire_steps import (
    OHM,
    allowance_step,
    copper_length_step,
    copper_steps,
    drop_step,
    overload_notes,
)
from buildbook.catalogue.load import contact_families, fuse_families

CONTACTS = Input("contacts", count(0, 100), "how many mated contacts are in the path", "0")
CONTACT = Input(
    "contact",
    choice(contact_families()),
    "their family: " + ", ".join(contact_families()),
    "pin-2.8",
)
FUSE = Input(
    "fuse",
    choice(fuse_families()),
    "the family of the fuse in the path: " + ", ".join(fuse_families()),
    "blade",
)
RATING = Input(
    "rating",
    quantity("A", above=0.0),
    "the rating of the fuse in the path, such as 15 A; not given: no fuse",
    optional=True,
)
OTHER = Input(
    "other",
    quantity("ohm", least=0.0),
    "what else the current passes: relay, switch, splices, such as 10 mohm",
    "0 ohm",
)


def work(values: Mapping[str, Any]) -> Working | tuple[Mistake, ...]:
    """Volts lost in wire, contacts and fuse, beside what is allowed."""
    where, current = surroundings(values), values["current"]
    wire = wire_there(values["size"], values["wire"], where)
    if isinstance(wire, Mistake):
        return (wire,)
    length = copper_length_m(values["length"], values["return"])
    at_c = copper_c(wire, where, current, values["conductor"])
    lost = drop_step(current, ohm_per_m(wire, at_c), length)
    rest = _rest_steps(values)
    lossy = (lost, *rest)
    drop = fsum(step.result.value for step in lossy)
    total = Step(
        "Drop in all",
        "sum of the drops",
        " + ".join(["{}"] * len(lossy)),
        tuple(step.result for step in lossy),
        Amount(drop, "V"),
        OHM,
    )
    steps = (
        *copper_steps(wire, where, current, values["conductor"]),
        copper_length_step(values["length"], values["return"]),
        *lossy,
        total,
        allowance_step(values),
    )
    return Working(
        steps,
        _answers(values, drop),
        assumed=family_assumed(wire, values["wire"]),
        notes=overload_notes(wire, where, current),
        unused=_unused(values),
    )


def _unused(values: Mapping[str, Any]) -> frozenset[str]:
    idle = {"contact"} if not values["contacts"] else set()
    return frozenset(idle | ({"fuse"} if values["rating"] is None else set()))


def _rest_steps(values: Mapping[str, Any]) -> tuple[Step, ...]:
    """Drops beside the wire's own: contacts, fuse, and whatever else is in the path."""
    current, rating = values["current"], values["rating"]
    steps = []
    if values["contacts"]:
        steps.append(_contact_step(current, values["contacts"], values["contact"]))
    if rating is not None:
        family = fuse_families()[values["fuse"]]
        steps.append(
            Step(
                "Voltage drop in the fuse",
                "current x drop at rated current / rating",
                "{} x {} / {}",
                (Amount(current, "A"), Amount(family.ohms_at_1a, "V"), Amount(rating, "A")),
                Amount(current * family.ohms_at_1a / rating, "V"),
                family.source,
            )
        )
    if values["other"]:
        other = values["other"]
        steps.append(
            Step(
                "Voltage drop in the rest",
                "current x resistance",
                "{} x {}",
                (Amount(current, "A"), Amount(other, "ohm")),
                Amount(current * other, "V"),
                OHM,
            )
        )
    return tuple(steps)


def _contact_step(current_a: float, number: int, family: str) -> Step:
    contact = contact_families()[family]
    return Step(
        "Voltage drop in the contacts",
        "current x contacts x resistance of one",
        "{} x {} x {}",
        (Amount(current_a, "A"), Amount(number), Amount(contact.ohms, "ohm")),
        Amount(current_a * number * contact.ohms, "V"),
        f"{OHM}; {family}: {contact.source}",
    )


def _answers(values: Mapping[str, Any], drop_v: float) -> tuple[Answer, ...]:
    system, allowed = values["system"], values["allow"].of(values["system"])
    verdict = "within the allowance" if drop_v <= allowed else "more than is allowed"
    return (
        Answer("drop", Amount(drop_v, "V")),
        Answer("share of the system", Amount(100 * drop_v / system, "%")),
        Answer("left for the load", Amount(system - drop_v, "V")),
        Answer("allowed", Amount(allowed, "V")),
        Answer("verdict", verdict),
    )


CALCULATOR = Calculator(
    "drop",
    "the voltage that a wire, its contacts and its fuse lose",
    "Voltage lost between source and load, there and back, with the copper at the "
    "temperature that its current brings it to. Use it to judge a wire that exists.",
    "--current 8.5 A --length 3.2 m --size 1.5 mm2 --contacts 4 --rating 15 A --ambient 60 degC",
    (
        CURRENT,
        LENGTH,
        SIZE,
        FAMILY,
        RETURN,
        SYSTEM,
        ALLOW,
        CONTACTS,
        CONTACT,
        RATING,
        FUSE,
        OTHER,
        *SURROUNDINGS,
        CONDUCTOR,
    ),
    work,
)
