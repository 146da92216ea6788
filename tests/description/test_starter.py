"""The starter is a sound vehicle, and is never written over anything."""

from __future__ import annotations

import pytest

from buildbook.description.read import read_folder
from buildbook.files.starter import NotWritten, write_starter
from buildbook.vehicle.join import join


def test_the_starter_joins_up_without_a_problem(tmp_path):
    paths = write_starter(tmp_path / "car")
    assert {path.name for path in paths} == {"vehicle.yaml", "parts.csv", "notes.md"}
    reading, problems = read_folder(tmp_path / "car")
    assert problems == []
    vehicle, problems = join(reading)
    assert problems == []
    assert {"battery", "isolator", "panel", "fuse", "relay", "motor", "lamp", "ground"} <= {
        device.kind for device in vehicle.devices.values()
    }


def test_a_folder_with_something_in_it_is_left_alone(tmp_path):
    (tmp_path / "mine.txt").write_text("mine")
    with pytest.raises(NotWritten, match="not empty"):
        write_starter(tmp_path)
    assert [path.name for path in tmp_path.iterdir()] == ["mine.txt"]


def test_a_file_in_the_way_is_left_alone(tmp_path):
    (tmp_path / "car").write_text("mine")
    with pytest.raises(NotWritten, match="is a file"):
        write_starter(tmp_path / "car")
