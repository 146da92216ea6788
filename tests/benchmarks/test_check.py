"""Times `check` against `make` on the example, each cold; run by name only.

python -m pytest -n 0 -s tests/benchmarks/test_check.py
"""

from __future__ import annotations

import subprocess
import sys
import time

from tests.conftest import EXAMPLE

SHARE = 0.1


def _seconds(*words: str) -> float:
    begin = time.perf_counter()
    code = f"from buildbook.cli import main; main({list(words)!r})"
    subprocess.run([sys.executable, "-c", code], capture_output=True, check=False)
    return time.perf_counter() - begin


def test_check_takes_a_tenth_of_the_time_of_make(tmp_path):
    made = _seconds("make", str(EXAMPLE), "--out", str(tmp_path))
    checked = min(_seconds("check", str(EXAMPLE)) for _ in range(2))
    print(f"check {checked:.1f} s, make {made:.1f} s: {100 * checked / made:.0f} %")
    assert checked <= SHARE * made
