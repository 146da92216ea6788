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


def test_a_harness_that_is_none_is_refused_before_a_book_of_it_is_read(tmp_path):
    book = tmp_path / "book.pdf"
    book.write_bytes(b"%PDF")
    ended = run("audit", book, TWO_WIRE, "--edition", "helper", "--harness", "mian")
    assert ended.exit_code == 2
    assert "there is no harness `mian`" in ended.output
    assert "did you mean `main`?" in ended.output and AFTER_READING not in ended.output


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


@pytest.mark.parametrize(
    ("rule", "hint"),
    [
        ("feed-unfusd", "did you mean `feed-unfused`? `buildbook reference rules` lists them"),
        ("xyzzy", "hint: `buildbook reference rules` lists them"),
    ],
)
def test_a_rule_that_there_is_not_is_refused_before_anything_is_read(rule, hint):
    ended = run("check", TWO_WIRE, "--rule", rule)
    assert ended.exit_code == 2
    assert f"--rule {rule}: there is no rule of that name" in ended.output
    assert hint in ended.output and FIRST not in ended.output


def test_the_rule_of_unused_waivers_may_be_asked_for():
    assert run("check", TWO_WIRE, "--rule", "waiver-unused").exit_code == 0


def test_a_thing_that_is_nowhere_is_refused_and_one_without_findings_is_not():
    """The lamp and its wire are there; a wire, too, may be asked about."""
    ended = run("check", TWO_WIRE, "--about", "lapm")
    assert ended.exit_code == 2
    assert "--about lapm: nothing of that name is in the vehicle" in ended.output
    assert "did you mean `lamp`?" in ended.output
    assert run("check", TWO_WIRE, "--about", "lamp", "--about", "101").exit_code == 0


@pytest.mark.parametrize(
    ("words", "named"),
    [
        (("check", TWO_WIRE, "--rule", ""), "--rule"),
        (("check", TWO_WIRE, "--about="), "--about"),
        (("check", ""), "a word behind `check`"),
        (("make", TWO_WIRE, "--full-size", ""), "--full-size"),
        (("make", TWO_WIRE, "--changed-since", ""), "--changed-since"),
        (("make", TWO_WIRE, "--out", ""), "--out"),
        (("issue", TWO_WIRE, "--revision", ""), "--revision"),
        (("diagnose", TWO_WIRE, "--dead", ""), "--dead"),
    ],
)
def test_an_empty_word_is_refused_before_anything_is_read(words, named):
    """A shell gives one for a variable that is not set; the whole book was made of it."""
    ended = run(*words)
    assert ended.exit_code == 2
    assert f"Error: {named} is empty: it names nothing" in ended.output
    assert FIRST not in ended.output


def test_a_command_that_there_is_not_is_refused_with_the_one_that_was_meant():
    ended = run("chek", TWO_WIRE)
    assert ended.exit_code == 2
    assert "there is no command `chek`" in ended.output and "did you mean `check`?" in ended.output


def test_of_a_variant_that_there_is_not_nothing_else_is_said():
    """Kinds and feeds are not written out then: each would be told as a mistake of its own."""
    ended = run("price", TESTS.parent / "buildbook" / "starter", "--variant", "nosuch")
    assert ended.exit_code == 1
    assert "no variant `nosuch`" in ended.output and "1 problem; nothing was" in ended.output


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--flickers", "lapm"), ("--flickers lapm: no device", "did you mean `lamp`?")),
        (("--trips", "x"), ("--trips x: no output that trips", "no output of this vehicle trips")),
        (("--clicks", "K9"), ("--clicks K9: no relay of", "this vehicle has no relay")),
    ],
)
def test_what_diagnose_does_not_know_is_told_with_its_option_and_a_hint(words, said):
    ended = run("diagnose", TWO_WIRE, "--weak", "lamp", *words)
    assert ended.exit_code == 2
    assert all(part in ended.output for part in said)
