"""The book of a motorcycle with its plus on the frame, a dynamo and a magneto, as it is printed."""

from __future__ import annotations

import re

import pytest

from buildbook.drawing.charts.power_paths import supply_paths
from buildbook.drawing.maps.ground import ground_maps
from tests.book_of import book_of, texts_of
from tests.drawing.reading import letterings


@pytest.fixture(scope="module")
def text(positive_earth):
    return " ".join(" ".join(texts_of(book_of(positive_earth))).split())


def test_what_charges_is_called_a_dynamo(text):
    assert "Dynamo gives" in text
    assert "what the dynamo can give" in text
    assert "Alternator" not in text
    assert "the alternator can" not in text


def test_a_magneto_reads_on_alternating_current(text):
    assert re.search(r"Magneto magneto\.K .* 6\.23 AC", text)
    assert re.search(r"magneto\.K magneto\.E .{0,160} 6\.23 V AC, 1\.04 A", text)


def test_ground_table_and_ground_map_agree_on_the_sign(positive_earth):
    """With the plus earthed a stud that returns a load's current stands below the post: above
    zero with the red lead on the post and the black one on the stud, in the table and the map."""
    texts = [t.text for d in ground_maps(positive_earth) for t in letterings(d)]
    assert any("stud to battery +" in t for t in texts)
    shown = {t for t in texts if t.startswith("most ")}
    assert shown and all("−" not in t for t in shown)
    stud = positive_earth.readings["braking at night"].at_pin("head.stud")
    assert any(f"most {stud.volts.nominal * 1000:.0f} mV" in t for t in shown)


def test_the_power_diagram_begins_at_the_live_post(positive_earth):
    assert supply_paths(positive_earth)["F1"][0] == "battery"
    assert supply_paths(positive_earth)["F1"][-1] == "F1"
