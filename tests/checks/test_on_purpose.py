"""What is meant so is written where it stands, waived, and told once it is gone."""

from __future__ import annotations

from pathlib import Path

from buildbook.checks.model import Finding
from buildbook.pipeline import look_over
from tests.checks.over_four_vehicles import VEHICLES

CIRCUIT = "join: [battery.+, panel.B]"


def _found(folder: Path, written: str) -> list[Finding]:
    """What is found where the feed of the smallest vehicle's panel has more written."""
    text = (VEHICLES / "two-wire" / "vehicle.yaml").read_text(encoding="utf-8")
    assert text.count(CIRCUIT) == 1
    (folder / "vehicle.yaml").write_text(text.replace(CIRCUIT, CIRCUIT + written), "utf-8")
    checked, problems = look_over(folder)
    assert checked is not None, problems
    return [f for f in checked.findings if f.rule in ("feed-unfused", "waiver-unused")]


def test_what_is_found_at_a_wire_of_the_circuit_is_waived(tmp_path):
    (before,) = _found(tmp_path, "")
    (after,) = _found(tmp_path, ", on purpose: {feed-unfused: one hand long and in a sleeve}")
    assert (before.rule, before.waived) == ("feed-unfused", "")
    assert (after.key, after.waived) == (before.key, "one hand long and in a sleeve")


def test_what_is_not_found_there_is_told(tmp_path):
    told = _found(tmp_path, ", on purpose: {fed-twice: both feed it}")
    (unused,) = (f for f in told if f.rule == "waiver-unused")
    assert unused.about == "panel feed" and "fed-twice" in unused.text
