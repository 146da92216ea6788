"""The fuse for a load and its inrush, and whether it protects its wire."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from buildbook.calculators.model import Amount, Answer, Calculator, Input, Mistake, Step, Working
from buildbook.calculators.reading import choice, quantity
from buildbook.calculators.wire_inputs import (
    ALTITUDE,
    BUNDLE,
    FAMILY,
    LOADED,
    SIZE,
    Surroundings,
    Wire,
    family_assumed,
    find_wire,
    loaded_c,
    too_hot,
)
from buildbook.calculators.wire_steps import overload_notes, temperature_step
from buildbook.catalogue.load import fuse_families
from buildbook.catalogue.model import FuseFamily
from buildbook.sizing.fuse_load import BAND_C, FuseLoad
from buildbook.sizing.fuse_rating import (
    carries_a,
    derating,
    inrush_rating_a,
    load_rating_a,
    needed_rating_a,
)
from buildbook.sizing.installation import Candidate
from buildbook.sizing.opening_time import fastest_s, slowest_s, surely_opens_a
from buildbook.sizing.overcurrent import LargestFuse, Temperatures, largest_fuse

CURRENT = Input(
    "current",
    quantity("A", above=0.0),
    "the steady current of everything behind the fuse, such as 8.5 A",
)
INRUSH = Input(
    "inrush",
    quantity("A", above=0.0),
    "the whole current while the load starts, such as 24 A",
    optional=True,
)
INRUSH_TIME = Input(
    "inrush-time", quantity("s", above=0.0), "how long the inrush lasts, such as 150 ms", "150 ms"
)
FUSE = Input(
    "fuse",
    choice(fuse_families()),
    "the family of fuse: " + ", ".join(fuse_families()),
    "blade",
)
AMBIENT = Input(
    "ambient", quantity("degC", most=125.0), "the air around the fuse, such as 50 degC", "40 degC"
)
WIRE_SIZE = Input(
    SIZE.name,
    SIZE.reader,
    "the thinnest wire behind the fuse, to be judged, such as 1.5 mm2",
    optional=True,
)
WIRE_AMBIENT = Input(
    "wire-ambient", quantity("degC"), "the air around that wire, such as 85 degC", "40 degC"
)
SHORT = Input(
    "short",
    quantity("A", above=0.0),
    "the most that a dead short can draw there, such as 600 A; not given: without end",
    optional=True,
)
RATING = Input(
    "rating",
    quantity("A", above=0.0),
    "a rating to judge instead of the one found, such as 20 A",
    optional=True,
)
OF_THE_WIRE = frozenset({"wire", "wire-ambient", "bundle", "loaded", "altitude"})
"""Inputs that have no part where no wire is judged."""
INSULATION = "insulation: what its family stands in an overload; copper's heat in time"


def work(values: Mapping[str, Any]) -> Working | tuple[Mistake, ...]:
    """Smallest standard rating for load and inrush; then the wire's own limit over the band."""
    family = fuse_families()[values["fuse"]]
    inrush = values["inrush"] or 0.0
    load = FuseLoad(
        values["current"],
        "",
        inrush,
        values["inrush-time"] if inrush else 0.0,
        "",
        (),
        ambient_c=values["ambient"],
    )
    mistakes = _too_much(family, load)
    if mistakes:
        return mistakes
    rating = values["rating"] or needed_rating_a(family, load)
    steps = [*_load_steps(family, load), *(_inrush_steps(family, load, rating) if inrush else [])]
    answers = [
        Answer("fuse", f"{rating:g} A {family.title}"),
        Answer("carries for ever", Amount(carries_a(family, rating, load.ambient_c), "A")),
    ]
    verdicts = _verdicts(family, load, rating)
    idle = frozenset() if inrush else frozenset({"inrush-time"})
    if not values["size"]:
        answers.append(Answer("verdict", "; ".join(verdicts) or "right for the load"))
        notes = ("Give --size to hold the fuse against its wire.",)
        return Working(
            tuple(steps),
            tuple(answers),
            notes=notes + _notes(values, family, rating),
            unused=idle | OF_THE_WIRE,
        )
    judged = _judge_wire(values, family, rating)
    if isinstance(judged, Mistake):
        return (judged,)
    answers.append(Answer("largest fuse for the wire", judged.steps[-1].result))
    verdicts += judged.verdicts
    right = "right for the load and its wire"
    answers.append(Answer("verdict", "; ".join(verdicts) or right))
    return Working(
        (*steps, *judged.steps),
        tuple(answers),
        assumed=judged.assumed,
        notes=judged.notes + _notes(values, family, rating),
        unused=idle,
    )


def _too_much(family: FuseFamily, load: FuseLoad) -> tuple[Mistake, ...]:
    most = family.ratings_a[-1]
    carries = carries_a(family, most, load.ambient_c)
    if carries >= load.current_a - 1e-9:
        return ()
    able = [
        f.id
        for f in fuse_families().values()
        if carries_a(f, f.ratings_a[-1], load.ambient_c) >= load.current_a
    ]
    return (
        Mistake(
            "current",
            f"the largest {family.id} fuse, {most:g} A, carries {carries:.4g} A for ever there",
            "a fuse that runs near its rating opens early",
            f"take another --fuse: {', '.join(able)}" if able else "share the load out",
        ),
    )


def _load_steps(family: FuseFamily, load: FuseLoad) -> list[Step]:
    warm = Amount(derating(family, load.ambient_c))
    least = load.current_a / (family.continuous_share * warm.value)
    standard = load_rating_a(family, load)
    return [
        Step(
            "Share of its rating that is left in warm air",
            f"1 - {family.lost_per_k:g} per K x (ambient - {BAND_C:g} degC), at most 1",
            f"1 - {family.lost_per_k:g} x ({{}} - {BAND_C:g})",
            (Amount(load.ambient_c, "degC"),),
            warm,
            family.source,
        ),
        Step(
            "Rating that the load needs",
            "current / (share carried for ever x share left)",
            "{} / ({} x {})",
            (Amount(load.current_a, "A"), Amount(family.continuous_share), warm),
            Amount(least, "A"),
            f"three quarters for ever: common practice; {family.id}",
        ),
        Step(
            "Next standard rating",
            "the first that is no smaller",
            "{} or more",
            (Amount(least, "A"),),
            Amount(standard, "A"),
            family.source,
        ),
    ]


def _inrush_steps(family: FuseFamily, load: FuseLoad, rating: float) -> list[Step]:
    warm = rating * derating(family, load.ambient_c)
    fastest = fastest_s(family, warm, load.inrush_a)
    needed = Step(
        "Standard rating that lets the inrush through",
        "the first whose quickest fuse lasts longer than the inrush",
        "{} for {}",
        (Amount(load.inrush_a, "A"), Amount(load.inrush_s, "s")),
        Amount(inrush_rating_a(family, load), "A"),
        family.source,
    )
    multiple = Amount(load.inrush_a / warm)
    if math.isinf(fastest):
        return [
            needed,
            Step(
                "Inrush against the rating that is left",
                "inrush / (rating x share left)",
                "{} / {}",
                (Amount(load.inrush_a, "A"), Amount(warm, "A")),
                multiple,
                f"{family.id}: below {family.bands[0][0]:g} times it never opens",
            ),
        ]
    return [
        needed,
        Step(
            "Soonest that the fuse can open in the inrush",
            "fast side of its band at inrush / (rating x share left)",
            "at {} / {}",
            (Amount(load.inrush_a, "A"), Amount(warm, "A")),
            Amount(fastest, "s"),
            family.source,
        ),
    ]


@dataclass(frozen=True)
class Judged:
    """A wire held against its fuse."""

    steps: tuple[Step, ...]
    verdicts: tuple[str, ...]
    assumed: tuple[str, ...]
    notes: tuple[str, ...]


def _judge_wire(values: Mapping[str, Any], family: FuseFamily, rating: float) -> Judged | Mistake:
    wire = find_wire(values["size"], values["wire"])
    if isinstance(wire, Mistake):
        return wire
    where = Surroundings(
        values["wire-ambient"], values["bundle"], values["loaded"], values["altitude"]
    )
    hot = too_hot(wire, where)
    if hot:
        return Mistake("wire-ambient", hot.what, hot.why, hot.hint)
    notes = overload_notes(wire, where, values["current"])
    verdicts = ["the load alone is too much for the wire"] if notes else []
    heat = Temperatures(where.ambient_c, loaded_c(wire, where, values["current"]))
    candidate = Candidate(wire.family, wire.conductor)
    found = largest_fuse(candidate, heat, family, values["short"] or math.inf)
    if found.rating_a < rating:
        verdicts.append("the wire is harmed before the fuse opens")
        notes += (
            "CAUTION: a wire that its fuse does not protect burns. Take a thicker wire, or "
            "a smaller fuse with less behind it.",
        )
    steps = (
        temperature_step(wire, where, values["current"]),
        _stand_step(wire, found, family.id),
    )
    return Judged(steps, tuple(verdicts), family_assumed(wire, values["wire"]), notes)


def _stand_step(wire: Wire, found: LargestFuse, family: str) -> Step:
    endless = math.isinf(found.opens_s)
    lasts = "for ever" if endless else f"in {found.opens_s:.4g} s"
    limit = wire.family.aging_c if endless else wire.family.overload_c
    return Step(
        "Largest fuse that opens before the wire is harmed",
        f"current that brings loaded {wire.conductor.label} to {limit:g} degC {lasts} / "
        "the multiple of the rating at which the fuse may take so long",
        "{} / {}",
        (Amount(found.harms_a, "A"), Amount(found.multiple)),
        Amount(found.rating_a, "A"),
        f"{INSULATION}; {family} band",
    )


def _verdicts(family: FuseFamily, load: FuseLoad, rating: float) -> list[str]:
    """What speaks against a rating for its load."""
    found = []
    if carries_a(family, rating, load.ambient_c) < load.current_a - 1e-9:
        found.append("too small for the load")
    warm = rating * derating(family, load.ambient_c)
    if load.inrush_a and fastest_s(family, warm, load.inrush_a) <= load.inrush_s:
        found.append("opens in the inrush")
    if rating not in family.ratings_a:
        found.append("not a standard rating of the family")
    return found


def _notes(values: Mapping[str, Any], family: FuseFamily, rating: float) -> tuple[str, ...]:
    notes = []
    if values["short"] and values["short"] > family.breaking_a:
        notes.append(
            f"CAUTION: {values['short']:.4g} A is more than the {family.breaking_a:g} A "
            "that this family is sure to break."
        )
    least = surely_opens_a(family, rating)
    slowest = slowest_s(family, rating, least)
    notes.append(f"At {least:.4g} A it may take {slowest:.4g} s to open; at less it may never.")
    return tuple(notes)


CALCULATOR = Calculator(
    "fuse",
    "the fuse for a load and its inrush, and whether its wire is safe",
    "The smallest standard rating that carries the load for ever where it sits and lets the "
    "inrush through; then the largest that still opens before the wire behind it is harmed.",
    "--current 8.5 A --inrush 24 A --inrush-time 150 ms --fuse blade --size 1.5 mm2",
    (
        CURRENT,
        INRUSH,
        INRUSH_TIME,
        FUSE,
        AMBIENT,
        WIRE_SIZE,
        FAMILY,
        WIRE_AMBIENT,
        BUNDLE,
        LOADED,
        ALTITUDE,
        SHORT,
        RATING,
    ),
    work,
)
