"""Data flows one way: a room imports only from rooms before it, and no modules go in a circle."""

from __future__ import annotations

import ast
from pathlib import Path

import networkx as nx
import pytest

import buildbook

ROOMS = (
    "problem",
    "files",
    "words",
    "figures",
    "tasks",
    "description",
    "as_built",
    "issued",
    "catalogue",
    "begin",
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
    "calculators",
    "drawing",
    "book",
    "phone",
    "audit",
    "export",
    "api",
    "reference",
    "commands",
    "cli",
    "__main__",
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


def module_name(path: Path) -> str:
    parts = ("buildbook", *path.relative_to(PACKAGE).with_suffix("").parts)
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


def imported_modules(source: str, modules: set[str]) -> set[str]:
    """Modules of the package that a source imports, inside functions and for types alone too."""
    found: set[str] = set()
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.ImportFrom) and node.module:
            whole = (f"{node.module}.{alias.name}" for alias in node.names)
            found |= {name if name in modules else node.module for name in whole}
        elif isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
    return found & modules


def circles(sources: dict[str, str]) -> list[list[str]]:
    """Groups of modules that import each other, by whatever way round."""
    graph = nx.DiGraph()
    graph.add_nodes_from(sources)
    for name, source in sources.items():
        graph.add_edges_from((name, other) for other in imported_modules(source, set(sources)))
    rings = [sorted(group) for group in nx.strongly_connected_components(graph) if len(group) > 1]
    return sorted(rings + [[name] for name in graph if graph.has_edge(name, name)])


def test_no_modules_import_each_other_in_a_circle():
    assert circles({module_name(p): p.read_text(encoding="utf-8") for p in MODULES}) == []


HIDDEN = """
from typing import TYPE_CHECKING
if TYPE_CHECKING:
    from buildbook.electrical.two import Two
"""
IN_A_FUNCTION = """
def two():
    from buildbook.electrical import one
"""


def test_a_circle_is_found_where_types_and_functions_hide_it():
    ring = {"buildbook.electrical.one": HIDDEN, "buildbook.electrical.two": IN_A_FUNCTION}
    assert circles(ring) == [sorted(ring)]
    assert circles(ring | {"buildbook.electrical.two": ""}) == []
