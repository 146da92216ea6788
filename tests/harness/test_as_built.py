"""What was built stays: lengths, sizes and names of wires, splices and their marks."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from buildbook.as_built.model import AsBuilt, BuiltCircuit
from buildbook.harness.as_built import harness_as_built, reaches, recorded_end, wire_as_built
from buildbook.harness.build import build_harness
from buildbook.harness.model import SHORT, Addend, End, Wire
from buildbook.harness.numbering import name_splices, name_wires
from buildbook.harness.rope import lay_rope
from buildbook.harness.wires import kept_mark
from tests.checks import minimal as m
from tests.harness.test_routes_and_splices import PLUGS, STAR, built, of, vehicle_of
from tests.harness.trees import joined, sensor

DEVICES = m.vehicle((m.device("d", "lamp", "1"), m.device("e", "lamp", "1")), {"c": ("d.1", "e.1")})
CIRCUIT = replace(DEVICES.circuits["c"], number=204)


def record(length: str = "1 m", **wires: tuple[str, str]) -> BuiltCircuit:
    """A circuit as built, its wires given as the two ends of each."""
    told = {"harness": "h", "family": "battery", "size": "2.5 mm2", "length": length}
    own = {id_: told | {"from": a, "to": b} for id_, (a, b) in wires.items()}
    return BuiltCircuit.model_validate({"number": 204, "colour": "RD", "wires": own})


def wire(*parts: tuple[str, float], id_: str = "204") -> Wire:
    made = m.wire(id_, "c", m.end("d.1"), m.end("e.1"))
    return replace(made, addends=tuple(Addend(kind, metres, kind) for kind, metres in parts))


LAID = wire(("rope", 1.0), ("strip", 0.01), ("loop", 0.02), ("cut back", 0.03), ("estimated", 0.04))


def test_a_wire_reaches_without_its_loop_and_what_was_only_allowed_for() -> None:
    # 1 m of rope and 10 mm of strip have to be there, to half a millimetre
    assert reaches(LAID, 1.01) and reaches(LAID, 1.0095) and not reaches(LAID, 1.009)
    loose = wire(("rope", 1.0), ("not fitted", 0.3), ("cable", 0.2))
    assert reaches(loose, 1.0)
    assert not reaches(wire(("rope", 1.0), ("cap", 0.03)), 1.0)
    # a way that is an estimate tells nothing of what reaches
    assert reaches(wire((SHORT, 0.3), ("strip", 0.01)), 0.05)


def test_a_wire_that_was_built_keeps_family_size_and_length() -> None:
    kept = wire_as_built(LAID, record("1.05 m", **{"204": ("d.1", "e.1")}))
    assert kept.built_size is not None and kept.built_size.area_mm2 == 2.5
    assert kept.family == "battery"
    assert kept.cut_m == pytest.approx(1.05)
    assert kept.addends[:-1] == LAID.addends
    assert (kept.addends[-1].kind, kept.addends[-1].what) == ("as built", "as built")
    assert kept.addends[-1].length_m == pytest.approx(-0.05)
    longer = wire_as_built(LAID, record("1.5 m", **{"204": ("d.1", "e.1")}))
    assert longer.addends[-1].length_m == pytest.approx(0.4)
    # said twice it is said once
    again = wire_as_built(kept, record("1.05 m", **{"204": ("d.1", "e.1")}))
    assert again.cut_m == pytest.approx(1.05) and len(again.addends) == len(kept.addends)


def test_a_length_within_half_a_millimetre_is_the_same_and_one_that_is_short_is_cut_anew() -> None:
    for length in ("1100.5 mm", "1099.5 mm", "1000 mm"):
        kept = wire_as_built(LAID, record(length, **{"204": ("d.1", "e.1")}))
        assert kept.addends == LAID.addends and kept.built_size is not None, length
    assert wire_as_built(LAID, record("1101 mm", **{"204": ("d.1", "e.1")})).cut_m == 1.101


def test_what_is_new_is_cut_as_it_would_be() -> None:
    assert wire_as_built(LAID, None) is LAID
    assert wire_as_built(LAID, record(**{"204a": ("d.1", "e.1")})) is LAID
    made = m.harness((LAID, replace(LAID, id="205", circuit="other")))
    assert harness_as_built(None, made) is made
    own = record("1.2 m", **{"204": ("d.1", "e.1"), "205": ("d.1", "e.1")})
    found = harness_as_built(AsBuilt(revision="A", circuits={"c": own}), made)
    assert (
        found.wires["204"].cut_m == pytest.approx(1.2) and found.wires["205"] == made.wires["205"]
    )
    assert list(found.wires) == ["204", "205"] and found.wire_at == made.wire_at


def test_a_cap_is_recorded_by_its_kind_and_all_else_by_its_node() -> None:
    assert recorded_end(m.end("204.cap", "capped")) == "cap"
    assert recorded_end(m.end("X1.3/h", "half")) == "X1.3/h"


def ends(*pairs: tuple[str, str]) -> list[tuple[str, End, End]]:
    return [("h", m.end(a), m.end(b)) for a, b in pairs]


def test_a_wire_keeps_its_label_whichever_end_is_told_first_and_no_label_comes_twice() -> None:
    was = record(**{"204a": ("d.1", "S204"), "204b": ("S204", "e.1")})
    now = ends(("e.1", "S204"), ("S204", "f.1"), ("d.1", "S204"), ("g.1", "S204"))
    assert name_wires(CIRCUIT, was, now) == ["204b", "204c", "204a", "204d"]
    # in another harness it is another wire
    moved = [("other", a, b) for _, a, b in now[:1]]
    assert name_wires(CIRCUIT, was, moved) == ["204c"]
    # two side by side between the same ends keep both labels, in their order
    twins = record(**{"204": ("d.1", "e.1"), "204a": ("d.1", "e.1")})
    assert name_wires(CIRCUIT, twins, ends(*[("d.1", "e.1")] * 3)) == ["204", "204a", "204b"]
    assert name_wires(CIRCUIT, None, now) == ["204a", "204b", "204c", "204d"]
    assert name_wires(CIRCUIT, None, now[:1]) == ["204"]


def test_a_splice_keeps_its_name_at_its_point_and_a_new_one_takes_the_next_letter() -> None:
    told = {"S204": {"harness": "h", "at": "P"}, "S204a": {"harness": "h", "at": "Q"}}
    was = record(**{"204": ("d.1", "e.1")}).model_copy(
        update={
            "splices": BuiltCircuit.model_validate(
                {"number": 204, "colour": "RD", "wires": {}, "splices": told}
            ).splices
        }
    )
    places = [("h", "Q"), ("h", "R"), ("h", "P"), ("h", "P"), ("other", "Q")]
    names = ["S204a", "S204b", "S204", "S204c", "S204d"]
    assert name_splices(CIRCUIT, was, places) == names
    assert name_splices(CIRCUIT, None, places[:2]) == ["S204a", "S204b"]
    assert name_splices(CIRCUIT, None, places[:1]) == ["S204"]
    assert name_splices(CIRCUIT, None, []) == []
    # a circuit that had none is spliced as a new one
    assert name_splices(CIRCUIT, record(**{"204": ("d.1", "e.1")}), places[:1]) == ["S204"]


def test_a_splice_keeps_its_mark_as_long_as_its_run_is_there_and_long_enough() -> None:
    rope = lay_rope(vehicle_of({}, {}, STAR))
    data = {"number": 204, "colour": "RD", "wires": {}}

    def mark(**splice: Any) -> tuple[float, str] | None:
        told = {"S204": {"harness": "main", "at": "hub"} | splice}
        return kept_mark(
            rope, BuiltCircuit.model_validate(data | {"splices": told}).splices["S204"]
        )

    assert mark() == (0.0, "")
    assert mark(run="main:hub-a", offset="1000 mm") == (1.0, "main:hub-a")
    assert mark(run="main:hub-a", offset="1001 mm") is None
    assert mark(run="main:hub-z", offset="10 mm") is None
    assert kept_mark(rope, None) is None


STAR_OF_THREE = {
    "devices": {"s": sensor("a", 1), "t": sensor("b", 1), "u": sensor("d", 1)},
    "circuits": {"c": {"join": ["s.1", "t.1", "u.1"]}},
}


def rebuilt(at: str, more: dict[str, Any] | None = None, **splice: str) -> Any:
    """The star of three sensors, spliced at `at` when it was built; `more` is said of it now."""
    told = {"harness": "main", "family": "thin-wall", "size": "1 mm2", "length": "2 m"}
    wires = {
        f"250{letter}": told | {"from": pin, "to": "S250"}
        for letter, pin in zip("kmn", ("s.1", "t.1", "u.1"), strict=True)
    }
    own = {"number": 250, "colour": "YE", "wires": wires}
    own["splices"] = {"S250": {"harness": "main", "at": at} | splice}
    as_built = AsBuilt.model_validate({"revision": "A", "circuits": {"c": own}})
    base = {
        "battery": {"kind": "battery", "at": "a", "system": "all"},
        "G1": {"kind": "ground", "at": "a", "system": "all"},
    }
    circuit = STAR_OF_THREE["circuits"]["c"] | (more or {})
    data = {
        "plugs": PLUGS,
        "devices": base | STAR_OF_THREE["devices"],
        "circuits": {"supply": {"join": ["battery.-", "G1"]}, "c": circuit},
        "rope": STAR,
    }
    harness, problems = build_harness(joined(data, as_built))
    assert harness is not None, problems
    return harness


def test_a_circuit_that_was_built_is_laid_again_as_it_lies() -> None:
    # a new one would be spliced at the hub
    assert [s.point for s in built(vehicle_of(**STAR_OF_THREE, rope=STAR)).splices.values()] == [
        "hub"
    ]
    found = rebuilt("c", run="main:c-d", offset="123 mm")
    (splice,) = found.splices.values()
    assert (splice.id, splice.point, splice.run, splice.offset_m) == (
        "S250",
        "c",
        "main:c-d",
        0.123,
    )
    assert {w.id: w.a.node for w in of(found, "c")} == {
        "250k": "s.1",
        "250m": "t.1",
        "250n": "u.1",
    }
    assert {w.colour for w in of(found, "c")} == {"YE"}
    # a metre and 0.6 m to c leave 2 m enough; the 0.5 m to d as well
    assert [w.cut_m for w in of(found, "c")] == pytest.approx([2.0, 2.0, 2.0])


def test_the_author_s_word_for_a_splice_goes_before_where_it_was_built() -> None:
    assert [s.point for s in rebuilt("c", {"splice at": "hub"}).splices.values()] == ["hub"]
    (kept,) = rebuilt("c", {"splice at": "c"}).splices.values()
    assert (kept.id, kept.point) == ("S250", "c")
