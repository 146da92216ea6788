"""Runs a calculator as a user does, and reads what it says."""

from __future__ import annotations

import json
import shlex

from click.testing import CliRunner, Result

from buildbook.cli import main


def run(words: str) -> Result:
    """`buildbook calc` with these words, as a shell would pass them."""
    return CliRunner().invoke(main, ["calc", *shlex.split(words)])


def result_of(words: str) -> dict[str, float | str]:
    """The results of a calculation by name, from its JSON."""
    ended = run(f"{words} --json")
    assert ended.exit_code == 0, ended.output
    return {name: row["value"] for name, row in json.loads(ended.output)["result"].items()}
