"""Lengths that follow from layers and cables: take-up in steps, cores cut as one, what exists."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import pytest

from buildbook.as_built.model import AsBuilt
from buildbook.harness.cables import cable_mm, even_cores, named_pieces, strands
from buildbook.harness.finishing import finish_runs, lay_ups, turns, with_take_up
from buildbook.harness.laid_lines import laid_lines
from buildbook.harness.lay_up import LayUp, Strand, core_of, lay_up
from buildbook.harness.model import SHORT, Addend, Bundle, Harness, Wire
from buildbook.vehicle.model import Vehicle
from tests.checks import minimal as m

TRUNK = (
    m.run("r1", "P", "A", 2.0, concentric=True),
    m.run("r2", "A", "B", 1.0, concentric=True),
    m.run("r3", "A", "C", 1.0),
)


def wire(id_: str, runs: str, *parts: tuple[str, float], **fields: Any) -> Wire:
    """A wire with addends of these kinds; rope alone where none is said."""
    made = m.wire(id_, fields.pop("circuit", id_), m.end(f"a.{id_}"), m.end(f"b.{id_}"), **fields)
    addends = tuple(Addend(kind, metres, kind) for kind, metres in parts or (("rope", 3.0),))
    return replace(made, runs=tuple(runs.split()), addends=addends)


def harness(*wires: Wire) -> Harness:
    held = {run.id: tuple(w.id for w in wires if run.id in w.runs) for run in TRUNK}
    return m.harness(wires, bundles=tuple(Bundle(run, ids) for run, ids in held.items()))


VEHICLE: Vehicle = m.vehicle(runs=TRUNK, rope={"h": {"runs": []}})


def lay_of(made: Harness, id_: str) -> list[float]:
    return [part.length_m for part in made.wires[id_].addends if part.kind == "lay"]


TWO = lay_up([Strand((n,), 1.6) for n in "12"]).layers[0]
TAKEN = math.sqrt(1 + (math.pi * 1.6 / 38.4) ** 2) - 1
"""Two of 1.6 mm round each other: pitch 1.6 mm, lay 12 * 3.2 mm (geometry): 8.5 mm a metre."""


def test_what_layers_take_up_is_rounded_up_to_five_millimetres_after_the_rope() -> None:
    made = harness(
        wire("1", "r1 r2", ("rope", 3.0), ("lay", 0.9), ("strip", 0.01)), wire("2", "r1 r2")
    )
    found = with_take_up(VEHICLE, made, {"r1": LayUp((TWO,))})
    # 17.1 mm over the two metres that are laid; the third lies beside others
    assert pytest.approx(0.00853, abs=1e-5) == TAKEN
    assert lay_of(found, "1") == lay_of(found, "2") == [0.02]
    assert [part.kind for part in found.wires["1"].addends] == ["rope", "lay", "strip"]
    both = with_take_up(VEHICLE, made, {"r1": LayUp((TWO,)), "r2": LayUp((TWO,))})
    assert lay_of(both, "1") == [0.03], "25.6 mm over three metres"


def test_a_wire_in_the_middle_takes_up_nothing_and_a_way_without_rope_stays() -> None:
    made = harness(
        wire("1", "r1", ("rope", 2.0), ("lay", 0.5)), wire("2", "", (SHORT, 0.3), ("lay", 0.1))
    )
    straight = LayUp((core_of([TWO.seats[0]]),))
    found = with_take_up(VEHICLE, made, {"r1": straight})
    assert [part.kind for part in found.wires["1"].addends] == ["rope"]
    assert found.wires["2"] == made.wires["2"]
    # what nothing was worked out for has no lay either, but where it shall not get less
    assert lay_of(with_take_up(VEHICLE, made, {}), "1") == []
    assert lay_of(with_take_up(VEHICLE, made, {}, at_least=True), "1") == [0.5]


def test_take_up_grows_but_does_not_shrink_where_it_may_not() -> None:
    made = harness(wire("1", "r1", ("rope", 2.0), ("lay", 0.01)), wire("2", "r1"))
    found = with_take_up(VEHICLE, made, {"r1": LayUp((TWO,))}, at_least=True)
    assert lay_of(found, "1") == [0.02]


def test_a_wire_that_exists_keeps_its_length_whatever_its_layer() -> None:
    told = {"harness": "h", "from": "a.1", "to": "b.1", "family": "thin-wall", "size": "1 mm2"}
    own = {"number": 1, "colour": "RD", "wires": {"1": told | {"length": "2.5 m"}}}
    built = AsBuilt.model_validate({"revision": "A", "circuits": {"1": own}})
    made = harness(wire("1", "r1", ("rope", 2.0)), wire("2", "r1", ("rope", 2.0)))
    found = with_take_up(replace(VEHICLE, as_built=built), made, {"r1": LayUp((TWO,))})
    assert found.wires["1"].cut_m == pytest.approx(2.5)
    assert found.wires["2"].cut_m == pytest.approx(2.02)


def test_each_wire_of_a_strand_is_as_much_longer_as_its_layer() -> None:
    found = lay_up([Strand((f"{n}a", f"{n}b"), 1.0) for n in range(7)])
    told = turns(found)
    assert len(told) == 14 and told["0a"] == told["0b"] == 1.0
    assert told["3a"] == told["6b"] == pytest.approx(math.sqrt(1 + (math.pi * 2 / 36) ** 2))
    assert turns(None) == {}


def core(id_: str, circuit: str, runs: str, *parts: tuple[str, float], cable: str = "k") -> Wire:
    return wire(id_, runs, *parts, circuit=circuit, cable=cable)


def test_cores_that_go_the_same_way_are_cut_as_long_as_the_longest() -> None:
    made = {
        w.id: w
        for w in (
            core("1", "high", "r1 r2", ("rope", 3.0), ("strip", 0.02)),
            core("2", "low", "r2 r1", ("rope", 3.0), ("strip", 0.004), ("cable", 0.7)),
            core("3", "screen", "r1", ("rope", 2.0)),
            wire("4", "r1 r2", ("rope", 1.0)),
        )
    }
    found = even_cores(made)
    assert found["1"] == made["1"] and found["3"] == made["3"] and found["4"] == made["4"]
    last = found["2"].addends[-1]
    assert (last.kind, last.what) == ("cable", "as long as its cable")
    assert last.length_m == pytest.approx(0.016) and found["2"].cut_m == pytest.approx(3.02)
    assert len(found["2"].addends) == 3, "what was added before is taken off first"
    assert even_cores(found) == found and list(found) == ["1", "2", "3", "4"]


def test_lengths_of_a_cable_are_named_by_it_and_numbered_where_there_are_several() -> None:
    wires = [
        core("1", "high", "r1"),
        core("2", "low", "r1"),
        core("3", "high", "r2"),
        core("4", "low", "r2"),
        core("5", "signal", "r1", cable="other"),
        wire("6", "r1"),
    ]
    found = {name: [w.id for w in piece] for name, piece in named_pieces(wires).items()}
    assert found == {"k-1": ["1", "2"], "k-2": ["3", "4"], "other": ["5"]}


def test_cores_of_two_harnesses_or_of_no_common_run_are_no_piece() -> None:
    apart = [core("1", "high", "r1"), core("2", "low", "r2")]
    assert len(named_pieces(apart)) == 2
    other = [apart[0], replace(core("2", "low", "r1 r2"), harness="rear")]
    assert len(named_pieces(other)) == 2
    # one that ends apart joins the piece that lacks its circuit
    joined = [core("1", "high", "r1 r2"), core("2", "low", "r1"), core("3", "high", "r2")]
    assert [[w.id for w in piece] for piece in named_pieces(joined).values()] == [["1", "2"], ["3"]]


def test_a_shielded_cable_is_its_cores_a_shield_of_0_3_and_a_jacket_of_0_8_mm() -> None:
    assert cable_mm("shielded 1", [2.0]) == pytest.approx(3.1)
    assert cable_mm("twisted pair", [2.0]) == cable_mm("", [2.0]) == pytest.approx(2.0)
    wires = [core("1", "high", "r1"), wire("2", "r1")]
    found = strands(wires, {"1": 2.0, "2": 1.5}, {"k": "shielded 1"})
    assert found == (Strand(("1",), pytest.approx(3.1)), Strand(("2",), pytest.approx(1.5)))


FOUR = [wire(n, runs) for n, runs in zip("1234", ("r1 r2", "r1 r2", "r1 r2", "r1 r3"), strict=True)]
OD = dict.fromkeys("12345", 1.6)


def test_runs_that_are_twisted_have_layers_where_two_strands_lie_in_them() -> None:
    made = harness(*FOUR)
    found = lay_ups(VEHICLE, made, OD)
    assert {run: len(laid.strands) for run, laid in found.items()} == {"r1": 4, "r2": 3}
    alone = harness(wire("1", "r1 r2"), wire("4", "r1 r3"))
    assert lay_ups(VEHICLE, alone, OD).keys() == {"r1"}


def test_each_strand_stays_from_the_first_to_the_last_run_that_holds_it() -> None:
    (line,) = laid_lines(VEHICLE, harness(*FOUR), OD, "h")
    stays = {stay.strand.wires: stay for stay in line.stays}
    there, gone = stays["1",], stays["4",]
    # the work begins where most wires end; here no end is on the rope but P
    assert line.line.points[0] == "P" and line.line.runs == ("r1", "r2")
    assert (there.enters, there.leaves, there.length_m) == (0, 2, 3.0)
    assert (gone.enters, gone.leaves, gone.length_m) == (0, 1, 2.0)


def test_where_the_harness_exists_what_is_new_is_led_outside_of_its_twist() -> None:
    told = {"harness": "h", "family": "thin-wall", "size": "1 mm2", "length": "3 m"}
    own = {
        n: {"number": 1, "colour": "RD", "wires": {n: told | {"from": f"a.{n}", "to": f"b.{n}"}}}
        for n in "123"
    }
    built = AsBuilt.model_validate({"revision": "A", "circuits": own})
    old, new = FOUR[:3], [wire("5", "r1 r2")]
    before = lay_ups(VEHICLE, harness(*old), OD)["r1"]
    after = lay_ups(replace(VEHICLE, as_built=built), harness(*old, *new), OD)["r1"]
    assert after.layers[: len(before.layers)] == before.layers
    assert [s.wires for s in after.layers[-1].strands] == [("5",)]
    assert after.layers[-1].name == "flat"
    # were all new, four would lie round nothing
    assert len(lay_ups(VEHICLE, harness(*old, *new), OD)["r1"].layers) == 1


def test_a_core_that_ended_is_no_more_in_the_cable_s_strand() -> None:
    wires = [
        core("1", "high", "r1 r2"),
        core("2", "low", "r1"),
        wire("3", "r1 r2"),
        wire("4", "r1 r2"),
    ]
    found = lay_ups(VEHICLE, harness(*wires), OD)
    assert {s.wires for s in found["r1"].strands} == {("1", "2"), ("3",), ("4",)}
    assert {s.wires for s in found["r2"].strands} == {("1",), ("3",), ("4",)}


def test_finished_pieces_say_what_they_are_of() -> None:
    runs = (replace(TRUNK[0], bend_m=0.05), *TRUNK[1:])
    vehicle = replace(VEHICLE, runs=runs)
    vehicle = replace(vehicle, description=m.description(rope={"h": {"cover": "tape", "runs": []}}))
    made = harness(*FOUR)
    found = finish_runs(vehicle, made, OD, dict.fromkeys("1234", 0.01))
    assert found.keys() == {"r1", "r2", "r3"}
    stem, leaf = found["r1"], found["r3"]
    assert (stem.run, stem.harness, stem.cover, stem.bend_mm) == ("r1", "h", "tape", 50.0)
    assert stem.packing is None and stem.lay_up is not None and set(stem.wires) == set("1234")
    assert leaf.bend_mm is None and leaf.lay_up is None and leaf.packing is not None
    assert leaf.bare_mm == pytest.approx(1.6) and leaf.strands == (Strand(("4",), 1.6),)
    assert stem.sleeve is not None and stem.sleeve.kind == "tape"
    assert stem.outside_mm == pytest.approx(stem.bare_mm + 2 * stem.sleeve.wall_mm)
    # no run without wires
    assert finish_runs(vehicle, harness(*FOUR[:3]), OD, dict.fromkeys("123", 0.01)).keys() == {
        "r1",
        "r2",
    }
