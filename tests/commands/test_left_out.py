"""What a drawing has no room for is told to whoever makes it."""

from __future__ import annotations

from dataclasses import replace

from click.testing import CliRunner

from buildbook.book import full_size as room
from buildbook.cli import main
from tests.conftest import TESTS

TWO_WIRE = TESTS / "vehicles" / "two-wire"


def test_a_full_size_drawing_says_what_it_has_no_room_for(tmp_path, monkeypatch):
    drawn = room.full_size

    def crowded(result, harness):
        full = drawn(result, harness)
        return replace(full, drawing=replace(full.drawing, left_out=("S101", "101, 102")))

    monkeypatch.setattr(room, "full_size", crowded)
    words = ["make", str(TWO_WIRE), "--out", str(tmp_path), "--full-size", "main"]
    ran = CliRunner().invoke(main, words)
    assert ran.exit_code == 0, ran.output
    assert "has no room for: S101; 101, 102." in ran.output


def test_one_with_room_for_all_says_nothing_of_it(tmp_path):
    words = ["make", str(TWO_WIRE), "--out", str(tmp_path), "--full-size", "main"]
    assert "no room" not in CliRunner().invoke(main, words).output
