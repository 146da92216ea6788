"""What a finished drawing says of its size."""

from __future__ import annotations

import pytest

from buildbook.drawing.shared.model import SHEET_MM, Drawing


# ISO 216: each size of the A series is sqrt(2) as wide as the next smaller one.
@pytest.mark.parametrize(("times", "step"), [(0.3, 0), (1, 0), (2**0.5, 1), (2, 2), (4, 4)])
def test_a_sheet_knows_how_many_sizes_above_the_page_it_is(times: float, step: int) -> None:
    drawing = Drawing("d", "D", "<svg/>", SHEET_MM[0] * times, SHEET_MM[1] * times)
    assert drawing.size_step == step
