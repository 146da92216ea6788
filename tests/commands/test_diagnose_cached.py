"""The broken car is kept between questions, and only the same car's and program's is used."""

from __future__ import annotations

import io
import json
import os
import shutil
import time

import numpy as np
import pytest
from click.testing import CliRunner

from buildbook.cli import main
from buildbook.files import array_cache, kept
from tests.conftest import TESTS

MOTORCYCLE = TESTS / "vehicles" / "motorcycle"
FAULTS = "Breaking every part"
WORDS = ("--dead", "headlamp", "--reading", "F3=0 V", "--json")


def ask(vehicle, *words: str):
    ended = CliRunner().invoke(main, ["diagnose", str(vehicle), *WORDS, *words])
    assert ended.exit_code == 0, ended.output
    return ended


def test_the_second_answer_is_the_first_without_breaking_the_car_again(cache_folder):
    first, second = ask(MOTORCYCLE), ask(MOTORCYCLE)
    assert first.stdout == second.stdout
    assert FAULTS in first.stderr and FAULTS not in second.stderr
    assert first.stdout == ask(MOTORCYCLE, "--no-cache").stdout
    (file,) = cache_folder.iterdir()
    assert cache_folder.stat().st_mode & 0o077 == 0, "nobody else's business"


def test_without_a_cache_nothing_is_kept(cache_folder):
    assert FAULTS in ask(MOTORCYCLE, "--no-cache").stderr
    assert not cache_folder.exists()


def test_a_description_that_changed_is_broken_anew(tmp_path):
    car = tmp_path / "car"
    shutil.copytree(MOTORCYCLE, car)
    ask(car)
    path = car / "vehicle.yaml"
    path.write_text("# a remark changes nothing\n" + path.read_text())
    assert FAULTS not in ask(car).stderr
    supply = path.read_text().replace("volts: 12.7 V", "volts: 12.4 V", 1)
    assert supply != path.read_text()
    path.write_text(supply)
    assert FAULTS in ask(car).stderr


def test_another_program_breaks_the_car_anew(monkeypatch):
    ask(MOTORCYCLE)
    monkeypatch.setattr(kept, "_program", lambda: b"another")
    assert FAULTS in ask(MOTORCYCLE).stderr


@pytest.mark.parametrize(
    "spoil",
    [
        lambda file: file.write_bytes(b"nothing of the kind"),
        lambda file: file.write_bytes(file.read_bytes()[:-5000]),
        lambda file: file.write_bytes(
            b"".join([(b := file.read_bytes())[:900], b"x" * 400, b[1300:]])
        ),
        lambda file: file.chmod(0) or file.unlink(),
    ],
)
def test_a_file_that_cannot_be_read_is_passed_over(cache_folder, spoil):
    before = ask(MOTORCYCLE).stdout
    (file,) = cache_folder.iterdir()
    spoil(file)
    after = ask(MOTORCYCLE)
    assert after.stdout == before
    assert FAULTS in after.stderr


def test_arrays_of_another_shape_are_passed_over(cache_folder):
    before = ask(MOTORCYCLE).stdout
    (file,) = cache_folder.iterdir()
    arrays = array_cache.cached(file.name)
    assert arrays is not None
    arrays["healthy0"] = arrays["healthy0"][:-1]
    array_cache.store(file.name, arrays)
    assert ask(MOTORCYCLE).stdout == before


def test_objects_are_never_read():
    file = io.BytesIO()
    np.savez(file, facts=np.array([{}], dtype=object))
    kept.keep("evil", file.getvalue())
    assert kept.find("evil") == file.getvalue()
    assert array_cache.cached("evil") is None


def test_where_nothing_can_be_written_the_answer_comes_all_the_same(cache_folder):
    cache_folder.write_text("a file in the folder's place")
    assert json.loads(ask(MOTORCYCLE).stdout)["suspects"]


def test_what_was_longest_not_asked_for_makes_room(cache_folder):
    for name in ("book", "car"):
        kept.keep(name, b"")
    os.truncate(cache_folder / "book", kept.MOST_BYTES)
    os.utime(cache_folder / "book", (time.time() - 100,) * 2)
    array_cache.store("another car", {"a": np.zeros(1)})
    assert {path.name for path in cache_folder.iterdir()} == {"car", "another car"}
