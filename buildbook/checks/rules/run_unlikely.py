"""Finds runs of rope, and places on the plan, that cannot be as long or where they are said."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from buildbook.checks.model import PRACTICE, Finding
from buildbook.checks.places import written_at
from buildbook.checks.stages import Assessed
from buildbook.description.edited import Edit
from buildbook.figures import length
from buildbook.vehicle.model import Run, Vehicle
from buildbook.words.say import mark, say, say_n

RULE = "run-unlikely"
SEVERITY = "error or warning"
SOURCE = (
    f"geometry: no rope is shorter than the straight line between its ends on the plan; {PRACTICE}"
    " for how much longer it is, and for what fits between two clamps"
)
SHORTER = 0.9
"""Of the straight line, from which a run is too short: the plan is measured less well."""
LONGER, LONGER_BY_M = 3.0, 1.0
"""Times the straight line, and metres over it, beyond which a run is too long. Our choice."""
AMONG = 4.0
"""Without a plan: times the next longest run, from which one stands out. Our choice."""
LONG_M = 2.5
CLAMP_M = 0.04
"""Closer than this no two clamps are set. Our choice."""
SLIPS = (
    (10.0, mark("{length} would fit: perhaps the decimal point slipped.")),
    (0.1, mark("{length} would fit: perhaps the decimal point slipped.")),
    (25.4, mark("{length} would fit: perhaps it is in inches with mm beside it.")),
    (1 / 25.4, mark("{length} would fit: perhaps it is in mm with inches beside it.")),
    (0.001, mark("{length} would fit: perhaps it is in mm with m beside it.")),
    (1000.0, mark("{length} would fit: perhaps it is in m with mm beside it.")),
)
"""What a length would be multiplied by to be right, and how that comes about."""


@dataclass(frozen=True)
class Line:
    """A run beside the straight line between its ends."""

    run: Run
    straight_m: float

    @property
    def too_short(self) -> bool:
        return self.run.length_m < SHORTER * self.straight_m

    @property
    def too_long(self) -> bool:
        return self.run.length_m > LONGER * self.straight_m + LONGER_BY_M


def check(assessed: Assessed) -> Iterator[Finding]:
    """A place at which several runs are wrong is told once, and not its runs."""
    vehicle = assessed.vehicle
    lines = list(_lines(vehicle))
    wrong = [line for line in lines if line.too_short or line.too_long]
    misplaced = _misplaced(lines, wrong)
    for place in misplaced:
        yield _of_place(vehicle, place, [x for x in wrong if place in _ends(x.run)])
    told = {x.run.id for x in wrong}
    for line in wrong:
        if not misplaced & set(_ends(line.run)):
            yield _of_line(vehicle, line)
    yield from _without_plan(vehicle, {x.run.id for x in lines})
    yield from _clamped(vehicle, told)


def _lines(vehicle: Vehicle) -> Iterator[Line]:
    """Runs both of whose ends are on the plan with their height, or the run is far from level."""
    plan = vehicle.description.plan
    for run in vehicle.runs if plan else ():
        assert plan is not None
        ends = [plan.places.get(point) for point in _ends(run)]
        if ends[0] is None or ends[1] is None:
            continue
        level = min(len(ends[0]), len(ends[1]))
        yield Line(run, math.dist(ends[0][:level], ends[1][:level]))


def _misplaced(lines: list[Line], wrong: list[Line]) -> set[str]:
    """Points at which two runs or more are wrong, and all that end there."""
    found = set()
    for point in {p for x in wrong for p in _ends(x.run)}:
        here = [x for x in lines if point in _ends(x.run)]
        if len(here) > 1 and all(x in wrong for x in here):
            found.add(point)
    return found


def _of_place(vehicle: Vehicle, place: str, lines: list[Line]) -> Finding:
    first = lines[0]
    return Finding(
        RULE,
        "error",
        place,
        say(
            "Place '{place}' of the plan does not agree with the rope: {n} runs that end there do "
            "not reach, or are far too long; {run} is {length}, and the straight line {straight}.",
            place=place,
            n=len(lines),
            run=_name(first.run),
            length=length(first.run.length_m),
            straight=length(first.straight_m),
        ),
        say(
            "Measure again where '{place}' is, back from the nose, right of the middle "
            "and high (`plan: places`): a point of the number slipped, or two numbers "
            "changed places.",
            place=place,
        ),
        SOURCE,
        written_at(vehicle, "plan", "places", place),
    )


def _of_line(vehicle: Vehicle, line: Line) -> Finding:
    run = line.run
    said = {
        "run": _name(run),
        "length": length(run.length_m),
        "straight": length(line.straight_m),
    }
    text = (
        say(
            "{run} is {length} long, shorter than the straight line of {straight} between its ends "
            "on the plan.",
            **said,
        )
        if line.too_short
        else say(
            "{run} is {length} long, far longer than the straight line of {straight} between its "
            "ends on the plan.",
            **said,
        )
    )
    how = _slip(run.length_m, line.straight_m)
    return Finding(
        RULE,
        "error" if line.too_short else "warning",
        run.id,
        f"{text} {how}" if how else text,
        say(
            "Lay the rope again and correct `length`; or correct the place of the end "
            "that is wrong on the plan."
        ),
        SOURCE,
        run.where,
        edits=_edits(vehicle, run, _factor(run.length_m, line.straight_m)),
    )


def _edits(vehicle: Vehicle, run: Run, factor: float) -> tuple[Edit, ...]:
    """The length of a run without the slip; nothing where no slip is seen, or a tape tells it."""
    runs = vehicle.description.rope[run.harness].runs
    for index, said in enumerate(runs if factor != 1.0 else ()):
        if (said.from_, said.to) == _ends(run):
            return ((("rope", run.harness, "runs", index, "length"), run.length_m * factor),)
    return ()


def _factor(length_m: float, straight_m: float) -> float:
    """By what one slip made a length too short or too long; 1 where none explains it."""
    for factor, _ in SLIPS:
        if straight_m <= length_m * factor <= 1.8 * straight_m + 0.1:
            return factor
    return 1.0


def _slip(length_m: float, straight_m: float) -> str:
    factor = _factor(length_m, straight_m)
    how = dict(SLIPS).get(factor)
    return say(how, length=length(length_m * factor)) if how else ""


def _without_plan(vehicle: Vehicle, judged: set[str]) -> Iterator[Finding]:
    """A run many times as long as any other is asked about."""
    by_length = sorted(vehicle.runs, key=lambda run: -run.length_m)
    if len(by_length) < 4 or by_length[0].id in judged:
        return
    longest, second = by_length[0], by_length[1]
    if longest.length_m < LONG_M or longest.length_m < AMONG * second.length_m:
        return
    yield Finding(
        RULE,
        "warning",
        longest.id,
        say(
            "{run} is {length} long, and no other run is longer than {second}: perhaps {likely}, "
            "and the decimal point slipped.",
            run=_name(longest),
            length=length(longest.length_m),
            second=length(second.length_m),
            likely=length(longest.length_m / 10),
        ),
        say("Measure it again and correct `length`; if it is right, waive this and say why."),
        SOURCE,
        longest.where,
        edits=_edits(vehicle, longest, 0.1),
    )


def _clamped(vehicle: Vehicle, told: set[str]) -> Iterator[Finding]:
    """Clamps closer together than any are set show a length that is too short."""
    for run in vehicle.runs:
        apart_m = run.length_m / (run.clamps + 1)
        if not run.clamps or apart_m >= CLAMP_M or run.id in told:
            continue
        yield Finding(
            RULE,
            "warning",
            run.id,
            say_n(
                "{run} is {length} long and has {n} clamp, {apart} apart: it is perhaps ten or a "
                "hundred times as long, or in inches.",
                "{run} is {length} long and has {n} clamps, {apart} apart: it is perhaps ten or a "
                "hundred times as long, or in inches.",
                run.clamps,
                run=_name(run),
                length=length(run.length_m),
                apart=length(apart_m),
            ),
            say("Measure it again and correct `length`, or the number of `clamps`."),
            SOURCE,
            run.where,
            edits=_edits(vehicle, run, 10.0),
        )


def _ends(run: Run) -> tuple[str, str]:
    return run.from_point, run.to_point


def _name(run: Run) -> str:
    return say(
        "The run from {from_point} to {to_point}", from_point=run.from_point, to_point=run.to_point
    )
