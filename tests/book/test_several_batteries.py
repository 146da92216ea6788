"""The chapter at a glance of a lorry with two batteries, one of them tapped, as it is printed."""

from __future__ import annotations

import re

from buildbook.book.chapters import glance
from buildbook.book.page_numbers import PageMap
from buildbook.book.templates import chapter_html
from buildbook.drawing.charts.power_paths import supply_paths
from tests.once import undrawn


def test_every_battery_has_its_own_line_in_every_state(two_batteries):
    supply = two_batteries.vehicle.supply
    (made,) = glance.chapters(two_batteries, undrawn(two_batteries))
    vehicle = two_batteries.vehicle.description.vehicle
    html = chapter_html(made, 1, (made,), vehicle, PageMap(), supply)
    text = re.sub(r"\s+", " ", re.sub(r"<[^>]*>", " ", html))
    assert "The battery of this table is lower ;" in text
    for battery in ("lower", "upper"):
        assert len(re.findall(rf" {battery} −?[\d.]+ m?A ", text)) == len(
            two_batteries.solved.meter
        )


def test_the_power_diagram_has_the_fuses_of_the_whole_voltage_and_of_the_tap(two_batteries):
    assert supply_paths(two_batteries).keys() == two_batteries.sizing.fuses.keys()
