"""What the rules find is said in the language of the book, by its catalogue."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

from buildbook.checks import rules
from buildbook.checks.run import run_checks
from buildbook.words.say import in_language, unknown_words
from tests.checks.over_four_vehicles import assessed_with

FILES = sorted(Path(rules.__file__).parent.glob("*.py"))
TEXT, REMEDY = 3, 4
"""Places of the words among what a finding is made of."""


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_a_rule_says_what_it_finds_and_its_remedy_by_the_catalogue(path):
    tree = ast.parse(path.read_text("utf-8"))
    found = [n for n in ast.walk(tree) if isinstance(n, ast.Call) and _called(n) == "Finding"]
    unsaid = [text for call in found for arg in call.args[TEXT : REMEDY + 1] for text in _in(arg)]
    assert unsaid == []


def _called(call: ast.Call) -> str:
    return call.func.id if isinstance(call.func, ast.Name) else ""


def _in(node: ast.expr) -> Iterator[str]:
    """Words that stand in an expression outside of all calls and conditions."""
    if isinstance(node, ast.Call | ast.Compare):
        return
    if isinstance(node, ast.Constant) and isinstance(node.value, str) and node.value.strip():
        yield node.value
    for child in ast.iter_child_nodes(node):
        if isinstance(child, ast.expr):
            yield from _in(child)


SEEDED = (
    (None, "motorcycle"),
    (None, "two-batteries"),
    ("P18", "positive-earth"),
    ("P27", "positive-earth"),
)
"""Vehicles in which many rules find something, some with a mistake of the lists."""


@pytest.mark.parametrize(("mistake", "vehicle"), SEEDED, ids=lambda name: str(name))
def test_findings_of_a_small_vehicle_are_said_in_german(mistake, vehicle):
    assessed = assessed_with(mistake, vehicle)
    with in_language("de"), unknown_words() as unknown:
        found = run_checks(assessed)
    assert found and unknown == set()
