"""The reader of drawings, and that each fault is found: SVGs written by hand, none of ours."""

from __future__ import annotations

import math

import pytest

from tests.drawing.legible import faults_of
from tests.drawing.svg import ink, scene
from tests.drawing.svg_outlines import Unread, matrix_of, path_lines


def svg(inside: str) -> str:
    return (
        '<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="60mm" '
        f'viewBox="0 0 100 60">{inside}</svg>'
    )


def words(text: str, x: float, y: float, more: str = "") -> str:
    return f'<text x="{x}" y="{y}" font-size="3" font-family="Roboto" {more}>{text}</text>'


def line(points: str, more: str = "") -> str:
    return f'<polyline points="{points}" fill="none" stroke="#000000" stroke-width="0.3" {more}/>'


FRAME = (
    '<rect class="frame" x="5" y="5" width="90" height="50" fill="none" stroke="#000000" '
    'stroke-width="0.7"/>'
)
LEGIBLE = FRAME + words("204b 0.5", 20, 20) + words("RD", 20, 24) + line("10,10 10,50")


TURNED = 'transform="rotate(-90 %s %s)"'


def test_turned_lines_of_one_label_stand_side_by_side():
    two = words("fuel pump", 20, 40, TURNED % (20, 40)) + words("relay", 23, 40, TURNED % (23, 40))
    assert faults_of(svg(FRAME + two)) == []


def test_a_legible_drawing_has_no_fault():
    assert faults_of(svg(LEGIBLE)) == []


@pytest.mark.parametrize(
    "fault, inside, said",
    [
        ("two labels", words("one", 20, 20) + words("two", 22, 20), "one over two"),
        (
            "two labels nearer than a space",
            words("X4", 20, 20) + words("S810", 24.1, 20.4),
            "X4 runs into S810",
        ),
        (
            "turned labels nearer than a space",
            words("X4", 20, 40, TURNED % (20, 40))
            + words("S810", 20.4, 35.9, TURNED % (20.4, 35.9)),
            "X4 runs into S810",
        ),
        (
            "turned label",
            words("one long label", 20, 20) + words("two", 25, 22, 'transform="rotate(-90 25 22)"'),
            "one long label over two",
        ),
        (
            "label in a moved group",
            words("one", 20, 20) + f'<g transform="translate(10 10)">{words("two", 12, 10)}</g>',
            "one over two",
        ),
        (
            "wire through a label",
            words("one", 20, 20) + line("10,19 40,19", 'class="wire"'),
            "wire at 10.0 19.0 through one",
        ),
        (
            "curve through a label",
            words("one", 20, 20)
            + '<path d="M 10 19 C 20 18 25 19 40 19" fill="none" stroke="#000" '
            'stroke-width="0.3"/>',
            "path at 10.0 19.0 through one",
        ),
        (
            "circle through a label",
            words("one", 20, 20)
            + '<circle cx="22" cy="30" r="11" fill="none" stroke="#000" stroke-width="0.3"/>',
            "circle at 33.0 30.0 through one",
        ),
        (
            "leader hidden by a label's white",
            line("10,19 40,19", 'class="leader"')
            + '<rect class="halo" x="19" y="16" width="9" height="5" fill="#ffffff"/>'
            + words("one", 20, 20),
            "leader at 10.0 19.0 through one",
        ),
        (
            "label under a shape",
            words("one", 20, 20) + '<rect x="15" y="15" width="20" height="9" fill="#ffffff"/>',
            "lies over one",
        ),
        (
            "wire through a symbol",
            f'<g class="element">{line("20,20 30,20 30,30 20,30")}</g>'
            + line("25,10 25,50", 'class="wire"'),
            "through a symbol at 20.0 20.0",
        ),
        (
            "leader through a mark",
            '<circle class="mark" cx="30" cy="30" r="2"/>' + line("20,20 40,40", 'class="leader"'),
            "through a symbol at 28.0 28.0",
        ),
        (
            "wire through its own symbol",
            f'<g class="element">{line("20,20 30,20 30,30 20,30")}</g>'
            + line("25,10 25,30", 'class="wire"'),
            "through a symbol at 20.0 20.0",
        ),
        ("label outside the frame", words("a long label", 85, 30), "outside: a long label"),
        ("line outside the frame", line("50,30 99,30"), "leaves the frame"),
        ("line off the sheet", line("50,30 120,30"), "leaves the sheet"),
        ("small", '<text x="20" y="20" font-size="2.4" font-family="Roboto">one</text>', "small"),
        ("made small by a scale", f'<g transform="scale(0.8)">{words("one", 30, 30)}</g>', "small"),
        (
            "grey on grey",
            '<rect x="15" y="15" width="20" height="9" fill="#aaaaaa"/>'
            + words("one", 20, 20, 'fill="#555555"'),
            "faint",
        ),
        ("no glyph", words("\u4e00", 20, 20), "no such letter"),
    ],
    ids=lambda v: v if " " in str(v) and "<" not in str(v) else "",
)
def test_each_fault_is_found(fault, inside, said):
    found = faults_of(svg(FRAME + inside))
    assert any(said in f for f in found), found


@pytest.mark.parametrize(
    "inside",
    [
        line("10,19 40,19") + '<rect class="halo" x="19" y="16" width="9" height="5" '
        'fill="#ffffff"/>' + words("one", 20, 20),
        '<circle class="mark" cx="30" cy="30" r="2"/>' + line("30,30 40,40", 'class="leader"'),
        f'<g class="element">{line("20,20 30,20 30,30 20,30")}</g>'
        + line("25,10 25,20", 'class="wire"'),
        words("7", 50, 4, 'class="zone"') + line("30,0.25 30,5"),
        words("one", 20, 20) + words("two", 20, 23),
    ],
    ids=["white over a plain line", "own mark", "own symbol", "border", "lines of text"],
)
def test_what_is_no_fault_is_not_told(inside):
    assert faults_of(svg(FRAME + inside)) == []


@pytest.mark.parametrize(
    "inside",
    [
        '<image x="1" y="1" width="5" height="5"/>',
        line("1,1 2,2", 'style="stroke:red"'),
        line("1,1 2,2", 'transform="skewX(3)"'),
        words("<tspan>a</tspan>", 5, 5),
        '<text x="5" y="5" font-size="3" font-family="Courier">a</text>',
    ],
    ids=["image", "style", "skew", "tspan", "font"],
)
def test_what_cannot_be_read_is_not_passed_over(inside):
    with pytest.raises(Unread):
        scene(svg(inside))


def test_matrices_turn_and_move_as_svg_says():
    """rotate(90 10 10) takes 20,10 to 10,20 (SVG 1.1, 7.6: angles run clockwise on paper)."""
    m = matrix_of("rotate(90 10 10)")
    x, y = m[0] * 20 + m[2] * 10 + m[4], m[1] * 20 + m[3] * 10 + m[5]
    assert (x, y) == pytest.approx((10, 20))


def test_an_arc_is_round():
    (half,) = path_lines("M 0 0 a 5 5 0 0 1 10 0")
    assert [math.dist(p, (5, 0)) for p in half] == pytest.approx([5] * len(half))
    assert min(y for _, y in half) == pytest.approx(-5)


def test_ink_is_the_fonts_own():
    """Roboto Regular's H (hmtx and glyf tables): advance 1460, from 169 to 1288, 1456 high."""
    assert ink("H", False) == pytest.approx(
        (1460 / 2048, 169 / 2048, 0, 1288 / 2048, 1456 / 2048), abs=2 / 2048
    )
