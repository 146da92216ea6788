"""Cables: cores stay together through cutting, lay-up and pass-throughs."""

from __future__ import annotations

from buildbook.harness.cables import cable_pieces
from buildbook.harness.model import Wire
from buildbook.vehicle.faces import cavity_places
from tests.checks import minimal as m


def core(id_: str, circuit: str, runs: str, cable: str = "bus") -> Wire:
    return m.wire(id_, circuit, m.end("a.1"), m.end("b.1"), runs=tuple(runs.split()), cable=cable)


def ids(*wires: Wire) -> list[tuple[str, ...]]:
    return [tuple(wire.id for wire in piece) for piece in cable_pieces(wires)]


def test_single_wires_are_pieces_of_their_own() -> None:
    assert ids(core("1", "x", "r1", ""), core("2", "y", "r1", "")) == [("1",), ("2",)]


def test_cores_that_run_the_same_way_are_one_piece_in_whatever_direction() -> None:
    assert ids(core("1", "high", "r1 r2"), core("2", "low", "r2 r1")) == [("1", "2")]


def test_two_lengths_of_one_cable_side_by_side_are_two_pieces() -> None:
    """A bus that goes to a display and back past the same breakout to a logger."""
    found = ids(
        core("1a", "high", "r1 r2"),
        core("1b", "high", "r2 r3"),
        core("2a", "low", "r1 r2"),
        core("2b", "low", "r2 r3"),
    )
    assert found == [("1a", "2a"), ("1b", "2b")]


def test_two_lengths_between_the_same_points_are_two_pieces() -> None:
    found = ids(core("1a", "high", "r1"), core("1b", "high", "r1"), core("2a", "low", "r1"))
    assert sorted(map(len, found)) == [1, 2]


def test_a_screen_cut_back_before_the_end_stays_with_its_cores() -> None:
    found = ids(core("1", "signal", "r1 r2"), core("2", "return", "r1 r2"), core("3", "s", "r1"))
    assert found == [("1", "2", "3")]


def test_cores_of_every_cable_of_the_example_lie_together_along_every_run(lapwing) -> None:
    built = lapwing.harness
    for name, cable in lapwing.vehicle.description.cables.items():
        circuits = {*cable.cores, *([cable.screen] if cable.screen else [])}
        for run, bundle in built.bundles.items():
            mine = [built.wires[w] for w in bundle.wires if built.wires[w].cable == name]
            pieces = cable_pieces(mine)
            assert all({w.circuit for w in piece} == circuits for piece in pieces), (name, run)
            laid = [set(s.wires) for s in lapwing.finished_runs[run].strands] if mine else []
            assert all({w.id for w in piece} in laid for piece in pieces), (name, run)


def test_cores_of_a_cable_are_next_to_each_other_in_a_pass_through(lapwing) -> None:
    """No contact of another circuit is nearer to a core than its own cable's nearest core."""
    built = lapwing.harness
    for through in lapwing.vehicle.pass_throughs:
        spots = cavity_places(through.plug)
        for cable in lapwing.vehicle.description.cables.values():
            cores = [
                p
                for p in built.pass_pins
                if p.device == through.device and p.circuit in cable.cores
            ]
            for pin in cores:
                x, y = spots[pin.cavity]
                away = [
                    ((x - u) ** 2 + (y - v) ** 2) ** 0.5
                    for u, v in (spots[p.cavity] for p in cores if p is not pin)
                ]
                assert min(away) <= 1.3


def test_screens_of_the_example_end_insulated_at_the_far_end(lapwing) -> None:
    screens = [c for c in lapwing.vehicle.circuits.values() if c.is_screen]
    assert screens
    for circuit in screens:
        wires = [w for w in lapwing.harness.wires.values() if w.circuit == circuit.id]
        kinds = [end.kind for wire in wires for end in (wire.a, wire.b)]
        assert (kinds.count("pin"), kinds.count("capped")) == (1, 1)


def test_cores_of_a_pair_are_cut_to_the_same_length_between_the_same_ends(lapwing) -> None:
    for name, cable in lapwing.vehicle.description.cables.items():
        mine = [w for w in lapwing.harness.wires.values() if w.cable == name and w.runs]
        for piece in cable_pieces(mine):
            cores = [w for w in piece if w.circuit in cable.cores]
            lengths = [w.cut_m for w in cores]
            assert max(lengths) - min(lengths) <= 0.06, name
