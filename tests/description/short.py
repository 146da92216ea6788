"""A small vehicle that tests of what is written in short add their lines to."""

from __future__ import annotations

from pathlib import Path

from buildbook.description.models import Description
from buildbook.description.read import read_folder
from buildbook.problem import Problem

VEHICLE = """vehicle: {name: Small, date: 2026-03-01}
supply: {battery: {between: [battery.+, battery.-]}}
states:
  "off": {}
  ignition on: {}
  cranking: {engine: 200 rpm}
  idle: {engine: 900 rpm}
zones: {frame: {ambient: 40 degC}}
systems: {all: {title: All of it}}
rope: {main: {runs: [{from: box, to: tail, length: 2 m, zone: frame}]}}
"""
DEVICES = """devices:
  battery: {kind: battery, at: box, system: all}
  panel: {kind: panel, at: box, pins: {B: bus, I: other bus}}
  G1: {kind: ground, at: box}
"""


def folder(tmp_path: Path, written: str, devices: str = DEVICES) -> Path:
    """A vehicle folder with some lines of the test's own in `short.yaml`."""
    (tmp_path / "vehicle.yaml").write_text(VEHICLE + devices)
    (tmp_path / "short.yaml").write_text(written)
    return tmp_path


def read(tmp_path: Path, written: str) -> Description:
    """The description, of which nothing may be wrong."""
    contents, problems = read_folder(folder(tmp_path, written))
    assert contents is not None and not problems, problems
    return contents.description


def problems_of(tmp_path: Path, written: str) -> list[Problem]:
    """What is told of the lines."""
    _, problems = read_folder(folder(tmp_path, written))
    return [problem for problem in problems if problem.where.file == "short.yaml"]
