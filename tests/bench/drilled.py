"""The bench car of `tests/vehicle` with a wall that its harness, a hose and a cable pass."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

import buildbook
from buildbook.sizing.stage import Sized
from tests.vehicle.test_mistakes import GOOD, write

PLAN = """
plan:
  length: 4 m
  width: 1.6 m
  walls:
    far wall: 3900 mm
    firewall:
      at: 1 m
      datum: {is: bolt of the column, at: [-100 mm, 500 mm]}
      holes:
        fuel hose: {hole: 22 mm, at: [350 mm, 420 mm]}
        heater hose: {hole: 1 in}
  places:
    tray: [1900 mm, 300 mm, 400 mm]
    dash: [1500 mm, 0 mm, 700 mm]
    bulkhead: [1020 mm, 150 mm, 620 mm]
    corner: [800 mm, 300 mm, 600 mm]
    engine: [500 mm, 0 mm, 500 mm]
"""
PLUG = "  six: {contact: pin-1.5, rows: [[1, 2, 3], [4, 5, 6]]}"
OWN_PLUG = "  six: {contact: pin-1.5, rows: [[1, 2, 3], [4, 5, 6]], hole: 38 mm, keyway: left}"
SPARE = "rope:\n  spare: {runs: [{from: tray, to: engine, length: 2 m, zone: bay, GROMMET}]}\n"


@cache
def drilled(*changes: tuple[str, str]) -> Sized:
    """It sized, with texts in its description replaced."""
    text = GOOD.replace(PLUG, OWN_PLUG) + PLAN
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new)
    with TemporaryDirectory() as folder:
        return buildbook.size(write(Path(folder), text))
