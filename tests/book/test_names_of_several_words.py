"""Names have spaces and commas: nothing that is worked out, printed or exported trips over them."""

from __future__ import annotations

from buildbook.book.drawings import Drawings
from buildbook.export.files import export_files
from buildbook.faultfinding.swaps import pairs_of, swap_faults
from buildbook.pipeline import work_out
from tests.conftest import TESTS
from tests.words.said import chapters_said


def test_a_name_of_several_words_goes_through_all_editions(tmp_path):
    folder = tmp_path / "car"
    folder.mkdir()
    (folder / "vehicle.yaml").write_text(quoted(), "utf-8")
    result, problems = work_out(folder)
    assert result is not None, problems
    swapped = {pair for f in swap_faults(result.vehicle, result.harness) for pair in pairs_of(f)}
    assert swapped == {("rear lamp, left.1", "rear lamp, left.2")}
    assert "rear lamp, left" in export_files(result, ())["connectors.csv"]
    tests = {silent.fault: silent.test for silent in result.faultfinding.unseen}
    assert tests["swap rear lamp, left.1 rear lamp, left.2"] == (
        "battery off: continuity of each of rear lamp, left.1 rear lamp, left.2 to its far end"
    )
    said = " ".join(text for _edition, _chapter, text in chapters_said(folder))
    assert "rear lamp, left" in said and "frame ground 1" in said
    assert Drawings(result).every()


def quoted() -> str:
    """The smallest vehicle with other names, quoted where YAML would part them."""
    text = (TESTS / "vehicles" / "two-wire" / "vehicle.yaml").read_text("utf-8")
    changes = {
        "  lamp:\n": '  "rear lamp, left":\n',
        "lamp.1]": '"rear lamp, left.1"]',
        "[lamp.2, G1]": '["rear lamp, left.2", frame ground 1]',
        "battery.-, G1]": "battery.-, frame ground 1]",
        "  G1:": "  frame ground 1:",
        "  F1:": "  fuse one:",
        "[F1.out": "[fuse one.out",
        "  main:": '  "tail, all":',
    }
    for before, after in changes.items():
        assert before in text
        text = text.replace(before, after)
    return text
