"""Data flows one way: a room imports only from rooms before it."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

import buildbook

ROOMS = (
    "problem",
    "files",
    "figures",
    "description",
    "as_built",
    "catalogue",
    "vehicle",
    "harness",
    "electrical",
    "sizing",
    "parts",
    "checks",
    "bench",
    "faultfinding",
    "result",
    "pipeline",
    "calc",
    "drawing",
    "book",
    "export",
    "commands",
    "cli",
)
PACKAGE = Path(buildbook.__file__).parent


def imported(path: Path) -> set[str]:
    """Rooms that a module imports from, inside functions too."""
    names: list[str] = []
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.ImportFrom) and node.module:
            names.append(node.module)
        elif isinstance(node, ast.Import):
            names += [alias.name for alias in node.names]
    return {n.split(".")[1] for n in names if n.startswith("buildbook.")}


def room_of(path: Path) -> str:
    return path.relative_to(PACKAGE).parts[0].removesuffix(".py")


MODULES = sorted(p for p in PACKAGE.rglob("*.py") if p.name != "__init__.py" or p.parent != PACKAGE)


@pytest.mark.parametrize("path", MODULES, ids=lambda p: str(p.relative_to(PACKAGE)))
def test_a_module_imports_no_room_after_its_own(path):
    place = ROOMS.index(room_of(path))
    assert {room for room in imported(path) if ROOMS.index(room) > place} == set()
