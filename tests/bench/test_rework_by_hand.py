"""What a helper touches in a harness that exists: one wire goes, one comes, one gets thicker."""

from __future__ import annotations

from dataclasses import replace

from buildbook.as_built.model import BuiltWire
from buildbook.bench.on_bench import HarnessOnBench
from buildbook.bench.rework import rework
from buildbook.sizing.as_built import as_built_now
from tests.bench.test_one_harness_by_hand import on_paper, plugged
from tests.checks import minimal as m


def recorded(**more: BuiltWire):
    """The harness on paper, recorded as it is; `more` wires of the lamp's feed were built too."""
    vehicle, harness, sizing, runs = on_paper()
    record = as_built_now(vehicle, harness, sizing)
    record.circuits["feed"].wires.update(more)
    return replace(vehicle, as_built=record), harness, sizing, runs


def reworked(vehicle, harness, sizing, runs, name: str = "h"):
    return rework(HarnessOnBench(vehicle, harness, sizing, runs, name))


def built(from_: str, to: str, harness: str = "h") -> BuiltWire:
    like = recorded()[0].as_built.circuits["feed"].wires["101a"]
    return like.model_copy(update={"from_": from_, "to": to, "harness": harness})


def test_a_harness_that_is_as_it_was_built_needs_no_rework():
    found = reworked(*recorded())
    assert (found.new, found.gone, found.changed, found.plugs) == ((), (), (), ())
    assert (found.splices, found.runs, found.left, found.is_needed) == ((), (), 5, False)


def test_a_harness_that_was_never_recorded_has_no_rework():
    assert reworked(*on_paper()) is None
    assert reworked(*recorded(), name="another") is None


def test_what_comes_goes_and_changes_is_told_with_all_that_is_opened_for_it():
    """105 comes, from the splice to cavity 4 of the lamp along both runs; 102 goes, from the lamp's
    pin 2 to the ground; 103 gets thicker. Four wires are left as they lie, 103 among them."""
    vehicle, harness, sizing, runs = recorded()
    wires = {id_: wire for id_, wire in harness.wires.items() if id_ != "102"}
    new = m.wire("105", "feed", m.end("S101", "splice"), plugged("4"), 1.0, runs=("r1", "r2"))
    sizing.wires.update({"105": m.sized("105"), "103": m.sized("103", "16 mm2", family="battery")})
    found = reworked(vehicle, replace(harness, wires={**wires, "105": new}), sizing, runs)
    assert found.revision == vehicle.description.vehicle.revision
    assert (found.new, found.gone, found.left, found.is_needed) == (("105",), ("102",), 4, True)
    # What comes and goes is no change beside.
    assert found.changed == (("ground", ("wire 103 of 10 mm2 becomes 16 mm2",)),)
    assert found.plugs == ("lamp", "lamp.2", "G1.stud")
    assert (found.splices, found.runs) == (("S101",), ("r1", "r2"))


def test_what_was_built_into_things_that_are_described_no_more_is_told_by_their_names():
    """A half of a plug with its harness, a pin by its device; caps and splices hold no contact."""
    gone = {
        "101c": built("X9.5/h", "S101"),
        "101d": built("old-ecu.A5", "cap"),
        "101e": built("F1.out", "X9.6/h"),
        "101f": built("lamp.1", "stub", harness="another"),
    }
    found = reworked(*recorded(**gone))
    assert (found.gone, found.left) == (("101c", "101d", "101e"), 5)
    assert found.plugs == ("X9/h", "old-ecu", "F1.out")
