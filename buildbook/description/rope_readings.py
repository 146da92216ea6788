"""The readings of the rope in the order of the printed sheet, and how one is written down.

An answer replaces one word of the author's file where it stands: comments, order and all else
stay as they are.
"""

from __future__ import annotations

import json
import math
import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from itertools import pairwise

from buildbook.description.models import Description
from buildbook.description.models.rope import Plan
from buildbook.description.quantities import parse
from buildbook.description.read import Positions
from buildbook.figures import METRIC, Units
from buildbook.problem import Where

MEANT = ("y", "n", "yes", "no", "on", "off", "true", "false", "null")
"""Words that YAML takes for something else than a name."""
LONGEST_M = 30.0
"""Of one rope in a car; more is a slip of the pen (judgement, no source)."""
SAG_M = 0.01
"""A tape may read this much less than the straight line of a plan (judgement, no source)."""
WIND = 3.0
"""Times the straight line from which a reading is asked again (judgement, no source)."""


@dataclass(frozen=True)
class RopeReading:
    """One line of the sheet: a rope, or a mark on a tape."""

    number: int
    harness: str
    from_point: str
    to_point: str
    path: tuple[str | int, ...]
    """Of what holds it in the description."""
    key: str
    """'length' of a rope, 'reads' of a mark: what the tape shows there."""
    written_m: float
    clamps: int
    known: str
    marked: dict[str, float] = field(default_factory=dict)
    """What was marked, and how many m from the point before."""
    after_m: float = 0.0
    """What the mark before it reads."""


def rope_readings(description: Description) -> tuple[RopeReading, ...]:
    """Every rope and mark, numbered as on the sheet: harness by harness as they are written."""
    found: list[RopeReading] = []
    for name, rope in description.rope.items():
        for index, run in enumerate(rope.runs):
            found.append(
                RopeReading(
                    number=len(found) + 1,
                    harness=name,
                    from_point=run.from_,
                    to_point=run.to,
                    path=("rope", name, "runs", index),
                    key="length",
                    written_m=run.length,
                    clamps=run.clamps,
                    known=run.known,
                    marked=run.marked,
                )
            )
        for index, tape in enumerate(rope.tapes):
            for at, (before, mark) in enumerate(pairwise(tape.marks), start=1):
                found.append(
                    RopeReading(
                        number=len(found) + 1,
                        harness=name,
                        from_point=before.at,
                        to_point=mark.at,
                        path=("rope", name, "tapes", index, "marks", at),
                        key="reads",
                        written_m=mark.reads,
                        clamps=mark.clamps,
                        known=mark.known or tape.known,
                        marked=mark.marked,
                        after_m=before.reads,
                    )
                )
    return tuple(found)


def read_length_m(text: str, units: Units = METRIC) -> float:
    """A length in m as it is typed: '640', '64 cm', '25 1/4 in' or '25.25 in'.

    Without a unit it is in mm, or in inches where the vehicle's book is. ValueError says what was
    expected.
    """
    whole = text.strip().replace('"', " in").replace(",", ".")
    if re.fullmatch(r"[0-9]*\.?[0-9]+", whole):
        return parse(f"{whole} {units.short}", "m")
    if units.inches and re.fullmatch(r"(?:\d+[\s-]+)?\d+/\d+", whole):
        whole += " in"
    if parts := re.fullmatch(r"(?:(\d+)(?:\s+|-))?(\d+)/(\d+)\s*in(?:ch(?:es)?)?", whole):
        if int(parts[3]) == 0:
            raise ValueError(f"'{text}' is no length")
        inches = int(parts[1] or 0) + int(parts[2]) / int(parts[3])
        return parse(f"{inches} in", "m")
    return parse(whole, "m")


def read_marks_m(text: str, length_m: float, units: Units = METRIC) -> dict[str, float]:
    """What was marked on a rope as it is typed, 'grommet 120; bracket 37 1/2 in', in m.

    ValueError says what was expected.
    """
    found = {}
    for one in filter(None, (part.strip() for part in text.split(";"))):
        told = re.fullmatch(r"(\D*\S)\s+(\d.*)", one)
        if not told:
            raise ValueError(f"'{one}': what it is and where, such as grommet 120; next 40 cm")
        at_m = read_length_m(told[2], units)
        if at_m > length_m:
            raise ValueError(f"{told[1]} at {units.along(1000 * at_m)} is past the end of the rope")
        found[told[1]] = at_m
    return found


def marks_as_written(marks: dict[str, float], units: Units = METRIC) -> str:
    """Marks as they stand in a description: {grommet: 120 mm, bracket: 400 mm}."""
    each = (f"{_quoted(what)}: {units.typed(at_m)}" for what, at_m in marks.items())
    return "{" + ", ".join(each) + "}"


def _quoted(name: str) -> str:
    """A name as a key of YAML, quoted where it might be taken for something else."""
    plain = re.fullmatch(r"[A-Za-z][\w -]*", name) and name.lower() not in MEANT
    return name if plain else json.dumps(name, ensure_ascii=False)


def stands_in_lines(text: str, positions: Positions, reading: RopeReading) -> bool:
    """Whether the marks are written on lines of their own, where no answer can take their place."""
    if not reading.marked:
        return False
    place = positions.value(*reading.path, "marked")
    return not BRACES.match(text.splitlines()[place.line - 1], place.column - 1)


def doubts(reading: RopeReading, length_m: float, plan: Plan | None, units: Units = METRIC) -> str:
    """Why a length of rope in m is to be read again; '' where nothing speaks against it."""
    if length_m <= 0:
        return "a length is above zero"
    if length_m > LONGEST_M:
        return f"{length_m:.1f} m is longer than any rope of a car"
    straight = straight_m(reading, plan)
    if straight is None:
        return ""
    if length_m < straight - SAG_M:
        return f"the plan has {units.along(1000 * straight)} in a straight line: no rope is shorter"
    if length_m > WIND * straight and straight > 0.05:
        return f"the plan has only {units.along(1000 * straight)} in a straight line"
    return ""


def straight_m(reading: RopeReading, plan: Plan | None) -> float | None:
    """From point to point through the air, by the plan; None where it has not both."""
    places = plan.places if plan else {}
    if not {reading.from_point, reading.to_point} <= set(places):
        return None
    a, b = places[reading.from_point], places[reading.to_point]
    dimensions = min(len(a), len(b))
    return math.dist(a[:dimensions], b[:dimensions])


SCALAR = re.compile(r"""'[^']*'|"[^"]*"|[^,}\]#\n]*[^,}\]#\s]""")
"""A word of YAML as it stands in a line, plain or quoted."""

BRACES = re.compile(r"\{[^{}\n]*\}")
"""A value in braces on one line."""


def with_value(text: str, positions: Positions, reading: RopeReading, key: str, value: str) -> str:
    """The text of a file with one value of a rope changed, or put behind its length."""
    lines = text.splitlines(keepends=True)
    place = _place(positions, reading, key)
    if place is not None:
        return _replaced(lines, place, value)
    return _put_behind(lines, positions.value(*reading.path, reading.key), key, value)


def with_values(
    text: str, positions: Positions, reading: RopeReading, changes: Mapping[str, str]
) -> str:
    """The text with several values of a rope changed: the last in the file first, so that the
    places of the others stay what they are."""
    anchor = positions.value(*reading.path, reading.key)

    def order(key: str) -> tuple[Where, bool]:
        return _place(positions, reading, key) or anchor, key != reading.key

    for key in sorted(changes, key=order, reverse=True):
        text = with_value(text, positions, reading, key, changes[key])
    return text


def _place(positions: Positions, reading: RopeReading, key: str) -> Where | None:
    """Where a value of a rope stands; None where it is not written."""
    found = positions.value(*reading.path, key)
    outside = positions.value(*reading.path), positions.value(*reading.path[:-1])
    return None if found in outside else found


def _replaced(lines: list[str], place: Where, value: str) -> str:
    line, at = lines[place.line - 1], place.column - 1
    found = (BRACES if line[at : at + 1] == "{" else SCALAR).match(line, at)
    end = found.end() if found else at
    lines[place.line - 1] = line[:at] + value + line[end:]
    return "".join(lines)


def _put_behind(lines: list[str], anchor: Where, key: str, value: str) -> str:
    """Behind a value: after a comma where it is in braces, else on a line of its own."""
    line, at = lines[anchor.line - 1], anchor.column - 1
    found = SCALAR.match(line, at)
    end = found.end() if found else at
    if line[end:].lstrip()[:1] in (",", "}"):
        lines[anchor.line - 1] = f"{line[:end]}, {key}: {value}{line[end:]}"
        return "".join(lines)
    own = line[: len(line) - len(line.lstrip(" -"))]
    indent = " " * len(own)
    ending = "" if line.endswith("\n") else "\n"
    lines.insert(anchor.line, f"{ending}{indent}{key}: {value}\n")
    return "".join(lines)
