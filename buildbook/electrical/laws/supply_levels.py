"""Supply volts that road vehicles' equipment is made for: ISO 16750-2."""

from __future__ import annotations

from dataclasses import dataclass

from buildbook.electrical.span import Span


@dataclass(frozen=True)
class Level:
    """Volts between which equipment of a code does all that it should."""

    code: str
    least_v: float
    most_v: float


LEVELS = {
    12: (Level("A", 6, 16), Level("B", 8, 16), Level("C", 9, 16), Level("D", 10.5, 16)),
    24: (Level("E", 10, 32), Level("F", 16, 32), Level("G", 22, 32), Level("H", 18, 32)),
}
"""Nominal volts -> codes of ISO 16750-2:2012, tables 1 and 2 (from memory)."""
RUNNING_V = {12: 14.0, 24: 28.0}
"""Test volts with the generator running, U_A (ISO 16750-1; 14 and 28 V read)."""
LONG_OVERVOLTAGE_V = {12: 18.0, 24: 36.0}
"""For an hour, a failed regulator (from memory)."""
JUMP_START_V = {12: 24.0}
"""For a minute (from memory)."""
REVERSED_V = {12: 14.0, 24: 28.0}
"""For a minute, the battery the wrong way round (from memory)."""
GROUND_OFFSET_V = 1.0
"""Between the grounds of two devices, either way (from memory)."""
STARTING_V = {"I": (8.0, 9.5), "II": (4.5, 6.5), "III": (3.0, 5.0), "IV": (6.0, 6.5)}
"""12 V starting profile's level -> lowest volts, for 15 to 50 ms, and those while it cranks (from
memory)."""


def works_over(code: str) -> Span:
    """Volts of a supply code, with the middle of them."""
    level = next(x for levels in LEVELS.values() for x in levels if x.code == code)
    return Span(level.least_v, (level.least_v + level.most_v) / 2, level.most_v)


def code_for(works_from_v: float, nominal_v: int) -> str:
    """The code that equipment which works from these volts up meets, the widest; '' for none."""
    met = [level for level in LEVELS[nominal_v] if works_from_v <= level.least_v]
    return min(met, key=lambda level: level.least_v).code if met else ""
