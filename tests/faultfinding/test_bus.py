"""A data bus with one terminator, with a wire open, with a wire on the body.

120 ohm at each end, so 60 across the pair while it is whole: ISO 11898-2. What is left of a bus
may then fail at any time: common practice, no source.
"""

from __future__ import annotations

import pytest

from buildbook.book.fault_trees import tree_of


def effects(result, fault: str) -> dict[str, str]:
    found = result.faultfinding.effects[fault]
    return {e.load: e.effect for e in found if e.state == "ignition on"}


def symptom_of(result, fault: str):
    return next(s for s in result.faultfinding.symptoms if fault in s.suspects)


@pytest.mark.parametrize("end", ["display.3", "logger.3"])
def test_with_a_terminator_gone_the_whole_bus_is_unreliable(lapwing, end):
    assert effects(lapwing, f"open load:{end}") == {"display.3": "weak", "logger.3": "weak"}


@pytest.mark.parametrize("pin", ["display.3", "display.4"])
def test_who_is_cut_off_is_lost_and_who_is_left_has_one_terminator(lapwing, pin):
    assert effects(lapwing, f"open pin:{pin}") == {"display.3": "dead", "logger.3": "weak"}


def test_the_high_wire_on_the_body_silences_all(lapwing):
    wires = [w.id for w in lapwing.harness.wires.values() if w.circuit == "data bus high"]
    assert wires
    for wire in wires:
        found = effects(lapwing, f"short wire:{wire}")
        assert found["display.3"] == found["logger.3"] == "dead"


def test_a_lost_terminator_is_parted_by_60_and_120_ohm_across_the_pair(lapwing):
    symptom = symptom_of(lapwing, "open load:display.3")
    plugged = next(s for s in symptom.steps if s.what == "bus ohms")
    assert plugged.low_v == pytest.approx(60, rel=0.03)
    assert plugged.high_v == pytest.approx(120, rel=0.03)
    assert "open load:display.3" in plugged.high


def test_with_the_good_end_unplugged_a_bus_without_its_other_end_reads_open(lapwing):
    # Display off: the logger's 120 ohm is left, or nothing where that is the one that failed.
    step = symptom_of(lapwing, "open load:logger.3").steps[0]
    assert step.what == "bus ohms unplugged" and step.node == "display.3"
    assert step.low_v == pytest.approx(120, rel=0.03) and step.high_v >= 1e6
    assert step.high == ("open load:logger.3",)


def test_the_book_says_how_to_measure_it(lapwing):
    symptom = symptom_of(lapwing, "open load:logger.3")
    lines = tree_of(lapwing, symptom, "bus").lines
    how = "battery off, display unplugged, on the harness"
    assert lines[0].where == f"Ω display.3 to display.4, {how}"
    assert (lines[0].low, lines[0].high) == ("120 Ω", "open")
    assert lines[1].low == "60 Ω"


def test_vehicles_without_a_bus_measure_none(motorcycle):
    steps = [step for s in motorcycle.faultfinding.symptoms for step in s.steps]
    assert steps and not [step for step in steps if step.what.startswith("bus")]
