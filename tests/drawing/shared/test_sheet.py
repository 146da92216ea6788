"""A framed sheet: what its title block says."""

from __future__ import annotations

import pytest

from buildbook.drawing.shared.canvas import Canvas
from buildbook.drawing.shared.sheet import Title, frame


@pytest.mark.parametrize("scale,said", [("1:12", "1:12"), ("", "not to scale")])
def test_the_title_block_says_the_scale_or_that_there_is_none(scale, said):
    canvas = Canvas(267, 180)
    frame(canvas, Title("car", "a sheet", "engine", "A", "2026-01-01", scale=scale))
    assert f">{said}<" in canvas.drawing("sheet", "a sheet").svg


def test_a_title_that_is_long_is_written_smaller_before_it_is_cut():
    """Lettering of 2.6 mm is still 1.8 mm high in capitals (ISO 3098)."""
    long = "Schematic: Engine sensors, cooling and boost"
    canvas = Canvas(267, 180)
    frame(canvas, Title("car", long, "engine", "A", "2026-01-01"))
    assert f">{long}<" in canvas.drawing("sheet", long).svg
