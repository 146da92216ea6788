"""The motorcycle of the tests with another alternator: one that senses, or that its lamp starts."""

from __future__ import annotations

import shutil

from buildbook.pipeline import work_out
from tests.conftest import TESTS, in_full

RECTIFIER = """  rectifier:
    kind: alternator
    name: Alternator and rectifier
    at: rectifier
    system: supply
    pins:
      B+: {use: output, contact: ring-M6}
      B-: {use: ground, contact: ring-M6}
"""
CHARGE = "    volts: 14.3 V\n"


def motorcycle_with(folder, charge, rectifier, circuits, devices=""):
    """Its result, with lines more of its alternator, of circuits, and devices."""
    shutil.copytree(in_full(TESTS / "vehicles" / "motorcycle"), folder, dirs_exist_ok=True)
    for name, old, new in (
        ("vehicle.yaml", CHARGE, CHARGE + charge),
        ("devices.yaml", RECTIFIER, RECTIFIER + rectifier),
        ("devices.yaml", "  main-switch:\n", f"{devices}  main-switch:\n"),
        ("circuits.yaml", "circuits:\n", f"circuits:\n{circuits}"),
    ):
        file = folder / name
        text = file.read_text(encoding="utf-8")
        assert old in text
        file.write_text(text.replace(old, new, 1), encoding="utf-8")
    result, problems = work_out(folder)
    assert result is not None, problems
    return result
