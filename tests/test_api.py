"""`import buildbook` reads, sizes, solves and draws; the lines are those of the README."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

import pytest

import buildbook
from tests.conftest import TESTS

TWO_WIRE = TESTS / "vehicles" / "two-wire"


def test_the_lines_of_the_readme_run_as_they_stand(tmp_path, monkeypatch):
    readme = (TESTS.parent / "README.md").read_text("utf-8")
    (code,) = re.findall(r"```python\n(.*?)```", readme, re.DOTALL)
    lines = [line for line in code.splitlines() if line.strip()]
    assert lines[0] == "import buildbook" and len(lines) == 6, lines
    (tmp_path / "my-car").symlink_to(TWO_WIRE)
    monkeypatch.chdir(tmp_path)
    names: dict[str, object] = {}
    exec(code, names)  # noqa: S102
    assert names["car"].description.vehicle.name == "Two-wire trailer"
    assert {w.label for w in names["sized"].sizing.wires.values()}
    assert names["result"].findings is not None
    assert all(svg.lstrip().startswith("<") for svg in names["drawings"].values())


def test_what_is_wrong_is_raised_with_its_places(tmp_path):
    (tmp_path / "vehicle.yaml").write_text("vehicle: {nam: A}\n")
    with pytest.raises(buildbook.Unusable, match="vehicle.yaml:1:11: no setting `nam`") as raised:
        buildbook.read(tmp_path)
    assert 11 in {problem.where.column for problem in raised.value.problems}


def test_the_stable_names_are_those_that_are_listed():
    assert {name for name in buildbook.STABLE if callable(getattr(buildbook, name))} == set(
        buildbook.STABLE
    )
    with pytest.raises(AttributeError):
        buildbook.unheard_of  # noqa: B018


def test_importing_it_imports_nothing_else():
    code = "import sys, buildbook; print([m for m in sys.modules if m.startswith('buildbook.')])"
    ran = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert ran.stdout.strip() == "[]" and Path(buildbook.__file__).exists()
