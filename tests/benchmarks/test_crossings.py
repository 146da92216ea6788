"""Crossings on the example's schematic sheets, against paths in the order of the description."""

from __future__ import annotations

from buildbook.drawing.schematic import sheet_arrangement, system_sheets
from buildbook.drawing.schematic.layout import lay_out
from buildbook.drawing.schematic.layout_model import LayoutOptions
from tests.drawing.shared.test_crossing import drawn_crossings

PLAIN = LayoutOptions(ordered=False, spread=False)


def _counted(result) -> dict[str, int]:
    drawn = system_sheets.schematics(result).values()
    return {sheet.name: drawn_crossings(sheet) for sheets in drawn for sheet in sheets}


def test_at_most_two_fifths_of_the_crossings_of_the_plain_order(lapwing, monkeypatch) -> None:
    """Each sheet's groups are laid out a second time as the description gives them."""
    searched = _counted(lapwing)
    monkeypatch.setattr(
        sheet_arrangement,
        "lay_out",
        lambda footprints, links, grid, options=None: lay_out(footprints, links, grid, PLAIN),
    )
    plain = _counted(lapwing)
    print(f"\nsearched {sum(searched.values())}: {searched}\nplain {sum(plain.values())}: {plain}")
    assert sum(searched.values()) <= 0.4 * sum(plain.values())
