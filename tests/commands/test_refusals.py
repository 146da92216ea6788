"""What cannot be made is refused before the long work, with what is wrong, why, and a hint."""

from __future__ import annotations

import os

import pytest
from click.testing import CliRunner

from buildbook.cli import main
from tests.conftest import TESTS

TWO_WIRE = TESTS / "vehicles" / "two-wire"
AFTER_READING = "Joining it up"
FIRST = "Reading the description"


def run(*words: object):
    return CliRunner().invoke(main, [str(word) for word in words])


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--edition", "helper"), ("--harness is missing", "there are main")),
        (
            ("--edition", "helper", "--harness", "mian"),
            ("there is no harness `mian`", "did you mean `main`?", "there are main"),
        ),
        (
            ("--edition", "helper", "--harness", "nope"),
            ("there is no harness `nope`", "there are main"),
        ),
        (("--full-size", "nope"), ("there is no harness `nope`", "there are main, all")),
    ],
)
def test_a_harness_that_is_none_is_refused_as_soon_as_the_description_is_read(
    tmp_path, words, said
):
    ended = run("make", TWO_WIRE, "--out", tmp_path / "out", *words)
    assert ended.exit_code == 2
    assert FIRST in ended.output and AFTER_READING not in ended.output
    assert all(part in ended.output for part in (*said, "why it matters: ", "hint: "))
    assert not (tmp_path / "out").exists()


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--harness", "main"), "--harness main goes with --edition helper alone"),
        (("--paper", "A3"), "--paper A3 goes with --full-size alone"),
        (("--full-size", "all", "--harness", "main"), "no meaning beside --full-size all"),
        (("--full-size", "all", "--edition", "order"), "--edition order has no meaning"),
    ],
)
def test_options_that_do_not_go_together_are_refused_before_anything_is_read(tmp_path, words, said):
    ended = run("make", TWO_WIRE, "--out", tmp_path / "out", *words)
    assert ended.exit_code == 2
    assert said in ended.output
    assert "why it matters: " in ended.output and "hint: " in ended.output
    assert FIRST not in ended.output


@pytest.mark.parametrize("command", ["make", "export"])
def test_a_place_where_nothing_can_be_written_is_refused_at_once(tmp_path, command):
    (tmp_path / "file").write_text("not a folder")
    ended = run(command, TWO_WIRE, "--out", tmp_path / "file" / "book")
    assert ended.exit_code == 2
    assert "nothing can be written in" in ended.output
    assert "why it matters: " in ended.output and "hint: " in ended.output
    assert FIRST not in ended.output


@pytest.mark.skipif(os.geteuid() == 0, reason="root writes everywhere")
@pytest.mark.parametrize("command", ["make", "export"])
def test_a_folder_that_is_closed_to_the_user_is_refused_at_once(tmp_path, command):
    closed = tmp_path / "closed"
    closed.mkdir(mode=0o500)
    ended = run(command, TWO_WIRE, "--out", closed / "book")
    assert ended.exit_code == 2
    assert f"nothing can be written in {closed} (Permission denied)" in ended.output
    assert FIRST not in ended.output


def test_trying_a_folder_leaves_nothing_in_it(tmp_path):
    run("make", TWO_WIRE, "--out", tmp_path, "--full-size", "nope")
    assert list(tmp_path.iterdir()) == []


def test_a_folder_in_the_place_of_the_file_is_refused_after_reading(tmp_path):
    (tmp_path / "two-wire-trailer-order.pdf").mkdir()
    ended = run("make", TWO_WIRE, "--out", tmp_path, "--edition", "order")
    assert ended.exit_code == 2
    assert "two-wire-trailer-order.pdf is a folder" in ended.output
    assert AFTER_READING not in ended.output
