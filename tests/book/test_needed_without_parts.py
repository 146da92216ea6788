"""What cannot be ordered is named once: tools with the tools, wire with all its colours."""

from __future__ import annotations

from buildbook.book.chapters import parts
from buildbook.figures import METRIC
from tests.book.chapter_words import words_of
from tests.once import undrawn


def test_a_tool_that_no_part_serves_stands_with_the_tools_alone(motorcycle):
    (chapter,) = parts.chapters(motorcycle, undrawn(motorcycle))
    text = words_of(motorcycle, chapter)
    assert text.count("Heat gun") == 1
    assert text.index("Heat gun") > text.index("Tools that the terminals call for")


def test_wire_that_no_part_serves_is_named_once_with_all_its_colours(motorcycle):
    (chapter,) = parts.chapters(motorcycle, undrawn(motorcycle))
    text = words_of(motorcycle, chapter)
    wire = [line for line in motorcycle.bill.lines if line.need.key.startswith("wire ")]
    assert len(wire) > 20
    for line in wire:
        what, _, colour = METRIC.words(line.need.what).rpartition(", ")
        assert text.count(f"{what}:") == 1
        said = text[text.index(f"{what}:") :].split(" | ")[0]
        assert f"{colour} {line.quantity:.2f} m" in said


def test_where_nothing_has_a_price_no_total_is_told_and_no_column_is_empty(motorcycle):
    assert all(line.cost is None for line in motorcycle.bill.lines)
    (chapter,) = parts.chapters(motorcycle, undrawn(motorcycle))
    text = words_of(motorcycle, chapter)
    assert "Totals" not in text and "missing" not in text.partition("Needed, and")[2]
    box = text.partition("Spares box for the track")[2]
    assert len(motorcycle.bill.spares_box) > 5
    for item in motorcycle.bill.spares_box:
        assert f"{METRIC.words(item.what)}: {item.quantity:.0f} pc |" in box
