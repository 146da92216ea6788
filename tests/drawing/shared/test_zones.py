"""The zones of a sheet's border, on any size of sheet."""

from __future__ import annotations

import re

from buildbook.drawing.shared.canvas import Canvas
from buildbook.drawing.shared.sheet import Title, frame
from buildbook.drawing.shared.zones import row_letters, zone_of

A4_ZONES = (6, 4)
"""Fields along the sides of an A4 sheet (ISO 5457)."""


def test_rows_go_on_with_two_letters_after_z_and_leave_out_i_and_o():
    names = [row_letters(row) for row in range(24 + 24 * 24)]
    assert names[7:9] == ["H", "J"] and names[12:15] == ["N", "P", "Q"]
    assert names[23:26] == ["Z", "AA", "AB"]
    assert len(set(names)) == len(names)
    assert not any(set(name) & {"I", "O"} for name in names)


def test_a_sheet_higher_than_the_letters_go_has_a_name_for_every_row():
    canvas = Canvas(3800.0, 2560.0)
    frame(canvas, Title("car", "a sheet", "engine", "A", "2026-01-01"))
    svg = canvas.drawing("sheet", "a sheet").svg
    written = re.findall(r'class="zone"[^>]*>([A-Z]+)<', svg)
    assert written[:2] == ["A", "A"] and {"Z", "AA", "AB"} <= set(written)
    assert all(written.count(name) == 2 for name in written)
    assert zone_of(20.0, 2540.0, 3800.0, 2560.0) == f"{written[-1]}1"


def test_a_sheet_of_a4_has_the_fields_that_the_standard_gives_it():
    assert zone_of(296.0, 209.0, 297.0, 210.0) == f"{'ABCDEF'[A4_ZONES[1] - 1]}{A4_ZONES[0]}"
