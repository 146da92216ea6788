"""A figure and its unit stand on one line where a column is too narrow for both."""

from __future__ import annotations

import re

import pytest

from buildbook.book.chapters import harnesses, parts, reference, systems, troubleshooting
from buildbook.book.page_numbers import PageMap
from buildbook.book.templates import chapter_html, stacked
from tests.once import undrawn

FIGURES = {
    systems: r"V, (<[^>]*>)*\d[\d.]* [mµ]?A\b",
    harnesses: r"<td[^>]*>\s*\d[\d.]* mm</td>",
    troubleshooting: r"No\. \d+ \(\d+ %",
    parts: r"to buy, \d[\d.]* EUR",
    reference: r"</a>, (<[^>]*>)*\d[\d.]* A\b",
}
"""What a chapter prints in narrow columns: amps beside volts, sleeves, shares, prices, fuses."""

WHOLE = 'class="unbroken">'


@pytest.fixture(params=FIGURES, ids=lambda module: module.__name__.rpartition(".")[2])
def printed(request, lapwing) -> tuple[str, str]:
    """The HTML of a chapter, and how its figures look in it."""
    vehicle, supply = lapwing.vehicle.description.vehicle, lapwing.vehicle.supply
    made = request.param.chapters(lapwing, undrawn(lapwing))
    html = "".join(chapter_html(c, 1, made, vehicle, PageMap(), supply) for c in made)
    return re.sub(r"\s+", " ", html), FIGURES[request.param]


def test_a_figure_is_not_parted_from_its_unit(printed):
    html, figure = printed
    found = list(re.finditer(figure, html))
    assert found
    apart = [m[0] for m in found if WHOLE not in html[m.start() - len(WHOLE) - 1 : m.end()]]
    assert apart == []


def test_a_mean_of_pulses_is_not_parted_from_its_word():
    mean, swing = stacked("8.1 av. 0–14 V").split("<br>")
    assert WHOLE in mean and "8.1 av.</span>" in mean
    assert WHOLE in swing and "0–14 V</span>" in swing


def test_what_does_not_pulse_stays_as_it_is():
    assert stacked("13.04 V") == "13.04 V"
