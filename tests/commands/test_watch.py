"""`watch` says what a saved file changed, remakes the book, and shows both to its own machine."""

from __future__ import annotations

import json
import re
import shutil
import signal
import subprocess
import sys
import time
from contextlib import contextmanager
from queue import Empty, Queue
from threading import Thread
from urllib.error import HTTPError
from urllib.request import Request, urlopen

import pytest

from buildbook.sizing.changes import changes
from buildbook.sizing.facts import facts_of
from tests.conftest import TESTS, result_of

TWO_WIRE = TESTS / "vehicles" / "two-wire"
MOST_S = 240.0
LONGER = ("length: 2.4 m", "length: 3.1 m")


@pytest.fixture
def car(tmp_path):
    return shutil.copytree(TWO_WIRE, tmp_path / "car")


@contextmanager
def watching(car, out, *options):
    """Lines that the command prints while the block runs; at its end it is interrupted."""
    command = [sys.executable, "-u", "-m", "buildbook", "watch", str(car), "--out", str(out)]
    process = subprocess.Popen(
        [*command, *options], stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True
    )
    lines: Queue[str] = Queue()
    assert process.stdout is not None
    Thread(target=lambda: [lines.put(x) for x in process.stdout], daemon=True).start()
    try:
        yield lines
        process.send_signal(signal.SIGINT)
        assert process.wait(30) == 0
    finally:
        process.kill()


def until(lines, pattern):
    """All lines up to the first that a pattern is found in."""
    end, told = time.monotonic() + MOST_S, []
    while time.monotonic() < end:
        try:
            told.append(lines.get(timeout=1))
        except Empty:
            continue
        if re.search(pattern, told[-1]):
            return told
    raise AssertionError(f"{pattern} is not in {told}")


def replaced(path, old, new):
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new), encoding="utf-8")


def test_a_saved_file_is_told_and_the_book_is_made(car, tmp_path):
    out = tmp_path / "books"
    with watching(car, out) as lines:
        until(lines, r"error")
        until(lines, r"\.pdf")
        (book,) = out.glob("*.pdf")
        first = book.stat().st_mtime_ns
        replaced(car / "vehicle.yaml", *LONGER)
        until(lines, r"wire \S+ now .*\d+ mm, was \d+ mm")
        until(lines, r"\.pdf")
        assert book.stat().st_mtime_ns != first
        replaced(car / "vehicle.yaml", "devices:", "devises:")
        told = until(lines, r"nothing was written")
        assert any("devises" in line for line in told)
        assert book.is_file()


def asked(address, path="", **headers):
    with urlopen(Request(address + path, headers=headers), timeout=10) as answer:
        return answer.headers["Content-Type"], answer.read()


def test_the_page_is_for_this_machine_and_keeps_up(car, tmp_path):
    with watching(car, tmp_path / "books", "--serve") as lines:
        address = until(lines, r"http://")[-1].split()[-1]
        until(lines, r"\.pdf")
        deadline = time.monotonic() + 30
        while (state := json.loads(asked(address, "state")[1]))["book"] == 0:
            assert time.monotonic() < deadline
            time.sleep(0.2)
        assert state == {"findings": 1, "book": 1}
        assert asked(address, "book?1")[1].startswith(b"%PDF")
        assert b"0 errors" in asked(address)[1]
        with pytest.raises(HTTPError) as refused:
            asked(address, Host="elsewhere.example")
        assert refused.value.code == 403
        with pytest.raises(HTTPError) as missing:
            asked(address, "vehicle.yaml")
        assert missing.value.code == 404
        replaced(car / "vehicle.yaml", "devices:", "devises<script>:")
        until(lines, r"nothing was written")
        kind, page = asked(address, "findings")
        assert kind.startswith("text/html") and b"devises&lt;script&gt;" in page


def test_without_a_book_none_is_made(car, tmp_path):
    with watching(car, tmp_path / "books", "--no-book", "--serve") as lines:
        address = until(lines, r"http://")[-1].split()[-1]
        until(lines, r"error")
        assert b"book is being made" not in asked(address)[1]
    assert not (tmp_path / "books").exists()


def test_wires_are_known_again_by_their_ends(two_wire, car):
    assert changes(facts_of(two_wire), facts_of(two_wire)) == ()
    replaced(car / "vehicle.yaml", *LONGER)
    told = changes(facts_of(two_wire), facts_of(result_of(car)))
    assert told and all(re.match(r"wire \S+ now .* was ", line) for line in told)
