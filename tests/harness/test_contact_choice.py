"""Which contacts of one pass-through circuits take: faces laid out by hand, answers seen by eye.

By the catalogue a pin of 1.5 mm carries 12 A and takes 1.5 mm2, one of 2.8 mm carries 20 A.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

import pytest

from buildbook.catalogue.load import contact_families
from buildbook.description import models as written
from buildbook.harness.pass_throughs import PassingCircuit, allocate, halves, is_noisy, spare
from buildbook.vehicle.model import Circuit, PassThrough
from tests.checks import minimal as m

CABIN_ENGINE = ("cabin", "engine")


def face(*rows: str, large: str = "", **fields: Any) -> PassThrough:
    """Contacts named by letters, a space where none is; of 1.5 mm, those in `large` of 2.8 mm."""
    cavities = [[None if name == " " else name for name in row] for row in rows]
    plug = m.plug(rows=cavities, contacts=dict.fromkeys(large, "pin-2.8"))
    given = {"fixed": {}, "on_vehicle": True, "where": m.HERE} | fields
    return PassThrough("X1", "wall", CABIN_ENGINE, "gate", plug, **given)


def passing(
    name: str, amps: float = 1.0, *, signal: bool = False, cable: str = "", **more: Any
) -> PassingCircuit:
    """A circuit that crosses; its number is that of its letter, its system `main`."""
    told = written.Circuit.model_validate({"join": ["d.1", "e.1"], "signal": signal})
    system = more.pop("system", "main")
    circuit = Circuit(name, 100 + ord(name[0]), (), system, told, m.HERE, cable=cable)
    return PassingCircuit(circuit, amps, **more)


def given(
    through: PassThrough, demands: Iterable[PassingCircuit], unused: Sequence[str] = ()
) -> dict[str, str]:
    """Circuit -> its contacts, as one word; '' for those left without."""
    found, left = allocate(through, demands, contact_families(), unused)
    return {id_: "".join(own) for id_, own in found.items()} | {d.circuit.id: "" for d in left}


def test_heavy_currents_choose_first_and_signals_last() -> None:
    demands = [passing("s", 2.9, signal=True), passing("t", 0.5), passing("u", 2.0)]
    assert given(face("ABCD"), demands) == {"u": "A", "t": "B", "s": "C"}


def test_equal_currents_choose_by_system_then_by_number() -> None:
    demands = [
        passing("q", system="b"),
        passing("r", system="a"),
        passing("p", system="b"),
        passing("o", system="a"),
    ]
    assert given(face("ABCD"), demands) == {"o": "A", "r": "B", "p": "C", "q": "D"}
    # 1.4 A and 0.6 A are both about one ampere: the number decides
    assert given(face("AB"), [passing("v", 1.4), passing("w", 0.6)])["v"] == "A"


@pytest.mark.parametrize(("amps", "contact"), [(3.0, "C"), (2.9, "B")])
def test_from_three_amperes_on_no_signal_lies_beside(amps: float, contact: str) -> None:
    demands = [passing("h", amps), passing("s", signal=True)]
    assert given(face("ABC"), demands) == {"h": "A", "s": contact}


@pytest.mark.parametrize(("amps", "contact"), [(3.0, "C"), (2.9, "B")])
def test_from_three_amperes_on_two_circuits_do_not_warm_each_other(amps, contact) -> None:
    assert given(face("ABC"), [passing("h", 9.0), passing("i", amps)]) == {"h": "A", "i": contact}
    # where there is no room apart they lie side by side
    assert given(face("AB"), [passing("h", 9.0), passing("i", amps)]) == {"h": "A", "i": "B"}


def test_what_is_cut_off_sharply_disturbs_signals_however_little_it_draws() -> None:
    loud, quiet = passing("l", 0.5, noisy=True), passing("s", signal=True)
    assert given(face("ABC"), [loud, quiet]) == {"l": "A", "s": "C"}
    assert given(face("ABC"), [loud, passing("m", 0.5)])["m"] == "B"
    assert given(face("ABC"), [quiet, passing("t", signal=True)]) == {"s": "A", "t": "B"}


def test_what_feeds_a_coil_is_noisy_and_a_signal_never_is() -> None:
    assert is_noisy(passing("a").circuit, ["sensor", "ignition coil"])
    assert not is_noisy(passing("a").circuit, ["sensor", "lamp"])
    assert not is_noisy(passing("a", signal=True).circuit, ["injector"])


def test_neighbours_are_beside_or_above_not_across_a_corner() -> None:
    demands = [passing("h", 8.0), passing("s", signal=True)]
    assert given(face("AB", "CD"), demands) == {"h": "A", "s": "D"}


def test_a_system_stays_together_but_a_signal_rather_leaves_it_than_lies_beside_heat() -> None:
    through = face("ABCDEF", fixed={"D": "x"})
    other = [passing("x", system="b"), passing("y", system="b")]
    assert given(through, other)["y"] == "C"
    assert given(through, [passing("x", 5.0, system="b"), passing("s", signal=True, system="b")])[
        "s"
    ] in ("B", "F")


def test_cores_lie_beside_each_other_even_beside_heat_or_off_their_system() -> None:
    cores = [passing(n, cable="k", signal=True, system=n) for n in "pq"]
    assert given(face("ABCD", fixed={"A": "p"}), cores)["q"] == "B"
    # B is the one contact beside p; a heavy circuit is on its other side
    through = face("ABCDEF", fixed={"A": "p", "C": "h"})
    assert given(through, [*cores, passing("h", 9.0)])["q"] == "B"
    # a cable is no kin of its system's other circuits
    alone = [passing("p", cable="k"), passing("o")]
    assert given(face("ABCDE", fixed={"E": "p"}), alone)["o"] == "A"


def test_the_first_core_of_a_cable_takes_no_contact_where_the_others_find_none_beside_it() -> None:
    two = [passing(n, cable="k") for n in "pq"]
    assert sorted(given(face("A BC"), two).values()) == ["B", "C"]
    three = [passing(n, cable="k") for n in "pqr"]
    assert sorted(given(face("AB CDE"), three).values()) == ["C", "D", "E"]
    # beside A is a contact, but a larger one, and beside C one that stays empty
    assert sorted(given(face("ABCDEF", large="B"), two, "D").values()) == ["E", "F"]
    # one core alone may lie anywhere
    assert given(face("A BC"), two[:1]) == {"p": "A"}


def test_a_current_takes_one_contact_that_carries_it_before_several_smaller() -> None:
    assert given(face("ABCD", large="D"), [passing("h", 15.0)]) == {"h": "D"}
    # where the large one is kept free two pins share 15 A: 2 * 0.8 * 12 A = 19.2 A
    assert given(face("ABCD", large="D"), [passing("h", 15.0)], "D") == {"h": "AB"}
    assert given(face("ABCD", large="D"), [passing("h", 15.0)], "ABD") == {"h": ""}
    # a small current takes the smallest, however the face is written
    assert given(face("ABCD", large="A"), [passing("i", 0.5)]) == {"i": "B"}
    assert given(face("AB", large="A"), [passing("i", 0.5)], "B") == {"i": "A"}


def test_several_contacts_of_one_circuit_lie_side_by_side_in_reading_order() -> None:
    # of 30 A each pin takes 9.6 A: four, and C and E are as near to B
    assert given(face("ABC", "DEF"), [passing("h", 30.0)], "A") == {"h": "BCDE"}


@pytest.mark.parametrize(("area_mm2", "contact"), [(1.5, "A"), (1.6, "D")])
def test_a_wire_takes_a_contact_that_it_goes_into(area_mm2: float, contact: str) -> None:
    through = face("ABCD", large="D")
    assert given(through, [passing("h", 1.0, area_mm2=area_mm2)]) == {"h": contact}
    # where none is left it takes a smaller, which a check tells
    assert given(through, [passing("h", 1.0, area_mm2=area_mm2)], "D") == {"h": "A"}


def test_what_was_built_stays_and_takes_more_beside_it_where_its_current_grew() -> None:
    grown, new = passing("h", 12.1), passing("n", 12.0)
    assert given(face("ABCD", built={"B": "h"}), [new, passing("h", 12.0)])["h"] == "B"
    assert given(face("ABCD", built={"B": "h"}), [new, grown]) == {"h": "BA", "n": "D"}
    assert given(face("ABCD", built={"B": "h"}), [grown], "A") == {"h": "BC"}
    # what stands beside it is of another kind, or nothing is free
    assert given(face("ABCD", large="ACD", built={"B": "h"}), [grown]) == {"h": "B"}
    # 30 A take four: three more, and no contact twice
    assert given(face("ABCDE", built={"B": "h"}), [passing("h", 30.0)]) == {"h": "BACD"}


def test_the_author_goes_before_what_was_built_and_both_before_what_is_new() -> None:
    through = face("ABC", fixed={"A": "f"}, built={"B": "b"})
    demands = [passing("n", 9.0), passing("b"), passing("f")]
    assert given(through, demands) == {"f": "A", "b": "B", "n": "C"}
    # a contact kept for a circuit that does not cross stays empty
    assert given(through, [passing("n")]) == {"n": "C"}


def test_spare_contacts_are_those_that_carry_nothing_and_may_carry_something() -> None:
    through = face("ABCD", large="AB")
    device = m.device("X1", "pass-through", "", point="wall")
    one, other = halves(m.vehicle((device,)), through, {"a": ("A",)}, contact_families())
    assert spare(one, "D") == spare(other, "D") == {"pin-1.5": 1, "pin-2.8": 1}
    assert list(spare(one, "")) == ["pin-1.5", "pin-2.8"]


def test_each_half_is_a_connector_on_its_own_harness_and_one_of_them_has_sockets() -> None:
    through = face("AB", large="B", sockets="engine")
    device = m.device("X1", "pass-through", "", point="wall")
    made = halves(m.vehicle((device,)), through, {"light": ("B",)}, contact_families())
    assert [(half.id, half.device, half.harness, half.gender) for half in made] == [
        ("X1/cabin", "X1", "cabin", "pin"),
        ("X1/engine", "X1", "engine", "socket"),
    ]
    half = made[1]
    assert (half.title, half.plug_type, half.plug, half.point, half.where) == (
        "X1, engine half",
        "gate",
        through.plug,
        "wall",
        m.HERE,
    )
    a, b = half.pins
    assert (a.id, a.device, a.name, a.cavity, a.use) == ("X1.A/engine", "X1", "A", "A", "")
    assert (a.unused, b.unused, b.use) == (True, False, "light")
    assert (a.contact.id, b.contact.id, a.stud) == ("pin-1.5", "pin-2.8", False)
    assert halves(m.vehicle(), through, {}, contact_families())[0].title == "X1, cabin half"
