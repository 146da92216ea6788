"""What makes all later sums idle: sources that are shorted, joined or against each other."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import combinations, permutations

from buildbook.checks.joints import near_pins, way
from buildbook.checks.meant import Meant
from buildbook.checks.mends import Answer, mends_of
from buildbook.checks.naming import quoted
from buildbook.checks.places import where_of_pin
from buildbook.checks.standing import STIFF_OHM, Bench, Standing
from buildbook.problem import Problem
from buildbook.vehicle.model import Vehicle
from buildbook.words.say import ENGLISH, in_language

WHY = (
    "wires and fuses would be sized to carry it, and every later finding would only echo it: "
    "nothing more is worked out"
)
MOST_SAID = 3
SAME_V = 0.01


@in_language(ENGLISH)  # like all that is said of a description that makes no vehicle
def first_look(vehicle: Vehicle) -> list[Problem]:
    """Shorts past every load, outputs that are one, and sources the wrong way round, told once."""
    bench = Bench(vehicle)
    meant = Meant(bench)
    wrong, shorts, standings = meant.wrong(vehicle.states)
    joined = next(_joined(bench, standings), None)
    if not shorts and joined is None:
        return []
    if joined is not None:
        return [joined]
    shorted = next((s for x in standings.values() for s in _shorted(vehicle, x)), None)
    if shorted is None:
        return [_against(meant, standings, mends_of(meant, wrong, ()))]
    source, plus, minus = shorted
    states = [s for s, found in standings.items() if shorted in _shorted(vehicle, found)]
    steps = way(bench, standings[states[0]], plus, minus)
    answer = mends_of(meant, wrong, near_pins(bench, [s for s in steps if s in vehicle.pins], 1))
    when = "in every state" if len(states) == len(standings) else f"in {quoted(states)}"
    return [
        Problem(
            where_of_pin(vehicle, answer.mends[0].pins[0] if answer.mends else plus),
            f"a short: {plus} and {minus} of `{source}` are one {when}, with no load between: "
            f"{_told(steps)}",
            WHY,
            _hint(answer) or "look at each joint of that way: one of them does not belong",
        )
    ]


def _shorted(vehicle: Vehicle, standing: Standing) -> list[tuple[str, str, str]]:
    """Sources whose ends are one, with these; and batteries in series that make a ring."""
    found = [
        (source, *_ends(vehicle, source))
        for source in standing.shorted
        if not _is_magneto(vehicle, source)
    ]
    batteries = vehicle.supply.batteries
    for above, below in permutations(batteries, 2):
        if above.id not in standing.against:
            continue
        in_series = standing.is_one(above.minus_pin, below.plus_pin)
        if in_series and standing.is_one(above.plus_pin, below.minus_pin):
            found.append((f"{below.id}` and `{above.id}", above.plus_pin, below.minus_pin))
    return found


def _told(steps: list[str]) -> str:
    return ", ".join(step.removesuffix(".stud") for step in steps)


def _against(meant: Meant, standings: Mapping[str, Standing], answer: Answer) -> Problem:
    """A source whose ends others hold the other way round."""
    vehicle = meant.vehicle
    standing = next(s for s in standings.values() if s.against)
    source = standing.against[0]
    plus, minus = _ends(vehicle, source)
    volts = standing.across(plus, minus) or 0.0
    others = " and ".join(s.id for s in vehicle.supply.batteries if s.id != source)
    return Problem(
        where_of_pin(vehicle, plus),
        f"`{source}` stands the wrong way round against {others or 'another source'}: its plus, "
        f"{plus}, is {-volts:.1f} V below its minus, {minus}",
        WHY,
        _hint(answer) or f"exchange the wires of {plus} and {minus}, or the posts under `between`",
    )


def _joined(bench: Bench, standings: Mapping[str, Standing]) -> Iterator[Problem]:
    """Outputs of two supplies that are one, a battery's among them."""
    vehicle = bench.vehicle
    outputs = [
        (s.plus_pin, s.id)
        for d in vehicle.devices.values()
        for s in d.sources
        if s.ohms <= STIFF_OHM
    ]
    outputs += [
        (s.plus_pin if s.plus_pin in vehicle.supply.live_pins else s.minus_pin, s.id)
        for s in vehicle.supply.sources
        if s.kind in ("magneto", "converter", "battery")
    ]
    batteries = {s.id for s in vehicle.supply.batteries}
    for standing in standings.values():
        for (one, first), (other, second) in combinations(outputs, 2):
            if first in batteries and second in batteries:
                continue
            if not standing.is_one(one, other) or _is_ground(vehicle, standing, one):
                continue
            steps = way(bench, standing, one, other)
            culprit = next((s for s in steps[1:-1] if s in vehicle.pins), one)
            yield Problem(
                where_of_pin(vehicle, culprit),
                f"two outputs are one in '{standing.state}': {one} of `{first}` and {other} of "
                f"`{second}` are joined by {_told(steps[1:-1]) or 'one wire'}, a short between "
                "sources",
                WHY,
                f"see which of these joints does not belong, and take it out: {_told(steps)}",
            )
            return


def _is_ground(vehicle: Vehicle, standing: Standing, pin: str) -> bool:
    volts = standing.across(pin, vehicle.supply.earthed_pin)
    return volts is not None and abs(volts) < SAME_V


def _hint(answer: Answer) -> str:
    """The changes after which most is right, each tried on the model."""
    if not answer.mends:
        return ""
    best = answer.mends[:MOST_SAID]
    done = "nothing is short and all works as written" if not answer.left else "the short is gone"
    others = len(answer.mends) - len(best)
    return (
        "; or ".join(mend.says for mend in best)
        + (f"; or one of {others} more" if others > 0 else "")
        + f" (tried on the model: then {done})"
    )


def _ends(vehicle: Vehicle, source: str) -> tuple[str, str]:
    for found in vehicle.supply.sources:
        if found.id == source:
            return found.plus_pin, found.minus_pin
    inner = (s for d in vehicle.devices.values() for s in d.sources if s.id == source)
    given = next(inner)
    return given.plus_pin, given.minus_pin


def _is_magneto(vehicle: Vehicle, source: str) -> bool:
    return any(s.id == source and s.kind == "magneto" for s in vehicle.supply.sources)
