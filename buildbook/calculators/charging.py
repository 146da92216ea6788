"""The balance of alternator and loads over a day, and how long the battery lasts without it."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import pairwise
from math import fsum
from typing import Any

from buildbook.calculators.model import Amount, Answer, Calculator, Input, Mistake, Step, Working
from buildbook.calculators.reading import Row, listed, quantity, row
from buildbook.electrical.charge import (
    ACCEPTS_PER_H,
    EFFICIENCY,
    PEUKERT,
    RATED_H,
    USABLE,
    hours_to_flat,
    hours_to_recharge,
)
from buildbook.vehicle.generators import generator_limit_a

CURVE_EXAMPLE = "1500 rpm 20 A, 3000 rpm 55 A"
STATE_EXAMPLE = "idle 900 rpm 22 A 30 %, track 5500 rpm 38 A 70 %"
CURVE = Input(
    "curve",
    listed("CURVE", lambda text: row(text, ("rpm", "A"), CURVE_EXAMPLE).values, "rpm, A"),
    f"the alternator's output at engine speeds, slowest first, such as '{CURVE_EXAMPLE}'",
)
STATES = Input(
    "states",
    listed(
        "STATES",
        lambda text: row(text, ("rpm", "A", "1"), STATE_EXAMPLE, named=True),
        "rpm, A, share",
    ),
    f"engine speed, load and share of the running time of each state, such as '{STATE_EXAMPLE}'",
)
CAPACITY = Input("capacity", quantity("Ah", above=0.0), "the battery's rated capacity", "40 Ah")
STOPPED = Input(
    "stopped",
    quantity("A", above=0.0),
    "what is drawn with the engine stopped, such as 12 A",
    optional=True,
)
USE = Input(
    "usable",
    quantity("1", above=0.0, most=1.0),
    "the share of the battery that may be used and still leave a start",
    f"{100 * USABLE:g} %",
)
BALANCE = "the alternator gives what it can, the battery the rest (Kirchhoff)"


def work(values: Mapping[str, Any]) -> Working | tuple[Mistake, ...]:
    """Amps into or out of the battery in each state, over the day, and hours to flat and full."""
    curve, states = list(values["curve"]), values["states"]
    mistakes = _mistakes(curve, states)
    if mistakes:
        return mistakes
    steps = [_accepts(values["capacity"])]
    into: list[Amount] = []
    for number, state in enumerate(states, 1):
        steps += _state_steps(curve, state, state.name or f"state {number}", steps[0].result)
        into.append(steps[-1].result)
    steps.append(_day(states, into))
    day = steps[-1].result
    answers = [
        Answer("balance", day),
        Answer("verdict", "the battery runs flat" if day.value < 0 else "the battery holds"),
    ]
    if day.value < 0:
        steps.append(_flat("Time until no start is left, at that balance", values, -day.value))
        answers.append(Answer("lasts, at that balance", steps[-1].result))
    elif day.value > 0:
        usable = Amount(values["usable"] * values["capacity"], "Ah")
        steps.append(_refill(usable, day, steps[0].result))
        answers.append(Answer("to put the usable charge back", steps[-1].result))
    if values["stopped"]:
        steps.append(_flat("Time with the engine stopped", values, values["stopped"]))
        answers.append(Answer("lasts with the engine stopped", steps[-1].result))
    return Working(tuple(steps), tuple(answers), notes=_notes(states, into, day))


def _mistakes(curve: list[tuple[float, float]], states: tuple[Row, ...]) -> tuple[Mistake, ...]:
    found = []
    if any(b[0] <= a[0] for a, b in pairwise(curve)):
        found.append(
            Mistake(
                "curve",
                "the speeds do not rise",
                "output is read between them",
                "write the slowest first",
            )
        )
    if min(n for pair in curve for n in pair) < 0:
        found.append(Mistake("curve", "a speed or a current is below zero"))
    if min(n for state in states for n in state.values) < 0:
        found.append(Mistake("states", "a speed, a load or a share is below zero"))
    if fsum(state.values[2] for state in states) > 1 + 1e-9:
        found.append(
            Mistake(
                "states",
                "the shares make more than 100 %",
                "they are parts of one running time",
                "lower them",
            )
        )
    return tuple(found)


def _accepts(capacity_ah: float) -> Step:
    return Step(
        "Most that the battery takes while it fills",
        f"capacity x {ACCEPTS_PER_H:g} per hour",
        f"{{}} x {ACCEPTS_PER_H:g} /h",
        (Amount(capacity_ah, "Ah"),),
        Amount(capacity_ah * ACCEPTS_PER_H, "A"),
        "common practice for lead-acid batteries, no source",
    )


def _state_steps(
    curve: list[tuple[float, float]], state: Row, name: str, accepts: Amount
) -> list[Step]:
    rpm, load, _ = state.values
    limit = Amount(generator_limit_a(curve, rpm), "A")
    spare = limit.value - load
    return [
        _output(curve, rpm, limit, name),
        Step(
            f"Into the battery, {name}",
            "output - load, but no more than the battery takes",
            "{} - {}, at most {}",
            (limit, Amount(load, "A"), accepts),
            Amount(min(spare, accepts.value), "A"),
            BALANCE,
        ),
    ]


def _output(curve: list[tuple[float, float]], rpm: float, limit: Amount, name: str) -> Step:
    what, source = f"Alternator's output, {name}", "its curve, straight between the points"
    speed = Amount(rpm, "rpm")
    for (low, low_a), (high, high_a) in pairwise(curve):
        if low <= rpm <= high:
            return Step(
                what,
                "lower current + (upper - lower) x part of the way between their speeds",
                "{} + ({} - {}) x ({} - {}) / ({} - {})",
                (
                    Amount(low_a, "A"),
                    Amount(high_a, "A"),
                    Amount(low_a, "A"),
                    speed,
                    Amount(low, "rpm"),
                    Amount(high, "rpm"),
                    Amount(low, "rpm"),
                ),
                limit,
                source,
            )
    end = curve[0] if rpm < curve[0][0] else curve[-1]
    words = "none below the first speed" if rpm < end[0] else "as at the last speed"
    return Step(what, words, "{} beside {}", (speed, Amount(end[0], "rpm")), limit, source)


def _day(states: tuple[Row, ...], into: list[Amount]) -> Step:
    pairs = [(Amount(s.values[2]), a) for s, a in zip(states, into, strict=True)]
    return Step(
        "Balance over the running time",
        "sum over the states of share x what goes into the battery",
        " + ".join(["{} x {}"] * len(pairs)),
        tuple(amount for pair in pairs for amount in pair),
        Amount(fsum(share.value * amps.value for share, amps in pairs), "A"),
        "weighted mean",
    )


def _flat(what: str, values: Mapping[str, Any], current_a: float) -> Step:
    capacity, usable = values["capacity"], values["usable"]
    hours = Amount(hours_to_flat(capacity, current_a, usable), "h")
    amounts = (Amount(usable), Amount(capacity, "Ah"), Amount(current_a, "A"))
    if current_a * RATED_H <= capacity:
        return Step(
            what,
            "usable share x capacity / current",
            "{} x {} / {}",
            amounts,
            hours,
            "charge is current x time",
        )
    return Step(
        what,
        f"usable share x {RATED_H:g} h x (capacity / (current x {RATED_H:g} h)) ^ {PEUKERT:g}",
        f"{{}} x {RATED_H:g} h x ({{}} / ({{}} x {RATED_H:g} h)) ^ {PEUKERT:g}",
        amounts,
        hours,
        "Peukert 1897; exponent from memory",
    )


def _refill(usable: Amount, day: Amount, accepts: Amount) -> Step:
    return Step(
        "Time to put the usable charge back",
        "charge / (current in x share that it gives back)",
        f"{{}} / ({{}} x {EFFICIENCY:g})",
        (usable, day),
        Amount(hours_to_recharge(usable.value, day.value, accepts.value), "h"),
        "charge is current x time; efficiency of lead-acid from memory",
    )


def _notes(states: tuple[Row, ...], into: list[Amount], day: Amount) -> tuple[str, ...]:
    notes = []
    shares = [state.values[2] for state in states]
    given_back = fsum(
        share * amps.value * (EFFICIENCY if amps.value > 0 else 1.0)
        for share, amps in zip(shares, into, strict=True)
    )
    if given_back < 0 <= day.value:
        notes.append(
            f"CAUTION: a lead-acid battery gives back {100 * EFFICIENCY:g} % of what goes "
            f"in; counting that, it loses {-given_back:.3g} A on average."
        )
    total = fsum(shares)
    if total < 1 - 1e-9:
        notes.append(f"The shares make {100 * total:.4g} %; the rest counts as neither.")
    return tuple(notes)


CALCULATOR = Calculator(
    "charging",
    "whether the alternator keeps the battery, and how long it lasts",
    "Holds the alternator's output at each engine speed against the load, weighs the states by "
    "their share of the running time, and says how long the battery lasts or takes to fill.",
    f"--curve {CURVE_EXAMPLE} --states {STATE_EXAMPLE} --stopped 12 A",
    (CURVE, STATES, CAPACITY, USE, STOPPED),
    work,
)
