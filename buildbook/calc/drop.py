"""Voltage drop of a wire, there and back, at the temperature that its current brings it to."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from buildbook.calc.model import Amount, Answer, Calculator, Input, Mistake, Step, Working
from buildbook.calc.reading import choice, count
from buildbook.calc.wires import (
    ALLOW,
    CONDUCTOR,
    CURRENT,
    FAMILY,
    LENGTH,
    OHM,
    RETURN,
    SIZE,
    SURROUNDINGS,
    SYSTEM,
    allowance_step,
    copper_c,
    copper_length_m,
    copper_length_step,
    copper_steps,
    drop_step,
    family_assumed,
    find_wire,
    ohm_per_m,
    overload_notes,
    surroundings,
    too_hot,
)
from buildbook.catalogue.load import contact_families

CONTACTS = Input("contacts", count(0, 100), "how many mated contacts are in the path", "0")
CONTACT = Input(
    "contact",
    choice(lambda: contact_families()),
    "their family: " + ", ".join(contact_families()),
    "pin-2.8",
)


def work(values: Mapping[str, Any]) -> Working | tuple[Mistake, ...]:
    """Volts lost in wire and contacts, beside what is allowed."""
    wire = find_wire(values["size"], values["wire"])
    if isinstance(wire, Mistake):
        return (wire,)
    where = surroundings(values)
    hot = too_hot(wire, where)
    if hot:
        return (hot,)
    current = values["current"]
    length = copper_length_m(values["length"], values["return"])
    at_c = copper_c(wire, where, current, values["conductor"])
    lost = drop_step(current, ohm_per_m(wire, at_c), length)
    contacts = _contact_step(current, values["contacts"], values["contact"])
    drop = lost.result.value + contacts.result.value
    steps = (
        *copper_steps(wire, where, current, values["conductor"]),
        copper_length_step(values["length"], values["return"]),
        lost,
        contacts,
        Step("Drop in all", "wire + contacts", "{} + {}", (lost.result, contacts.result),
             Amount(drop, "V"), OHM),
        allowance_step(values),
    )  # fmt: skip
    return Working(
        steps,
        _answers(values, drop),
        assumed=family_assumed(wire, values["wire"]),
        notes=overload_notes(wire, where, current),
    )


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
    "the voltage that a wire and its contacts lose",
    "Voltage lost between source and load, there and back, with the copper at the "
    "temperature that its current brings it to. Use it to judge a wire that exists.",
    "--current 8.5 A --length 3.2 m --size 1.5 mm2 --contacts 4 --ambient 60 degC",
    (CURRENT, LENGTH, SIZE, FAMILY, RETURN, SYSTEM, ALLOW, CONTACTS, CONTACT,
     *SURROUNDINGS, CONDUCTOR),  # fmt: skip
    work,
)
