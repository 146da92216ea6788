"""Times `make` of the example against what it is measured by, in one run; run by name only.

python -m pytest -n 0 -s tests/benchmarks/test_make.py

Against Chromium (`chromium` of the system) printing the same HTML as one document; against an
older program where BUILDBOOK_OLDER names a checkout of it, such as commit 019b94b.
"""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
import time
from pathlib import Path
from urllib.parse import quote

import pytest

from buildbook.book.drawings import Drawings
from buildbook.book.editions import WHOLE, chapters_of
from buildbook.book.jobs import Filler
from buildbook.pipeline import work_out
from tests.conftest import EXAMPLE

ROOT = Path(__file__).parents[2]
LENGTH = re.compile(r"length: (\d+) mm")


def seconds(words: list[str], cache: Path, program: Path = ROOT) -> float:
    """Wall time of a command of a program with a cache folder of its own."""
    begin = time.perf_counter()
    code = f"from buildbook.cli import main; main({words!r})"
    environment = {**os.environ, "XDG_CACHE_HOME": str(cache), "PYTHONPATH": str(program)}
    ended = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, check=False, env=environment, cwd=program
    )
    assert ended.returncode in (0, 1), ended.stderr.decode()
    return time.perf_counter() - begin


@pytest.fixture(scope="module")
def cold(tmp_path_factory) -> tuple[float, Path]:
    """Seconds of the whole book with an empty cache, and the cache that it leaves."""
    folder = tmp_path_factory.mktemp("make")
    return seconds(["make", str(EXAMPLE), "--out", str(folder)], folder / "cache"), folder


def told(what: str, took: float, against: float, most: float) -> None:
    print(f"{what}: {took:.1f} s to {against:.1f} s, {took / against:.3f} (at most {most})")
    assert took <= most * against


def test_nothing_changed(cold):
    took, folder = cold
    again = seconds(["make", str(EXAMPLE), "--out", str(folder / "again")], folder / "cache")
    told("nothing changed against cold", again, took, 0.05)


def test_one_length_changed(cold, tmp_path):
    took, folder = cold
    car = tmp_path / "car"
    shutil.copytree(EXAMPLE, car)
    path = car / "rope.yaml"
    text = LENGTH.sub(lambda m: f"length: {int(m[1]) + 10} mm", path.read_text("utf-8"), count=1)
    assert text != path.read_text("utf-8")
    path.write_text(text, "utf-8")
    edited = seconds(["make", str(car), "--out", str(tmp_path / "out")], folder / "cache")
    told("one length changed against cold", edited, took, 0.15)


def test_one_word_of_a_note_changed(cold, tmp_path):
    took, folder = cold
    car = tmp_path / "car"
    shutil.copytree(EXAMPLE, car)
    path = car / "notes" / "control.md"
    path.write_text(path.read_text("utf-8") + "\nOne sentence more.\n", "utf-8")
    edited = seconds(["make", str(car), "--out", str(tmp_path / "out")], folder / "cache")
    told("one word of a note changed against cold", edited, took, 0.15)


def test_against_a_browser_printing_the_same_html(cold, tmp_path):
    took, _folder = cold
    browser = shutil.which("chromium")
    if browser is None:
        pytest.skip("no chromium here")
    result, problems = work_out(EXAMPLE)
    assert result is not None, problems
    chapters = chapters_of(WHOLE, result, Drawings(result))
    vehicle = result.vehicle
    filler = Filler(chapters, vehicle.description.vehicle, vehicle.supply, frozenset())
    bodies, heads = [], []
    for place, _chapter in enumerate(chapters):
        job = filler.job(place)
        for name, svg in job.files.items():
            (tmp_path / f"{quote(name, safe='')}.svg").write_text(svg, "utf-8")
        html = re.sub(
            r'src="drawing:([^"]*)"',
            lambda m: f'src="{quote(quote(m[1], safe=""))}.svg"',
            job.html,
        )
        head, _, rest = html.partition("<body>")
        bodies.append(f'<div style="break-before: page">{rest.partition("</body>")[0]}</div>')
        heads.append(head)
    page = tmp_path / "all.html"
    page.write_text(f"{heads[0]}<body>{''.join(bodies)}</body></html>", "utf-8")
    words = ["--headless", "--no-sandbox", "--disable-gpu", "--allow-file-access-from-files"]
    times = []
    for _turn in range(2):
        begin = time.perf_counter()
        pdf = tmp_path / "all.pdf"
        subprocess.run(
            [browser, *words, f"--print-to-pdf={pdf}", str(page)], capture_output=True, check=True
        )
        times.append(time.perf_counter() - begin)
        assert pdf.stat().st_size > 100_000
    told("cold whole book against a browser", took, min(times), 3.0)


def test_against_an_older_program(cold, tmp_path):
    took, _folder = cold
    older = os.environ.get("BUILDBOOK_OLDER")
    if older is None:
        pytest.skip("BUILDBOOK_OLDER names no checkout")
    words = ["make", "example_vehicle", "--out", str(tmp_path / "older")]
    before = seconds(words, tmp_path / "cache", Path(older))
    told("cold whole book against the older program", took, before, 0.25)
