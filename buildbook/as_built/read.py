"""Reads `as-built.yaml`, and refuses a label that is recorded twice."""

from __future__ import annotations

from pathlib import Path

from pydantic import ValidationError

from buildbook.as_built.model import AsBuilt
from buildbook.description.explain import explain
from buildbook.description.read import AS_BUILT, Positions, is_inside, outside
from buildbook.description.yaml_reader import plain, read_yaml
from buildbook.problem import Problem, Where


def read_as_built(folder: Path) -> tuple[AsBuilt | None, list[Problem]]:
    """What the harnesses of a vehicle folder were built with, or None where nothing is recorded."""
    path = folder / AS_BUILT
    if not is_inside(path, folder):
        return None, [outside(Where(AS_BUILT), AS_BUILT)]
    if not path.exists():
        return None, []
    if not path.is_file():
        return None, [Problem(Where(AS_BUILT), f"`{AS_BUILT}` is not an ordinary file")]
    tree, problems = read_yaml(path, AS_BUILT)
    if tree is None or problems:
        return None, problems
    try:
        as_built = AsBuilt.model_validate(plain(tree))
    except ValidationError as error:
        return None, explain(error, tree, AsBuilt)
    return as_built, _doubled(as_built, Positions(tree))


def _doubled(as_built: AsBuilt, positions: Positions) -> list[Problem]:
    """Labels that are given to two wires, splices or circuits."""
    owner: dict[str, str] = {}
    problems = []
    for circuit, built in as_built.circuits.items():
        labels: list[tuple[tuple[str, ...], str]] = [(("number",), f"number {built.number}")]
        labels += [(("wires", wire), f"wire {wire}") for wire in built.wires]
        labels += [(("splices", splice), f"splice {splice}") for splice in built.splices]
        for path, label in labels:
            first = owner.setdefault(label, circuit)
            if first != circuit:
                problems.append(
                    Problem(
                        positions.spot("circuits", circuit, *path),
                        f"{label} is recorded for `{circuit}` and for `{first}`",
                        "a label stands for one thing, or nobody can find it in the car",
                        "correct the one that is wrong",
                    )
                )
    return problems
