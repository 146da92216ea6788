"""Whatever fails ends in two lines and exit code 3, and leaves no process and no part behind."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from concurrent.futures.process import BrokenProcessPool
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner

from buildbook import pipeline
from buildbook.cli import main
from buildbook.faultfinding.sweep import sweep
from buildbook.faultfinding.sweep_arrays import from_arrays, to_arrays
from buildbook.files.writing import PLACE, write_file, write_folder
from tests.conftest import TESTS

TWO_WIRE = TESTS / "vehicles" / "two-wire"
PROGRAM = (sys.executable, "-m", "buildbook.cli")


@pytest.mark.parametrize(
    ("error", "said"),
    [
        (ZeroDivisionError("float division by zero"), "a mistake of the program (ZeroDivision"),
        (RecursionError(), "a mistake of the program (RecursionError)"),
        (MemoryError(), "memory ran out"),
        (BrokenProcessPool("terminated abruptly"), "ended from outside"),
    ],
)
def test_a_mistake_of_the_program_says_two_lines_and_where_its_report_is(
    monkeypatch, cache_folder, error, said
):
    def fail(_folder, progress, *_, **_keep):
        progress("Choosing sizes and fuses", 3, 5)
        raise error

    monkeypatch.setattr(pipeline, "look_over", fail)
    ended = CliRunner().invoke(main, ["check", str(TWO_WIRE)])
    assert ended.exit_code == 3
    first, second = ended.output.splitlines()[-2:]
    assert "“Choosing sizes and fuses”" in first and said in first
    (report,) = (cache_folder / "errors").iterdir()
    assert str(report) in second
    assert type(error).__name__ in report.read_text(encoding="utf-8")
    assert "Traceback" not in ended.output


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no disk that is always full here")
def test_a_full_disk_behind_the_output_is_told():
    with open("/dev/full", "w") as full:
        ended = subprocess.run(
            [*PROGRAM, "check", TWO_WIRE], stdout=full, stderr=subprocess.PIPE, text=True
        )
    assert ended.returncode == 3
    assert "no space left on device" in ended.stderr and "Traceback" not in ended.stderr
    assert "Exception ignored" not in ended.stderr


def test_a_closed_pipe_is_no_mistake():
    read, write = os.pipe()
    os.close(read)
    ended = subprocess.run(
        [*PROGRAM, "check", TWO_WIRE], stdout=write, stderr=subprocess.PIPE, text=True
    )
    os.close(write)
    assert "Traceback" not in ended.stderr and "Exception ignored" not in ended.stderr


def children_of(pid: int) -> list[int]:
    """Worker processes that a process has begun, by the kernel's own list."""
    found = Path(f"/proc/{pid}/task/{pid}/children").read_text().split()
    workers = []
    for child in found:
        words = Path(f"/proc/{child}/cmdline").read_bytes()
        if b"spawn_main" in words:
            workers.append(int(child))
    return workers


def is_running(pid: int) -> bool:
    try:
        return Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()[0] != "Z"
    except OSError:
        return False


def making(out: Path) -> tuple[subprocess.Popen[str], list[int]]:
    """A book in the making, and its workers once they are there."""
    process = subprocess.Popen(
        [*PROGRAM, "make", TWO_WIRE, "--out", out, "--no-cache"],
        stdout=subprocess.DEVNULL,
        stderr=subprocess.PIPE,
        text=True,
    )
    end = time.monotonic() + 120
    while time.monotonic() < end and process.poll() is None:
        workers = children_of(process.pid)
        if len(workers) == 2:
            return process, workers
        time.sleep(0.05)
    raise AssertionError("no workers were begun")


linux = pytest.mark.skipif(not Path("/proc/self/task").exists(), reason="asks Linux for processes")


@linux
def test_a_worker_that_is_killed_ends_in_two_lines(tmp_path):
    process, workers = making(tmp_path / "out")
    os.kill(workers[0], signal.SIGKILL)
    _, said = process.communicate(timeout=300)
    assert process.returncode == 3
    assert "ended from outside" in said.splitlines()[-2] and "Traceback" not in said
    assert not list((tmp_path / "out").glob("*.pdf"))


@linux
@pytest.mark.parametrize("sign", [signal.SIGKILL, signal.SIGTERM])
def test_workers_end_with_their_parent_however_it_ends(tmp_path, sign):
    process, workers = making(tmp_path / "out")
    process.send_signal(sign)
    process.communicate(timeout=60)
    end = time.monotonic() + 60
    while any(map(is_running, workers)):
        assert time.monotonic() < end, "workers live on without their parent"
        time.sleep(0.1)


def test_what_a_killed_run_left_is_gone_after_the_next(tmp_path):
    ended = subprocess.Popen([sys.executable, "-c", ""])
    ended.wait()
    place = tmp_path / PLACE
    (place / f"{ended.pid}-abc" / "drawings").mkdir(parents=True)
    (place / f"{ended.pid}-def").write_bytes(b"half a book")
    write_file(tmp_path / "book.pdf", b"whole")
    assert [path.name for path in tmp_path.iterdir()] == ["book.pdf"]


def test_what_another_run_is_writing_is_left_to_it(tmp_path):
    other = tmp_path / PLACE / f"{os.getppid()}-abc"
    other.parent.mkdir()
    other.write_bytes(b"half")
    write_folder(tmp_path / "export", {"a/b.txt": "x"})
    assert other.exists() and (tmp_path / "export" / "a" / "b.txt").read_text() == "x"


@pytest.mark.parametrize("kind", ["link", "here"])
def test_an_export_that_could_not_take_its_place_is_refused_at_once(tmp_path, monkeypatch, kind):
    (tmp_path / "there").mkdir()
    (tmp_path / "link").symlink_to(tmp_path / "there")
    monkeypatch.chdir(tmp_path / "there")
    out = tmp_path / "link" if kind == "link" else Path(".")
    ended = CliRunner().invoke(main, ["export", str(TWO_WIRE), "--out", str(out)])
    assert ended.exit_code == 2 and "in one move" in ended.output
    assert "Reading the description" not in ended.output


def test_a_kept_sweep_that_holds_no_numbers_is_not_believed(two_wire):
    swept = sweep(two_wire.vehicle, two_wire.harness, two_wire.sizing, two_wire.solved)
    arrays = to_arrays(swept, {})
    assert from_arrays(arrays) is not None
    for name in ("healthy0", "faulted0"):
        spoilt = dict(arrays) | {name: np.full_like(arrays[name], np.nan)}
        assert from_arrays(spoilt) is None
