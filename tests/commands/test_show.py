"""`show` tells of a circuit in which harness it runs, why, and how it would run in others."""

from __future__ import annotations

import re

import pytest
from click.testing import CliRunner

from buildbook.cli import main
from tests.description.short import folder

ROPE = """rope:
  cables: {runs: [{from: box, to: tail, length: 2300 mm, zone: frame}]}
  front: {runs: [{from: box, to: wall, length: 1 m, zone: frame}]}
  rear: {runs: [{from: wall, to: tail, length: 1 m, zone: frame}]}
"""
LINES = """plugs: {gate: {contact: pin-1.5, rows: [["1", "2"]]}}
devices:
  X1: {kind: pass-through, at: wall, system: all, plug: gate, between: [front, rear]}
  G2: {kind: ground, at: tail}
circuits:
  back: {join: [battery.-, G1]}
  feed: {join: [battery.+, panel.B]}
  strap: {join: [G1, G2]%s}
"""


@pytest.mark.parametrize(
    ("said", "told", "key"),
    [
        ("", "cables, 2.30 m of rope: the shortest, where a pass-through counts as 0.5 m", "front"),
        (
            ", harness: front",
            "front and rear through X1, 2.00 m of rope: as `harness` says",
            "cables",
        ),
    ],
)
def test_the_way_that_is_taken_and_the_key_of_another(tmp_path, said, told, key):
    """By the cables 2.3 m; by front and rear 2 m and a connector."""
    made = folder(tmp_path, LINES % said)
    written = tmp_path / "vehicle.yaml"
    written.write_text(re.sub(r"rope: .*\n", ROPE, written.read_text()))
    shown = CliRunner().invoke(main, ["show", str(made), "strap"]).output
    assert f"# strap runs in {told}" in shown
    assert f"with `harness: {key}` it would run in" in shown


def test_a_circuit_that_can_run_in_one_harness_alone(tmp_path):
    made = folder(tmp_path, "circuits:\n  feed: {join: [battery.+, panel.B]}\n")
    (tmp_path / "more.yaml").write_text("circuits:\n  back: {join: [battery.-, G1]}\n")
    shown = CliRunner().invoke(main, ["show", str(made), "feed"]).output
    assert "# feed runs in main, at one place: the only way" in shown
