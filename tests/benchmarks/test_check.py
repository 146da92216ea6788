"""Times `check` against `make` on the example, cold and after one word of a note; by name only.

python -m pytest -n 0 -s tests/benchmarks/test_check.py
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import time
from pathlib import Path

from tests.conftest import EXAMPLE

SHARE = 0.1


def _seconds(cache: Path, *words: str) -> float:
    begin = time.perf_counter()
    code = f"from buildbook.cli import main; main({list(words)!r})"
    environment = {**os.environ, "XDG_CACHE_HOME": str(cache)}
    subprocess.run([sys.executable, "-c", code], capture_output=True, check=False, env=environment)
    return time.perf_counter() - begin


def test_check_takes_a_tenth_of_the_time_of_make(tmp_path):
    made = _seconds(tmp_path / "made", "make", str(EXAMPLE), "--out", str(tmp_path / "out"))
    checked = min(_seconds(tmp_path / str(turn), "check", str(EXAMPLE)) for turn in range(2))
    car = tmp_path / "car"
    shutil.copytree(EXAMPLE, car)
    note = car / "notes" / "control.md"
    note.write_text(note.read_text("utf-8") + "\nOne sentence more.\n", "utf-8")
    again = _seconds(tmp_path / "0", "check", str(car))
    print(f"check {checked:.1f} s, make {made:.1f} s: {100 * checked / made:.0f} %")
    print(f"check after one word of a note {again:.1f} s: {100 * again / made:.0f} %")
    assert checked <= SHARE * made
