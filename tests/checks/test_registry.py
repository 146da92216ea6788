"""Every rule is listed, says what it is, and has a test that fails without its body."""

from __future__ import annotations

import ast
import subprocess
import sys
from pathlib import Path

import pytest

from buildbook.checks import rules
from buildbook.checks.registry import RULES

ROOT = Path(__file__).parents[2]
PACKAGE = ROOT / "buildbook"
FILES = sorted(p.stem for p in Path(rules.__file__).parent.glob("*.py") if p.stem != "__init__")


def test_every_file_is_a_rule_with_an_id_of_its_own():
    assert len({rule.id for rule in RULES}) == len(RULES) == len(FILES)


def test_a_rule_is_found_by_its_id():
    assert [rule.id.replace("-", "_") for rule in RULES] == FILES


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.id)
def test_rule_says_what_it_finds_how_bad_that_is_and_on_whose_word(rule):
    assert rule.finds.startswith("Finds ") and rule.finds.endswith(".")
    assert rule.severities and set(rule.severities) <= {"error", "warning", "note"}
    assert len(rule.source) > 10


@pytest.mark.parametrize("name", FILES)
def test_no_rule_reads_files_or_writes_html(name):
    text = (Path(rules.__file__).parent / f"{name}.py").read_text(encoding="utf-8")
    for foreign in ("import yaml", "open(", "read_text", "jinja", "weasyprint", "<td", "<p>"):
        assert foreign not in text


def modules_imported(path: Path) -> set[str]:
    """Full names of all that a module imports, inside functions too."""
    found: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.ImportFrom):
            found |= {f"{node.module}.{alias.name}" for alias in node.names}
        elif isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
    return found


def test_nothing_but_their_list_imports_a_rule():
    """A limit that another room needs, too, lives in the room that it describes."""
    users = {
        str(path.relative_to(PACKAGE))
        for path in PACKAGE.rglob("*.py")
        if any(name.startswith(rules.__name__) for name in modules_imported(path))
    }
    assert users == {"checks/registry.py"}


def test_each_rule_has_a_test_that_fails_when_its_body_is_gone():
    run = subprocess.run(
        [
            sys.executable,
            "-m",
            "pytest",
            "-q",
            "-n",
            "0",
            "-p",
            "tests.checks.blanked",
            "tests/checks",
            "tests/harness/test_finishing.py",
            "-k",
            "checks or bend",
            "--ignore",
            __file__,
            "--tb=no",
            "-p",
            "no:cacheprovider",
        ],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    line = next(x for x in run.stdout.splitlines() if x.startswith("proven:"))
    assert set(FILES) - set(line.removeprefix("proven:").split()) == set()
