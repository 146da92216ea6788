"""Drawings as content of a page: every one of ours can be drawn so, and looks the same."""

from __future__ import annotations

import math
import re

import numpy as np
import pypdfium2
import pytest

from buildbook.book.drawing_form import PT, form_of
from buildbook.book.join import alone
from buildbook.book.render import Job, render
from buildbook.book.resources import WEIGHTS, font_files
from buildbook.book.svg_paths import path_operators
from tests.once import drawings_of


@pytest.mark.parametrize("name", ["two_wire", "motorcycle", "lapwing"])
def test_every_drawing_can_be_drawn_without_an_svg_engine(name, request):
    drawings = drawings_of(request.getfixturevalue(name)).every()
    assert drawings
    assert [d.name for d in drawings if form_of(d.svg) is None] == []


@pytest.mark.parametrize(
    "inside",
    [
        '<ellipse cx="1" cy="1" rx="1" ry="2" />',
        '<g transform="scale(2)" />',
        '<rect x="1" y="1" width="1" height="1" stroke="#000" />',
        '<rect x="1" y="1" width="1" height="1" fill="navy" />',
        '<rect x="1" y="1" width="1" height="1" opacity="0.5" />',
        '<text x="1" y="1" font-size="3" font-family="Roboto">漢</text>',
        '<text x="1" y="1" font-size="3" font-family="Roboto">a<tspan>b</tspan></text>',
        '<text x="1" y="1" font-size="3" font-family="Other">a</text>',
    ],
)
def test_what_is_not_understood_is_left_to_the_svg_engine(inside):
    svg = f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9">{inside}</svg>'
    assert form_of(svg) is None


def pixels(svg: str, width_mm: float, height_mm: float) -> np.ndarray:
    """The drawing alone on a sheet, 4 pixels to the millimetre, 0 black to 1 white."""
    faces = "".join(
        f"@font-face {{ font-family: Roboto; font-weight: {WEIGHTS[n][0]}; "
        f"font-style: {WEIGHTS[n][1]}; src: url({path.as_uri()}) }}"
        for n, path in font_files().items()
    )
    html = (
        f"<style>{faces} @page {{ size: {width_mm}mm {height_mm}mm; margin: 0 }}"
        f'body {{ margin: 0 }} img {{ display: block }}</style><img src="drawing:one" '
        f'style="width: {width_mm}mm; height: {height_mm}mm">'
    )
    pdf = pypdfium2.PdfDocument(alone(render(Job("one", html, {"one": svg}))))
    return pdf[0].render(scale=4 / PT, grayscale=True).to_numpy().squeeze() / 255


def test_a_drawing_looks_as_an_svg_engine_draws_it(motorcycle):
    """Compared with WeasyPrint's own, to which an attribute unknown here leaves it.

    Lettering differs: it is not kerned, as the drawings themselves count with. Not on large
    circles: WeasyPrint's are a hair's breadth outside their radius.
    """
    for kind in ("schematics", "faces", "layouts"):
        drawing = next(iter(drawings_of(motorcycle).all_of(kind)))
        size = drawing.width_mm, drawing.height_mm
        bare = re.sub("<text.*?</text>", "", drawing.svg, flags=re.DOTALL)
        mine = pixels(bare, *size)
        other = pixels(bare.replace("<g ", '<g opacity="1" ', 1), *size)
        assert np.abs(mine - other).mean() < 0.005, drawing.name
        assert (other < 0.5).mean() > 0.001


def test_an_arc_goes_through_the_points_of_its_circle():
    """A half circle of radius 1 from (0, 0) to (2, 0), swept over y < 0 (SVG 1.1, 8.3.8)."""
    words = path_operators("M 0 0 A 1 1 0 0 1 2 0").split()
    numbers = [float(word) for word in words if word not in ("m", "c")]
    points = list(zip(numbers[::2], numbers[1::2], strict=True))
    start, ends = points[0], points[3::3]
    assert start == (0, 0)
    assert ends == [pytest.approx((1, -1), abs=1e-4), pytest.approx((2, 0), abs=1e-4)]
    for (x0, y0), *curve in zip(
        points[0::3], points[1::3], points[2::3], points[3::3], strict=False
    ):
        x = (x0 + 3 * curve[0][0] + 3 * curve[1][0] + curve[2][0]) / 8
        y = (y0 + 3 * curve[0][1] + 3 * curve[1][1] + curve[2][1]) / 8
        assert math.hypot(x - 1, y) == pytest.approx(1, abs=3e-4)
