"""Every command that writes, killed at chance moments and on disks that are too small.

The old or the new stands there whole, no process lives on, and the next run leaves nothing else.
Run with `-s` to read the counts.
"""

from __future__ import annotations

import os
import random
import shutil
import signal
import subprocess
import sys
import time
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

import pytest

from buildbook.files.writing import PLACE
from tests.conftest import TESTS

PROGRAM = (sys.executable, "-m", "buildbook")
TWO_WIRE = TESTS / "vehicles" / "two-wire"
KILLS = 250
CHECKED_EVERY = 10
"""Kills between two runs to the end, after which nothing may be left over."""
DISKS = 50
OLD = b"what stood there before"

linux = pytest.mark.skipif(not Path("/proc/self/stat").exists(), reason="asks Linux for processes")


@dataclass(frozen=True)
class Command:
    """A command that writes into the folder `at`, where `before` stands already."""

    words: tuple[str, ...]
    before: Mapping[str, bytes]
    typed: str = ""
    needs_vehicle: bool = False
    """It writes into the vehicle folder itself."""


COMMANDS = {
    "new": Command(("new", "{at}/car"), {}),
    "record": Command(("record", "{at}"), {}, needs_vehicle=True),
    "measure": Command(("measure", "{at}"), {}, "2.6 m\n5\n\n\n\n\n", needs_vehicle=True),
    "export": Command(("export", str(TWO_WIRE), "--out", "{at}/data"), {}),
    "order": Command(
        ("make", str(TWO_WIRE), "--edition", "order", "--out", "{at}"),
        {"two-wire-trailer-order.pdf": OLD},
    ),
    "phone": Command(
        ("make", str(TWO_WIRE), "--edition", "phone", "--out", "{at}"),
        {"two-wire-trailer-phone.html": OLD},
    ),
    "book": Command(("make", str(TWO_WIRE), "--out", "{at}"), {"two-wire-trailer.pdf": OLD}),
    "issue": Command(("issue", "{at}", "--revision", "A"), {}, needs_vehicle=True),
}


@pytest.fixture(params=COMMANDS)
def command(request) -> Command:
    return COMMANDS[request.param]


@linux
def test_a_killed_run_leaves_the_old_or_the_new(command, tmp_path):
    chance = random.Random(" ".join(command.words[:1]))
    before = held_in(fresh(command, tmp_path / "before"))
    begun = time.monotonic()
    after = held_in(run(command, fresh(command, tmp_path / "after"), tmp_path / "cache-0"))
    longest_s = time.monotonic() - begun
    assert before != after
    left: Counter[str] = Counter()
    for number in range(KILLS):
        if number % CHECKED_EVERY == 0:
            at = fresh(command, tmp_path / "at")
            cache = tmp_path / f"cache-{number}"
        killed(command, at, cache, chance, longest_s)
        now = held_in(at)
        assert now in (before, after), sorted(now)
        left["new" if now == after else "old"] += 1
        if left_over(at):
            left["a part that was not whole"] += 1
        if now == after:
            at = fresh(command, tmp_path / "at")
        if number % CHECKED_EVERY == CHECKED_EVERY - 1:
            run(command, at, cache)
            assert held_in(at) == after and not left_over(at)
            assert not left_over(cache / "buildbook")
    print(f"{command.words[0]}: {KILLS} kills over {1.1 * longest_s:.1f} s: {dict(left)}")
    assert left["old"] and left["a part that was not whole"]


@linux
@pytest.mark.skipif(not shutil.which("unshare"), reason="mounts a small disk for one process")
def test_a_full_disk_is_told_in_a_line_and_leaves_nothing_half(command, tmp_path):
    before = held_in(fresh(command, tmp_path / "before"))
    after = held_in(run(command, fresh(command, tmp_path / "after"), tmp_path / "cache-0"))
    held_kb, needed_kb = pages_kb(before), pages_kb(before) + pages_kb(after)
    ends: Counter[int] = Counter()
    for number in range(DISKS):
        size_kb = max(4, held_kb + round((1.1 * needed_kb - held_kb) * number / (DISKS - 1)))
        code, said, now = on_a_small_disk(command, tmp_path, size_kb)
        ends[code] += 1
        assert "Traceback" not in said and code in (0, 2), (size_kb, code, said)
        assert now == (after if code == 0 else before), (size_kb, code, sorted(now))
        assert code == 0 or "no space left" in said.lower(), said
    print(f"{command.words[0]}: disks of {held_kb} to {1.1 * needed_kb:.0f} KiB: {dict(ends)}")
    assert ends[2]


def fresh(command: Command, at: Path) -> Path:
    """The folder as it is before the command runs."""
    if at.exists():
        shutil.rmtree(at)
    if command.needs_vehicle:
        shutil.copytree(TWO_WIRE, at)
    else:
        at.mkdir()
    for name, content in command.before.items():
        (at / name).write_bytes(content)
    return at


def held_in(folder: Path) -> dict[str, bytes]:
    """Every file below a folder, but for those that are not whole yet."""
    return {
        str(path.relative_to(folder)): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file() and PLACE not in path.parts
    }


def pages_kb(files: Mapping[str, bytes]) -> int:
    """What files take on a disk in memory, KiB: whole pages of 4 KiB."""
    return sum(4 * -(-len(content) // 4096) for content in files.values())


def left_over(folder: Path) -> list[Path]:
    return list(folder.rglob(PLACE))


def words_of(command: Command, at: Path) -> list[str]:
    return [*PROGRAM, *(word.format(at=at) for word in command.words)]


def surroundings(cache: Path) -> dict[str, str]:
    return {**os.environ, "XDG_CACHE_HOME": str(cache)}


def run(command: Command, at: Path, cache: Path) -> Path:
    """Run the command to its end; the folder that it wrote into."""
    ended = subprocess.run(
        words_of(command, at),
        input=command.typed,
        env=surroundings(cache),
        capture_output=True,
        text=True,
        timeout=600,
    )
    assert ended.returncode in (0, 1), ended.stderr
    return at


def killed(
    command: Command, at: Path, cache: Path, chance: random.Random, longest_s: float
) -> None:
    """Kill the command at any moment of its run, every second time while it writes; all that it
    began must end with it."""
    process = subprocess.Popen(
        words_of(command, at),
        stdin=subprocess.PIPE,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
        env=surroundings(cache),
        text=True,
        start_new_session=True,
    )
    assert process.stdin
    process.stdin.write(command.typed)
    process.stdin.flush()
    aimed = chance.random() < 0.5
    last = time.monotonic() + (4.0 if aimed else chance.uniform(0.0, 1.1)) * longest_s
    while process.poll() is None and time.monotonic() < last:
        if aimed and (at / PLACE).exists():
            if chance.random() < 0.5:  # a small file is whole at once
                time.sleep(chance.uniform(0.0, 0.005))
            break
        time.sleep(0.0001)
    process.send_signal(signal.SIGKILL)
    process.stdin.close()
    process.wait()
    end = time.monotonic() + 60.0
    while alive := in_session(process.pid):
        assert time.monotonic() < end, f"processes live on: {alive}"
        time.sleep(0.01)


def in_session(number: int) -> list[int]:
    """Processes of a session that still run."""
    found = []
    for path in Path("/proc").glob("[0-9]*/stat"):
        try:
            words = path.read_text().rpartition(")")[2].split()
        except OSError:
            continue
        if int(words[3]) == number and words[0] != "Z":
            found.append(int(path.parent.name))
    return found


def on_a_small_disk(
    command: Command, tmp_path: Path, size_kb: int
) -> tuple[int, str, dict[str, bytes]]:
    """Exit code, what was said, and what stands on the disk after."""
    source = fresh(command, tmp_path / "source")
    disk, seen = tmp_path / "disk", tmp_path / "seen"
    disk.mkdir(exist_ok=True)
    shutil.rmtree(seen, ignore_errors=True)
    script = (
        'mount -t tmpfs -o size="$1"k none "$2" && cp -r "$3"/. "$2" || exit 77; seen="$4"; '
        'disk="$2"; shift 4; "$@"; code=$?; cp -r "$disk" "$seen" && exit $code'
    )
    ended = subprocess.run(
        ["unshare", "-rm", "sh", "-c", script, "sh", str(size_kb), disk, source, seen]
        + words_of(command, disk),
        input=command.typed,
        env=surroundings(tmp_path / f"cache-{size_kb}"),
        capture_output=True,
        text=True,
        timeout=600,
    )
    if ended.returncode == 77:
        pytest.skip(f"no small disk can be mounted here: {ended.stderr.strip()}")
    assert not left_over(seen)
    return ended.returncode, ended.stderr, held_in(seen)
