"""How long to cut a wire: rope, slack, take-up of twists, and what each end takes."""

from __future__ import annotations

from collections.abc import Mapping
from math import fsum
from typing import Any

from buildbook.calculators.model import Amount, Answer, Calculator, Input, Step, Table, Working
from buildbook.calculators.reading import choice, count, quantity
from buildbook.catalogue.load import contact_families
from buildbook.description.models import Lengths
from buildbook.harness.cut_length import (
    CRIMP_M,
    CUT_BACK_M,
    ESTIMATED_LEAST_M,
    MOVING_LEAST_M,
    OUTERMOST_SHARE,
    STUD_LOOP_M,
    TWIST_SHARE,
    estimated_extra_m,
    moving_slack_m,
    termination,
)
from buildbook.harness.lay_up import LAY_TIMES
from buildbook.harness.model import Addend

SPLICE, CAP = "splice", "cap"
ALLOWED = Lengths()
"""Allowances of a description that says nothing else."""
PRACTICE = "bench practice, no source"
JUDGEMENT = "judgement, no source"
ENDS = (*contact_families(), SPLICE, CAP)
LENGTH = Input(
    "length", quantity("m", above=0.0), "the rope along the wire's whole path, such as 7 ft 2 in"
)
ONE_END = Input(
    "from", choice(ENDS), "what is at one end: a contact family such as pin-1.5, splice or cap"
)
OTHER_END = Input("to", choice(ENDS), "what is at the other: " + ", ".join(ENDS))
MOVING = Input(
    "moving", quantity("m", least=0.0), "how much of the rope moves, in one stretch", "0 m"
)
HELD = Input("held", count(0, 2), "at how many ends that stretch is held still", "1")
ESTIMATED = Input(
    "estimated", quantity("m", least=0.0), "how much of the rope was only estimated", "0 m"
)
TWISTED = Input(
    "twisted", quantity("m", least=0.0), "how much of the rope is laid up in twisted layers", "0 m"
)
PAIR = Input("pair", choice(("no", "yes")), "whether it is one of a twisted pair", "no")
NOT_FITTED = Input("not-fitted", count(0, 2), "at how many ends the device is not fitted yet", "0")
LOOP = Input(
    "loop",
    quantity("m", least=0.0, most=2.0),
    "the service loop at a terminal, so that its plug comes out to be worked on",
    f"{1000 * ALLOWED.service_loop:g} mm",
)
CUT_BACKS = Input(
    "cut-backs",
    count(0, 5),
    "how often a terminal may be cut off and crimped anew",
    f"{ALLOWED.cut_backs}",
)


def work(values: Mapping[str, Any]) -> Working:
    """Every addend of the cut length, and their sum."""
    rope = values["length"]
    parts = [Addend("rope", rope)]
    steps: list[Step] = []
    for found in (*_moving(values), *_estimated(values), *_twists(values)):
        steps.append(found)
        parts.append(Addend(found.what, found.result.value))
    ends = [
        *_end("one end", values["from"], values),
        *_end("the other end", values["to"], values),
    ]
    parts += ends
    if values["not-fitted"]:
        extra = values["not-fitted"] * ALLOWED.not_fitted
        parts.append(Addend("device not fitted yet", extra))
    parts = [part for part in parts if part.length_m > 0]
    total = Amount(fsum(part.length_m for part in parts), "m", 5)
    numbers = tuple(Amount(part.length_m, "m") for part in parts)
    steps.append(
        Step(
            "Length to cut",
            "sum of the parts below",
            " + ".join(["{}"] * len(parts)),
            numbers,
            total,
            "sum",
        )
    )
    rows = tuple((part.what, f"{1000 * part.length_m:.4g} mm") for part in parts)
    return Working(
        tuple(steps),
        (
            Answer("length to cut", total),
            Answer("more than the rope", Amount(1000 * (total.value - rope), "mm")),
        ),
        tables=(Table("Parts of the length", ("part", "length"), rows),),
        assumed=_assumed(values),
        notes=_notes(values),
        unused=frozenset() if values["moving"] else frozenset({"held"}),
    )


def _moving(values: Mapping[str, Any]) -> list[Step]:
    stretch, held = values["moving"], values["held"]
    if not (stretch and held):
        return []
    least = f"at least {1000 * MOVING_LEAST_M:g} mm each"
    return [
        Step(
            "Slack where it begins to move",
            f"ends held x {ALLOWED.moving:g} x stretch, {least}",
            f"{{}} x {ALLOWED.moving:g} x {{}}, {least}",
            (Amount(held), Amount(stretch, "m")),
            Amount(moving_slack_m(stretch, held, ALLOWED.moving), "m"),
            JUDGEMENT,
        )
    ]


def _estimated(values: Mapping[str, Any]) -> list[Step]:
    guessed = values["estimated"]
    if not guessed:
        return []
    least = f"at least {1000 * ESTIMATED_LEAST_M:g} mm"
    return [
        Step(
            "Estimated rope, trimmed when fitted",
            f"{ALLOWED.estimated:g} x its length, {least}",
            f"{ALLOWED.estimated:g} x {{}}, {least}",
            (Amount(guessed, "m"),),
            Amount(estimated_extra_m(guessed, ALLOWED.estimated), "m"),
            JUDGEMENT,
        )
    ]


def _twists(values: Mapping[str, Any]) -> list[Step]:
    """What the twist of layers and of a pair takes up."""
    steps = []
    if values["twisted"]:
        steps.append(
            Step(
                "Lay of the twisted layers",
                f"(sqrt(1 + (pi / {LAY_TIMES:g})^2) - 1) x twisted length, as outermost",
                f"{OUTERMOST_SHARE:.4g} x {{}}",
                (Amount(values["twisted"], "m"),),
                Amount(OUTERMOST_SHARE * values["twisted"], "m"),
                f"helix unrolled (geometry), lay of {LAY_TIMES:g} diameters",
            )
        )
    if values["pair"] == "yes":
        steps.append(
            Step(
                "Twist of the pair",
                f"{TWIST_SHARE:g} x rope",
                f"{TWIST_SHARE:g} x {{}}",
                (Amount(values["length"], "m"),),
                Amount(TWIST_SHARE * values["length"], "m"),
                PRACTICE,
            )
        )
    return steps


def _end(name: str, what: str, values: Mapping[str, Any]) -> list[Addend]:
    contact = contact_families().get(what)
    kind = {SPLICE: "splice", CAP: "capped"}.get(what, "pin")
    return termination(kind, contact, name, values["loop"], values["cut-backs"])


def _assumed(values: Mapping[str, Any]) -> tuple[str, ...]:
    contacts = [contact_families().get(values[end]) for end in ("from", "to")]
    found = []
    if any(contacts):
        found.append(f"{1000 * CRIMP_M:g} mm of insulation in each terminal's crimp")
    if any(contact and contact.stud for contact in contacts):
        found.append(f"{1000 * STUD_LOOP_M:g} mm more loop at a stud")
    if values["cut-backs"]:
        found.append(f"{1000 * CUT_BACK_M:g} mm for each time that a terminal is crimped anew")
    if values["not-fitted"]:
        found.append(f"{1000 * ALLOWED.not_fitted:g} mm at each device that is not fitted yet")
    return tuple(found)


def _notes(values: Mapping[str, Any]) -> tuple[str, ...]:
    given = {name: values[name] for name in ("moving", "estimated", "twisted")}
    return tuple(
        f"--{name} is longer than the rope: is --length right?"
        for name, length in given.items()
        if length > values["length"] + 1e-9
    )


CALCULATOR = Calculator(
    "slack",
    "how long to cut a wire along its rope",
    "Adds to the rope what the ends take (strip, crimp, service loop, crimping anew), the slack "
    "where it begins to move, the extra on estimated rope, and what a twist takes up.",
    "--length 1550 mm --from pin-1.5 --to ring-M6 --moving 300 mm --twisted 900 mm",
    (
        LENGTH,
        ONE_END,
        OTHER_END,
        MOVING,
        HELD,
        ESTIMATED,
        TWISTED,
        PAIR,
        NOT_FITTED,
        LOOP,
        CUT_BACKS,
    ),
    work,
)
