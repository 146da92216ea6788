"""Orders with fewest crossings, and controllers drawn once on a sheet."""

from __future__ import annotations

from collections import Counter

from buildbook.drawing.schematic.layout_model import Port, Stretch
from buildbook.drawing.schematic.ordering import best_order
from buildbook.drawing.shared.packing import pack
from tests.drawing.schematic.test_schematic import texts
from tests.once import schematics_of


def _pair(upper: str, lower: str, column: float = 0.0) -> Stretch:
    return Stretch(f"{upper}-{lower}", 1, Port(upper, False, 0.0), Port(lower, True, column))


def test_two_crossed_paths_are_uncrossed() -> None:
    found = best_order([["a", "b"], ["y", "x"]], [_pair("a", "x"), _pair("b", "y")], set())
    assert found.crossings == 0
    assert "".join(found.rows[0] + found.rows[1]) in ("abxy", "bayx")


def test_pins_of_a_free_element_take_the_order_of_what_they_go_to() -> None:
    """One block below three devices, its pins numbered the other way round."""
    links = [_pair(name, "block", 2.0 - n) for n, name in enumerate("abc")]
    found = best_order([["a", "b", "c"], ["block"]], links, {"block"})
    assert found.crossings == 0
    fixed = best_order([["a", "b", "c"], ["block"]], links, set())
    assert fixed.crossings == 0 and fixed.rows[0] == ("c", "b", "a")


def test_a_complete_pairing_of_two_by_two_crosses_once() -> None:
    """K2,2 drawn in two rows has one crossing, whatever the order."""
    links = [_pair(a, b) for a in "ab" for b in "xy"]
    assert best_order([["a", "b"], ["x", "y"]], links, set()).crossings == 1


def test_rectangles_with_a_mark_in_common_go_on_sheets_of_their_own() -> None:
    sheets = pack([(10, 10)] * 3, (100, 100), 1, (), {0: {"ecu"}, 2: {"ecu", "display"}})
    assert len(sheets) == 2
    assert not any({0, 2} <= {n for n, _, _ in sheet} for sheet in sheets)


def test_a_controller_is_one_block_on_nearly_every_sheet(lapwing) -> None:
    """Twice only where a sheet of its own would have to be added, read from the lettering."""
    assert lapwing.vehicle.devices["ecu"].kind == "controller"
    met = Counter()
    for sheets in schematics_of(lapwing).values():
        for sheet in sheets:
            names = Counter(t for t, _, _, c in texts(sheet) if c == "name")
            met[names["ecu"]] += 1
    assert met[1] > 5 and met[2] <= 2 and max(met) <= 2
