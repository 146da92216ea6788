"""What is declared in pyproject.toml is what is imported, no more and no less."""

from __future__ import annotations

import ast
import re
import sys
import tomllib
from importlib.metadata import packages_distributions
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
WRITTEN = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
OURS = {"buildbook", "tests"}
COMMANDS = {"mypy", "ruff"}
"""Declared for the tests because `.ci/run` calls them."""
STUBS = {"types-networkx": "networkx", "types-pyyaml": "yaml"}
"""Declared for mypy: the package of the program that has no types without them."""


def plain(name: str) -> str:
    """A distribution's name as all its spellings have it."""
    return re.sub(r"[-_.]+", "-", name).lower()


def declared(requirements: list[str]) -> set[str]:
    return {plain(re.split(r"[<>=!~;\[ ]", line)[0]) for line in requirements}


def imported(text: str) -> set[str]:
    """Packages that a module imports, inside functions too, or looks for by `find_spec`."""
    names: list[str] = []
    for node in ast.walk(ast.parse(text)):
        match node:
            case ast.Import():
                names += [alias.name for alias in node.names]
            case ast.ImportFrom(module=str(module), level=0):
                names.append(module)
            case ast.Call(
                func=ast.Attribute(attr="find_spec" | "import_module") | ast.Name(id="find_spec"),
                args=[ast.Constant(value=str(module)), *_],
            ):
                names.append(module)
    return {name.split(".")[0] for name in names} - set(sys.stdlib_module_names) - OURS


def packages(folder: str) -> set[str]:
    """Packages that the modules of a folder import."""
    files = sorted((ROOT / folder).rglob("*.py"))
    return {package for path in files for package in imported(path.read_text("utf-8"))}


def distributions(folder: str) -> set[str]:
    """Distributions that bring them."""
    brought_by = packages_distributions()
    return {plain(n) for package in packages(folder) for n in brought_by.get(package, [package])}


PROGRAM = declared(WRITTEN["project"]["dependencies"])
BUILD = declared(WRITTEN["build-system"]["requires"])
TEST = declared(WRITTEN["project"]["optional-dependencies"]["test"])
ON_REQUEST = declared(WRITTEN["project"]["optional-dependencies"]["mutation"])


def test_what_the_program_imports_is_declared():
    assert distributions("buildbook") - PROGRAM - BUILD == set()


def test_what_is_declared_for_the_program_is_imported():
    assert PROGRAM - distributions("buildbook") == set()


def test_what_the_tests_import_is_declared():
    assert distributions("tests") - PROGRAM - TEST == ON_REQUEST


def test_what_is_declared_for_the_tests_is_imported_or_called():
    assert TEST - distributions("tests") == {*COMMANDS, *STUBS}
    run = (ROOT / ".ci" / "run").read_text(encoding="utf-8")
    assert {command for command in COMMANDS if f"/bin/{command} " in run} == COMMANDS
    assert set(STUBS.values()) <= packages("buildbook")
    assert "-n" in WRITTEN["tool"]["pytest"]["ini_options"]["addopts"].split()


def test_every_lower_bound_is_said():
    every = [*WRITTEN["project"]["dependencies"]]
    for extra in WRITTEN["project"]["optional-dependencies"].values():
        every += extra
    assert [line for line in every if ">=" not in line] == []


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("import rich", {"rich"}),
        ("def f():\n    from rich.text import Text", {"rich"}),
        ("import os, json\nfrom . import near\nfrom buildbook import cli", set()),
        ("importlib.util.find_spec('font_roboto')", {"font_roboto"}),
    ],
)
def test_an_import_is_found_wherever_it_stands(text, found):
    assert imported(text) == found
