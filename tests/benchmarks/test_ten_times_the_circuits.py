"""How each stage before typesetting grows with the vehicle, and its memory; run by name only.

python -m pytest -n 0 -s tests/benchmarks/test_ten_times_the_circuits.py

Made-up vehicles of about 40, 400 and 1,000 circuits, each in a process of its own. Processor
seconds are compared, so that a busy machine favours neither.
"""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
import yaml

from tests.drawing.generated import description
from tests.drawing.made_up_shapes import Shape

TIMED = """
import json, resource, sys, time
from pathlib import Path
from typing import Any
from buildbook.book.drawings import Drawings
from buildbook.pipeline import work_out
marks = []
note = lambda what, _done, _total: marks.append((what, time.process_time()))
result, problems = work_out(Path(sys.argv[1]), note)
assert result is not None, problems
note("Drawing", 0, 0)
if sys.argv[2]:
    Drawings(result).every()
note("", 0, 0)
print(json.dumps({
    "circuits": len(result.vehicle.circuits),
    "stages": {what: end - begin for (what, begin), (_, end) in zip(marks, marks[1:])},
    "bytes": 1024 * resource.getrusage(resource.RUSAGE_SELF).ru_maxrss,
}))
"""
MOST_TIMES, MOST_BYTES = 15.0, 10**9
LEAST_S = 0.02
"""Stages of the small vehicle that take less are timed too roughly to tell a ratio by."""


SHAPE = Shape("one of many", loads=14, systems=2, sensors=3, pins=10)
SHARED = ("battery", "shelf", "cabin", "bay")
"""What all copies have in common."""


def times_over(count: int) -> dict:
    """The same vehicle so many times over, fed by one battery: ten times of all there is."""
    one = description(SHAPE)
    own = {*one["devices"], *one["circuits"], *one["systems"], *one["cables"]}
    own |= {run[end] for h in one["rope"].values() for run in h["runs"] for end in ("from", "to")}
    own -= {*SHARED}

    def named(part: Any, number: int) -> Any:
        if isinstance(part, dict):
            return {
                named(key, number): value if key == "kind" else named(value, number)
                for key, value in part.items()
            }
        if isinstance(part, list):
            return [named(value, number) for value in part]
        if isinstance(part, str) and number and part.partition(".")[0] in own:
            return f"{part.partition('.')[0]} of {number}" + part.removeprefix(
                part.partition(".")[0]
            )
        return part

    whole = dict(one)
    for section in ("devices", "circuits", "systems", "cables"):
        whole[section] = {}
        for number in range(count):
            whole[section] |= named(one[section], number)
    runs = [run for number in range(count) for run in named(one["rope"]["h0"]["runs"], number)]
    return whole | {"rope": {"h0": {"runs": runs}}}


def timed(times: int, folder: Path, drawn: bool = True) -> dict:
    car = folder / f"times-{times}"
    car.mkdir()
    text = yaml.safe_dump(times_over(times), sort_keys=False)
    (car / "vehicle.yaml").write_text(text, "utf-8")
    words = [sys.executable, "-c", TIMED, str(car), "drawn" if drawn else ""]
    ended = subprocess.run(words, capture_output=True, text=True, check=False)
    assert ended.returncode == 0, ended.stderr
    found = json.loads(ended.stdout)
    print(f"{found['circuits']} circuits, {found['bytes'] / 1e6:.0f} MB: {found['stages']}")
    return found


def test_ten_times_the_circuits_take_at_most_fifteen_times_as_long(tmp_path):
    few, many = timed(1, tmp_path), timed(10, tmp_path)
    assert 9 <= many["circuits"] / few["circuits"] <= 11
    ratios = {
        stage: many["stages"][stage] / took
        for stage, took in few["stages"].items()
        if took >= LEAST_S
    }
    print({stage: round(ratio, 1) for stage, ratio in ratios.items()})
    assert max(ratios.values()) <= MOST_TIMES, ratios


@pytest.mark.parametrize("times", [25])
def test_a_thousand_circuits_in_a_gigabyte(times, tmp_path):
    found = timed(times, tmp_path, drawn=False)
    assert found["circuits"] >= 950
    assert found["bytes"] <= MOST_BYTES
