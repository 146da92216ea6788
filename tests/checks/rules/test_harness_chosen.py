"""A wire that could run in several harnesses: told where the choice makes a difference."""

from __future__ import annotations

from typing import Any

import pytest

from buildbook.checks.rules import harness_chosen
from buildbook.harness.build import build_harness
from tests.checks import minimal as m
from tests.harness.trees import joined, plug, run

PLUGS = {"plug-1": plug(1), "gate": plug(6)}


def told(rope: dict[str, Any], circuits: dict[str, Any], devices: dict[str, Any]) -> list[Any]:
    """What is found of a lamp's feed from the box to the tail, in two harnesses and a third."""
    fixed = {
        "battery": {"kind": "battery", "at": "box", "system": "all"},
        "G1": {"kind": "ground", "at": "box", "system": "all"},
    }
    supply = {"battery ground": {"join": ["battery.-", "G1"], "harness": "cables"}}
    vehicle = joined(
        {
            "plugs": PLUGS,
            "rope": rope,
            "devices": fixed | devices,
            "circuits": supply | circuits,
        }
    )
    harness, problems = build_harness(vehicle)
    assert harness is not None, problems
    return list(harness_chosen.check(m.assessed(vehicle, harness)))


def stud(point: str) -> dict[str, Any]:
    return {"kind": "ground", "at": point, "system": "all"}


def two_ways(by_cables_mm: int) -> dict[str, Any]:
    """From the box to the tail by front and rear, 2 m and a connector, or along the cables."""
    return {
        "cables": {"runs": [run("box", "tail", by_cables_mm)]},
        "front": {"runs": [run("box", "wall", 1000)]},
        "rear": {"runs": [run("wall", "tail", 1000)]},
    }


GATE = {
    "kind": "pass-through",
    "at": "wall",
    "system": "all",
    "plug": "gate",
    "between": ["front", "rear"],
}
ENDS = {"X1": GATE, "G2": stud("box"), "G3": stud("tail")}
STRAP = {"strap": {"join": ["G2", "G3"]}}


@pytest.mark.parametrize(
    ("by_cables_mm", "says"),
    [
        (2300, "strap runs in cables (2300 mm) to spare a contact of X1, and would be 300 mm"),
        (2800, "strap crosses X1 from harness to harness (front and rear, 2000 mm); in cables it"),
    ],
)
def test_a_longer_way_and_a_contact_are_told(by_cables_mm, says):
    """A crossing counts for 0.5 m: up to 2.5 m the cables are taken."""
    (found,) = told(two_ways(by_cables_mm), STRAP, ENDS)
    assert found.about == "strap" and found.text.startswith(says)
    assert "`harness: cables`" in found.remedy and "`harness: front`" in found.remedy


@pytest.mark.parametrize("by_cables_mm", [1900, 3100, 9000])
def test_a_way_that_is_better_all_round_or_by_far_is_not_told(by_cables_mm):
    assert told(two_ways(by_cables_mm), STRAP, ENDS) == []


def test_what_the_author_says_is_not_asked():
    said = {"strap": {"join": ["G2", "G3"], "harness": "front"}}
    assert told(two_ways(2300), said, ENDS) == []


BESIDE = {
    "front": {"runs": [run("box", "dash", 900)]},
    "cables": {"runs": [run("box", "tail", 2000)]},
}
LINK = {"link": {"join": ["battery.+", "G2"], "family": "battery"}}


def test_a_link_away_from_its_like_is_told_where_only_the_order_decided():
    """Both things are in the box, and the front's rope is described first."""
    cable = {"cable": {"join": ["G2", "G3"], "family": "battery"}}
    (found,) = told(BESIDE, LINK | cable, {"G2": stud("box"), "G3": stud("tail")})
    assert found.about == "link"
    assert "is laid in front" in found.text and "in cables" in found.text
    assert "(cable)" in found.text


def test_a_link_beside_none_of_its_like_is_not_told():
    assert told(BESIDE, LINK, {"G2": stud("box")}) == []
