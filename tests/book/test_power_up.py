"""The first power-up in the book and in the exported data."""

from __future__ import annotations

import json
import re

import pypdfium2
import pytest

from buildbook.book.chapters import powerup
from buildbook.book.formats import amps, reading
from buildbook.book.jobs import Filler
from buildbook.book.join import alone
from buildbook.book.page_numbers import PageMap
from buildbook.book.render import render
from buildbook.book.templates import chapter_html
from buildbook.export.results import results
from tests.once import undrawn


@pytest.fixture(params=["two_wire", "motorcycle", "lapwing"])
def result(request):
    return request.getfixturevalue(request.param)


def page(result) -> str:
    (chapter,) = powerup.chapters(result, undrawn(result))
    vehicle = result.vehicle.description.vehicle
    return chapter_html(chapter, 1, (chapter,), vehicle, PageMap(), result.vehicle.supply)


def test_every_step_stands_in_order_with_its_current_and_volts(result):
    text = page(result)
    rows = text[text.index("Battery on, fuses in") : text.index("When it differs")]
    rows = rows.split("<tr>")[2:]
    assert len(rows) == len(result.power_up.steps)
    for row, step in zip(rows, result.power_up.steps, strict=True):
        assert f">{step.fuse}</a>" in row
        assert f">{reading(step.reading)}<" in row
        assert step.fuse_a < 0.001 or f">{amps(step.fuse_a)}<" in row
        assert ("full feed" in row) == step.past_limiter
        told = step.lamp != "dark" and not step.past_limiter
        assert (f"lamp {step.lamp}" in row) == told


def test_the_isolator_stands_as_it_did_when_the_ohms_were_worked_out(result):
    """Behind an open isolator no meter would see the panel's feed."""
    text = page(result)
    before = text[: text.index("Resistance, fuses out")]
    rest = result.power_up.rest
    isolators = result.vehicle.all_of("isolator")
    closed = [any(rest in c.states for c in device.contacts) for device in isolators]
    assert ("the isolator closed" in before) == (bool(closed) and all(closed))
    assert ("Isolator open" in before) == (bool(closed) and not all(closed))
    assert "isolator off" not in before


def test_every_word_stands_on_the_paper(lapwing):
    """Read from the PDF: the list of splices once ran off the right edge, 25 of 37."""
    (chapter,) = powerup.chapters(lapwing, undrawn(lapwing))
    vehicle = lapwing.vehicle.description.vehicle
    job = Filler((chapter,), vehicle, lapwing.vehicle.supply, frozenset()).job(0)
    pdf = pypdfium2.PdfDocument(alone(render(job)))
    seen = ""
    for page in pdf:
        width, height = page.get_size()
        text = page.get_textpage()
        for n in range(text.count_rects()):
            left, bottom, right, top = text.get_rect(n)
            assert left > 0 and right < width and bottom > 0 and top < height
        seen += text.get_text_bounded(0, 0, width, height)
    assert all(f"{splice}:" in seen for splice in lapwing.harness.splices)


def test_cautions_stand_where_battery_fuel_coils_and_moving_parts_come_alive(lapwing):
    text = page(lapwing)
    caution = text[text.index("Battery on, fuses in") : text.index("The last thing to touch")]
    for word in ("hydrogen", "Fuel is close", "engine can turn", "Coils give", "without warning"):
        assert word in caution
    for fuse, word in (("F4", "fuel"), ("F24", "ignition"), ("F5", "moving"), ("F13", "cranking")):
        row = next(
            r
            for r in re.findall(r"<tr>(.*?)</tr>", text, re.S)
            if f">{fuse}</a>" in r and "paddock" not in r and "CAUTION" in r
        )
        assert word in row.partition("CAUTION")[2]


def test_exported_data_hold_the_same_steps(result):
    data = json.loads(json.dumps(results(result)))["power_up"]
    assert [row["fuse"] for row in data["steps"]] == [s.fuse for s in result.power_up.steps]
    for row, step in zip(data["steps"], result.power_up.steps, strict=True):
        assert row["fuse_a"] == pytest.approx(step.fuse_a, abs=1e-4)
    assert data["main"]["ohms"] is None, "nothing hangs before every fuse"
