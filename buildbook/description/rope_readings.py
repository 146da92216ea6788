"""The readings of the rope in the order of the printed sheet, and how one is written down.

An answer replaces one word of the author's file where it stands: comments, order and all else
stay as they are.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from itertools import pairwise

from buildbook.description.models import Description
from buildbook.description.models.rope import Plan
from buildbook.description.quantities import parse
from buildbook.description.read import Positions
from buildbook.problem import Where

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
                        after_m=before.reads,
                    )
                )
    return tuple(found)


def read_length_m(text: str) -> float:
    """A length in m as it is typed: '640', which is mm, '64 cm', '25 1/4 in' or '25.25 in'.

    ValueError says what was expected.
    """
    whole = text.strip().replace('"', " in").replace(",", ".")
    if re.fullmatch(r"[0-9]*\.?[0-9]+", whole):
        return float(whole) / 1000
    if parts := re.fullmatch(r"(?:(\d+)\s+)?(\d+)/(\d+)\s*in(?:ch(?:es)?)?", whole):
        if int(parts[3]) == 0:
            raise ValueError(f"'{text}' is no length")
        inches = int(parts[1] or 0) + int(parts[2]) / int(parts[3])
        return parse(f"{inches} in", "m")
    return parse(whole, "m")


def doubts(reading: RopeReading, length_m: float, plan: Plan | None) -> str:
    """Why a length of rope in m is to be read again; '' where nothing speaks against it."""
    if length_m <= 0:
        return "a length is above zero"
    if length_m > LONGEST_M:
        return f"{length_m:.1f} m is longer than any rope of a car"
    straight = straight_m(reading, plan)
    if straight is None:
        return ""
    if length_m < straight - SAG_M:
        return f"the plan has {1000 * straight:.0f} mm in a straight line: no rope is shorter"
    if length_m > WIND * straight and straight > 0.05:
        return f"the plan has only {1000 * straight:.0f} mm in a straight line"
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


def with_value(text: str, positions: Positions, reading: RopeReading, key: str, value: str) -> str:
    """The text of a file with one value of a rope changed, or put behind its length."""
    path, place = reading.path, positions.value(*reading.path, key)
    lines = text.splitlines(keepends=True)
    held = positions.value(*path)
    if place != held and place != positions.value(*path[:-1]):
        return _replaced(lines, place, value)
    anchor = positions.value(*path, reading.key)
    return _put_behind(lines, anchor, key, value)


def _replaced(lines: list[str], place: Where, value: str) -> str:
    line, at = lines[place.line - 1], place.column - 1
    found = SCALAR.match(line, at)
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
