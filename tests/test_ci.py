"""The two commands of the README do what it says: `.ci/setup` installs, `.ci/run` fails on any."""

from __future__ import annotations

import os
import re
import shlex
import shutil
import subprocess
from pathlib import Path

import click
import pytest

from buildbook.cli import main
from buildbook.files.starter import write_starter
from buildbook.reference.topics import SECTIONS, TOPICS
from tests.conftest import EXAMPLE

ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")
TOOLS = ("ruff check", "ruff format --check", "mypy --strict", "python -m pytest")
"""What `.ci/run` runs of .venv/bin, in this order."""
FAILING = '[ -z "$FAILS" ] || [[ "$(basename $0) $*" != $FAILS* ]]'


def stand_in(path: Path, body: str = "") -> None:
    """A command that writes down how it was called, then does `body`."""
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(f'#!/bin/bash\necho "$(basename $0) $*" >> "$CALLS"\n{body}\n')
    path.chmod(0o755)


@pytest.fixture
def clone(tmp_path):
    """`.ci` in a folder of its own, where every command it calls is a stand-in."""
    shutil.copytree(ROOT / ".ci", tmp_path / "clone" / ".ci")
    for name in ("apt-get", "sudo", "python3"):
        stand_in(tmp_path / "bin" / name)
    stand_in(tmp_path / "bin" / "apt-cache", 'echo "Package: $2"')
    stand_in(tmp_path / "bin" / "dpkg", '[ "$2" != "$MISSING" ]')
    stand_in(tmp_path / "bin" / "id", "echo 1000")
    for name in ("python", "pip", "ruff", "mypy"):
        stand_in(tmp_path / "clone" / ".venv" / "bin" / name, FAILING)
    return tmp_path


def ran(clone: Path, command: str, **more: str) -> tuple[subprocess.CompletedProcess, list[str]]:
    """How a command of the README ended there, and the calls that it made."""
    calls = clone / "calls"
    calls.unlink(missing_ok=True)
    path = f"{clone / 'bin'}:{os.environ['PATH']}"
    env = {"PATH": path, "CALLS": str(calls), "MISSING": "", "FAILS": ""} | more
    ended = subprocess.run(
        ["bash", "-c", command], cwd=clone / "clone", env=env, capture_output=True, text=True
    )
    return ended, calls.read_text().splitlines()


def commands_of_the_readme() -> list[str]:
    """The commands under 'Two commands'."""
    _, _, after = README.partition("## Two commands")
    section, _, _ = after.partition("\n## ")
    return re.findall(r"^```sh\n(.+?)\n```$", section, re.MULTILINE | re.DOTALL)


def test_the_readme_has_two_commands_and_the_second_runs_what_ci_runs():
    make, test = commands_of_the_readme()
    assert make == "bash .ci/setup && .venv/bin/buildbook make example_vehicle"
    assert test == "bash .ci/run"


def test_run_installs_what_the_tests_need_then_lints_checks_types_and_tests(clone):
    ended, calls = ran(clone, "bash .ci/run")
    assert ended.returncode == 0
    assert "pip install --quiet -e .[test]" in calls
    called = [tool for call in calls for tool in TOOLS if call.startswith(tool)]
    assert called == list(TOOLS)


@pytest.mark.parametrize("tool", TOOLS)
def test_run_fails_when_one_of_them_fails(clone, tool):
    ended, calls = ran(clone, "bash .ci/run", FAILS=tool)
    assert ended.returncode != 0
    assert any(call.startswith(tool) for call in calls)


def test_setup_alone_installs_the_program_without_the_tests_and_asks_for_nothing(clone):
    _, calls = ran(clone, "bash .ci/setup")
    assert [call for call in calls if call.startswith("pip")] == ["pip install --quiet -e ."]
    assert not [call for call in calls if call.startswith(("sudo", "apt-get"))]
    assert "dpkg -s ngspice" not in calls


def test_setup_asks_for_sudo_only_where_a_system_package_is_missing(clone):
    for package in ("ngspice", "poppler-utils"):
        _, calls = ran(clone, "bash .ci/setup test", MISSING=package)
        asked = [call for call in calls if call.startswith("sudo")]
        assert asked[0].startswith("sudo apt-get update")
        assert asked[1].startswith("sudo apt-get install") and asked[1].endswith(f" {package}")


@pytest.mark.parametrize("silence", ["exit 1", "exit 0"])
def test_setup_for_the_tests_brings_a_browser_where_there_is_a_package(clone, silence):
    """Of a name that only others provide some versions of apt say nothing, and end well."""
    _, calls = ran(clone, "bash .ci/setup test", MISSING="chromium")
    assert [c for c in calls if c.startswith("sudo apt-get install")][0].endswith(" chromium")
    stand_in(clone / "bin" / "apt-cache", silence)
    ended, calls = ran(clone, "bash .ci/setup test", MISSING="chromium")
    assert ended.returncode == 0 and "skipped" in ended.stderr
    assert not [call for call in calls if call.startswith("sudo apt-get install")]


def test_setup_says_what_to_type_as_root_where_there_is_no_sudo(clone):
    (clone / "bin" / "sudo").unlink()
    if shutil.which("sudo"):
        pytest.skip("sudo is installed here")
    ended, calls = ran(clone, "bash .ci/setup", MISSING="libpango-1.0-0")
    assert ended.returncode == 1
    assert "apt-get install -y libpango-1.0-0" in ended.stderr
    assert not [call for call in calls if call.startswith("pip")]


def test_system_packages_are_those_that_the_book_asks_for_when_pango_is_missing(clone):
    from buildbook.book.render import PANGO

    _, calls = ran(clone, "bash .ci/setup")
    looked_for = {call.removeprefix("dpkg -s ") for call in calls if call.startswith("dpkg")}
    told = set(re.findall(r"lib\w+[\d.-][\w.-]+", PANGO))
    assert looked_for == told | {"python3-venv"}


USES = re.findall(r"^\.venv/bin/buildbook (.+?) *(?:#.*)?$", README, re.MULTILINE)
"""Every use of the program that the README shows, without what stands behind it."""


@pytest.mark.parametrize("words", USES)
def test_what_the_readme_types_is_understood(words, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    write_starter(tmp_path / "my-car")
    (tmp_path / "example_vehicle").symlink_to(EXAMPLE)
    (tmp_path / "output").mkdir()
    (tmp_path / "output" / "my-car.pdf").touch()
    name, *rest = shlex.split(words)
    command = main.get_command(click.Context(main), name)
    assert command is not None
    command.make_context(name, rest if name != "new" else ["other"])


def test_the_readme_shows_every_command_and_topics_that_there_are():
    assert {words.split()[0] for words in USES} == set(main.list_commands(click.Context(main)))
    topics = {w.split()[1] for w in USES if w.startswith("reference ")}
    topics |= set(re.findall(r"`buildbook reference (\S+)`", README))
    assert topics <= {topic.name for topic in TOPICS} | set(SECTIONS)
    assert {topic.name for topic in TOPICS} - topics == {"calc"}


def test_the_readme_leaves_the_reference_to_the_program():
    assert len(README.encode()) <= 15_000
