"""Reading a folder is safe, and every refusal says where."""

from __future__ import annotations

import os

import pytest

from buildbook.description.read import MAIN, merge, read_folder
from buildbook.description.yaml_reader import DEEPEST, LARGEST_BYTES, plain, read_yaml, scalar
from buildbook.problem import Where


def read(tmp_path, text: str | bytes):
    path = tmp_path / "x.yaml"
    path.write_bytes(text.encode() if isinstance(text, str) else text)
    return read_yaml(path, "x.yaml")


@pytest.mark.parametrize("word", ["yes", "no", "on", "off", "y", "Yes", "12:30", "0x10", "1_000"])
def test_words_stay_words(word):
    assert scalar(word) == word and isinstance(scalar(word), str)


def test_numbers_truth_and_nothing_by_the_core_schema_of_yaml_1_2():
    values = [scalar(text) for text in ("12", "-3", "1.5", ".5", "1e3", "true", "false", "null")]
    assert values == [12, -3, 1.5, 0.5, 1000.0, True, False, None]


def test_numbers_print_as_they_were_written():
    assert [str(scalar(text)) for text in ("01", "4.50", "+7")] == ["01", "4.50", "+7"]


def test_keys_are_text_whatever_they_look_like(tmp_path):
    tree, problems = read(tmp_path, "30: a\non: b\n1.0: c\nnull: d\n")
    assert problems == []
    assert list(plain(tree)) == ["30", "on", "1.0", "null"]


def test_places_count_from_one(tmp_path):
    tree, _ = read(tmp_path, "a:\n  b: [1, two]\n")
    inner = tree.value["a"]
    assert inner.keys["b"] == Where("x.yaml", 2, 3)
    assert inner.value["b"].value[1].where == Where("x.yaml", 2, 10)


def test_a_duplicate_key_shows_both_places(tmp_path):
    _, (problem,) = read(tmp_path, "a: 1\nb: 2\na: 3\n")
    assert problem.where == Where("x.yaml", 3, 1)
    assert "x.yaml:1:1" in problem.what


def test_a_tab_is_named_at_its_own_column(tmp_path):
    _, (problem,) = read(tmp_path, "a:\n \tb: 1\n")
    assert problem.where == Where("x.yaml", 2, 2)
    assert "tab" in problem.what


def test_bytes_that_are_not_utf8_are_located(tmp_path):
    _, (problem,) = read(tmp_path, b"a: 1\nb: caf\xe9\n")
    assert problem.where == Where("x.yaml", 2, 7)
    assert "0xE9" in problem.what


def test_a_byte_order_mark_does_no_harm(tmp_path):
    tree, problems = read(tmp_path, b"\xef\xbb\xbfa: 1\n")
    assert problems == [] and plain(tree) == {"a": 1}


def test_a_control_character_is_a_located_problem(tmp_path):
    tree, (problem,) = read(tmp_path, b"a: 1\nb: \x07\n")
    assert tree is None and problem.where.line == 2


@pytest.mark.parametrize("escape", ["\\x00", "\\x1b", "\\uFFFE", "\\x7f"])
def test_an_escaped_control_character_is_refused(tmp_path, escape):
    tree, (problem,) = read(tmp_path, f'a: 1\nb: "{escape}"\n')
    assert tree is None and problem.where.line == 2


def test_a_file_over_the_limit_is_not_read(tmp_path):
    tree, (problem,) = read(tmp_path, b"a: 1\n" + b"#" * LARGEST_BYTES)
    assert tree is None and "larger than 1 MB" in problem.what


@pytest.mark.parametrize("depth", [DEEPEST + 2, 50_000])
def test_deep_nesting_is_refused_and_does_not_hang(tmp_path, depth):
    tree, (problem,) = read(tmp_path, "a: " + "[" * depth)
    assert tree is None and "levels deep" in problem.what


def test_aliases_that_multiply_are_refused(tmp_path):
    tree, (problem,) = read(tmp_path, "a: &x [1, 1]\nb: [*x, *x]\n")
    assert tree is None
    assert problem.where == Where("x.yaml", 1, 4)


def test_a_tag_never_runs_anything(tmp_path):
    flag = tmp_path / "ran"
    tree, (problem,) = read(tmp_path, f"a: !!python/object/apply:os.mkdir ['{flag}']\n")
    assert tree is None and "tag" in problem.what
    assert not flag.exists()


def test_a_second_document_is_refused(tmp_path):
    tree, (problem,) = read(tmp_path, "a: 1\n---\nb: 2\n")
    assert tree is None and problem.where.line == 2


@pytest.mark.parametrize(
    ("text", "line"),
    [("a: [1, 2\nb: 3\n", 2), ("a: b: c\n", 1), ("a: 'open\n", 2), ("a: 1\n  b: 2\n", 2)],
)
def test_a_slip_of_syntax_is_located(tmp_path, text, line):
    tree, (problem,) = read(tmp_path, text)
    assert tree is None and "not YAML" in problem.what and problem.hint
    assert abs(problem.where.line - line) <= 1


def test_sections_of_several_files_are_joined(tmp_path):
    one, _ = read(tmp_path, "devices: {a: 1}\nnotes: [x]\n")
    other, _ = read(tmp_path, "devices: {b: 2}\nnotes: [y]\nzones:\n")
    merged, problems = merge([one, other])
    assert problems == []
    assert plain(merged) == {"devices": {"a": 1, "b": 2}, "notes": ["x", "y"]}


def test_the_same_name_in_two_files_shows_both_places(tmp_path):
    (tmp_path / MAIN).write_text("zones:\n  cabin: {ambient: 40 degC}\n")
    (tmp_path / "more.yaml").write_text("\nzones:\n  cabin: {ambient: 50 degC}\n")
    reading, problems = read_folder(tmp_path)
    (twice,) = [p for p in problems if "`cabin`" in p.what]
    assert reading is None
    assert twice.where == Where("more.yaml", 3, 3)
    assert "vehicle.yaml:2:3" in twice.what


def test_an_empty_folder_says_what_is_missing(tmp_path):
    reading, (problem,) = read_folder(tmp_path)
    assert reading is None and "vehicle.yaml" in problem.what and "buildbook new" in problem.hint


def test_an_empty_main_file_names_every_missing_section(tmp_path):
    (tmp_path / MAIN).write_text("")
    reading, problems = read_folder(tmp_path)
    assert reading is None
    missing = {p.what.split("`")[1] for p in problems}
    assert missing == {
        "vehicle",
        "supply",
        "states",
        "zones",
        "systems",
        "devices",
        "circuits",
        "rope",
    }


def test_a_link_out_of_the_folder_is_not_followed(tmp_path):
    folder, secret = tmp_path / "car", tmp_path / "secret.yaml"
    folder.mkdir()
    secret.write_text("systems: {hidden: {title: hidden}}\n")
    (folder / MAIN).write_text("")
    (folder / "more.yaml").symlink_to(secret)
    _, problems = read_folder(folder)
    assert any(p.where.file == "more.yaml" and "outside" in p.what for p in problems)
    assert not any("hidden" in p.what for p in problems)


def test_a_pipe_in_the_folder_does_not_hang(tmp_path):
    (tmp_path / MAIN).write_text("")
    os.mkfifo(tmp_path / "pipe.yaml")
    _, problems = read_folder(tmp_path)
    assert any("not an ordinary file" in p.what for p in problems)


def test_a_yml_file_is_not_silently_left_out(tmp_path):
    (tmp_path / MAIN).write_text("")
    (tmp_path / "more.yml").write_text("")
    _, problems = read_folder(tmp_path)
    assert any(p.where.file == "more.yml" for p in problems)


def test_a_name_in_a_list_that_is_too_long_is_told_so(tmp_path):
    (tmp_path / MAIN).write_text(f"circuits:\n  feed: {{join: [a.1, {'b' * 70}.2]}}\n")
    _, problems = read_folder(tmp_path)
    (problem,) = [p for p in problems if p.where and p.where.line == 2]
    assert "longer than 60 characters" in problem.what
