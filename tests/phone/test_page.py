"""The phone edition as a file: the same bytes again, small, and no name can break out of it."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner

from buildbook.book.drawings import Drawings
from buildbook.cli import main
from buildbook.phone.page import in_script, phone_page
from buildbook.pipeline import work_out
from tests.once import drawings_of

TWO_WIRE = Path(__file__).parents[1] / "vehicles" / "two-wire"
WICKED = "</script><script>window.broken = 1</script><b>bold</b> \"'&amp;{{ 7 * 7 }}"


def test_it_is_the_same_again(motorcycle, sandpiper):
    assert sandpiper.read_text(encoding="utf-8") == phone_page(motorcycle, Drawings(motorcycle))


def test_it_names_no_place_in_a_network(motorcycle):
    text = phone_page(motorcycle, drawings_of(motorcycle))
    assert text.count("http") == text.count("http-equiv") + text.count("http://www.w3.org/2000/svg")


def test_facts_cannot_end_the_element_that_they_stand_in():
    text = in_script({"name": WICKED + "\u2028"})
    assert not {"<", ">", "&", "\u2028"} & {*text}


@pytest.fixture(scope="module")
def wicked(tmp_path_factory):
    """A vehicle in which everything that is free to be named is named to break out."""
    folder = tmp_path_factory.mktemp("wicked") / "car"
    shutil.copytree(TWO_WIRE, folder)
    text = (folder / "vehicle.yaml").read_text(encoding="utf-8")
    quoted = "'" + WICKED.replace("'", "''") + "'"
    for name in ("Work lamp", "Frame ground", "Fuse panel", "Lighting", "the work lamp lights"):
        text = text.replace(f": {name}", f": {quoted}")
    text = text.replace("The fuse is in and the lamp is lit", quoted)
    (folder / "vehicle.yaml").write_text(text, encoding="utf-8")
    result, problems = work_out(folder)
    assert not problems, problems
    return result


def test_names_are_text_wherever_they_stand(wicked, page, tmp_path):
    target = tmp_path / "wicked.html"
    target.write_text(phone_page(wicked, Drawings(wicked)), encoding="utf-8")
    page.media()
    page.events.clear()
    page.open(target)
    for address in (
        "#/find/lamp",
        "#/device/F1",
        "#/device/lamp",
        "#/pin/lamp.1",
        "#/plug/lamp",
        "#/sheets",
        "#/sheet/panel-panel",
        "#/fault",
        f"#/symptom/{wicked.faultfinding.symptoms[0].id}",
        "#/find/" + "%3Cb%3E",
    ):
        page.go(address)
        assert page.run("window.broken") is None
        assert page.run("document.querySelectorAll('main b b, main script').length") == 0
    page.go("#/device/F1")
    assert WICKED in page.text("h1")
    assert page.complaints() == []


def test_the_command_writes_it_whole_or_not_at_all(tmp_path, monkeypatch):
    from buildbook.phone import page as made

    words = ["make", str(TWO_WIRE), "--edition", "phone", "--out", str(tmp_path)]
    ran = CliRunner().invoke(main, [*words, "--no-cache"])
    target = tmp_path / "two-wire-trailer-phone.html"
    assert ran.exit_code == 0 and str(target) in ran.output
    first = target.read_bytes()
    assert first.startswith(b"<!DOCTYPE html>")

    def fail(*_):
        raise OSError(28, "No space left on device", str(target))

    monkeypatch.setattr(made, "write_file", fail)
    assert CliRunner().invoke(main, [*words, "--no-cache"]).exit_code == 2
    assert target.read_bytes() == first
    assert [path.name for path in tmp_path.iterdir()] == [target.name]


def test_help_names_the_edition():
    assert "phone:" in CliRunner().invoke(main, ["make", "--help"]).output
