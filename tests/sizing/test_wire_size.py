"""The short that a fuse has to break, and the largest rating that the wires behind it bear."""

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from buildbook.catalogue.load import contact_families, wire_families
from buildbook.electrical.model import Solved
from buildbook.sizing import fuse_rating
from buildbook.sizing.fuse_rating import rate_fuses, selectivity_of
from buildbook.sizing.installation import Candidate, Installation
from buildbook.sizing.installed_ampacity import Site
from buildbook.sizing.loading import Loading, WireLoad
from buildbook.sizing.short_circuit_current import ShortCircuits
from buildbook.sizing.short_circuit_withstand import k_factor
from buildbook.sizing.unfused import near_short_a
from buildbook.sizing.wire_size import fuses_before, sizes_by_limit
from tests.checks import minimal as m
from tests.sizing import fuses

THIN = wire_families()["thin-wall"]
ROW = {c.label: Candidate(THIN, c) for c in THIN.conductors}
VEHICLE = m.vehicle(tuple(m.fuse(f"F{n}") for n in range(1, 5)))


def loading(ohms=None, protected=None, below=None, load_a=None, ids=("w",)):
    """A loading at 12 V, with ohms of a short by node and fuses by wire."""
    asked = {"F1": 1.0, "F2": 1.0, "F3": 1.0, "F4": 1.0} | (load_a or {})
    return Loading(
        Solved({}, {}),
        (),
        {w: WireLoad(1.0, 0.0, 1.0, "on") for w in ids},
        {f: fuses.load(amps) for f, amps in asked.items()},
        protected or {w: frozenset() for w in ids},
        dict.fromkeys(ids, 0.0),
        frozenset(),
        frozenset(),
        below or {},
        ShortCircuits({n: 12.0 / o for n, o in (ohms or {}).items()}, ohms or {}, {}),
        Site(),
    )


def bare(ohms, switched):
    """A loading in which no fuse stands before the wire, and an isolator may part it."""
    found = loading(ohms)
    return replace(
        found,
        unfused_a={"w": math.inf},
        switched=frozenset({"w"}) if switched else frozenset(),
    )


def test_unfused_wire_stands_a_dead_short_for_the_five_seconds_in_which_it_is_switched_off():
    """S = I t^0.5 / k, IEC 60364-5-54; 12 V through 60 mohm: 200 A for 5 s."""
    asked = sizes_by_limit(m.vehicle(), bare({"near": 0.06}, True), place(), {})
    candidate = place().candidates[asked["unfused"]]
    k = k_factor(45.0, candidate.family.short_circuit_c)
    least_mm2 = 200 * math.sqrt(5) / k
    smaller = place().candidates[asked["unfused"] - 1]
    assert smaller.conductor.copper_mm2 < least_mm2 <= candidate.conductor.copper_mm2


def test_wire_that_nothing_switches_off_is_not_sized_for_a_short():
    assert "unfused" not in sizes_by_limit(m.vehicle(), bare({"near": 0.06}, False), place(), {})


def place(id_="w", pinned=None):
    wire = m.wire(id_, "c", m.end("near"), m.end("far"))
    return Installation(wire, tuple(ROW.values()), 40.0, 1, (), False, pinned)


@pytest.mark.parametrize(
    ("ohms", "amps"),
    [
        # 12 V through 20 mohm at the nearer end and 60 mohm at the other: 600 A and 200 A
        ({"near": 0.02, "far": 0.06}, 600.0),
        ({"near": 0.06, "far": 0.02}, 600.0),
        ({"far": 0.06}, 200.0),
        ({}, 0.0),
    ],
)
def test_a_wire_is_asked_about_the_short_at_the_end_nearer_the_supply(ohms, amps):
    assert near_short_a(loading(ohms), place()) == pytest.approx(amps)


def test_every_fuse_before_a_wire_breaks_the_short_at_its_nearer_end():
    asked = loading({"near": 0.02, "far": 0.06}, {"w": frozenset({"F2", "F1"})})
    found = fuses_before(VEHICLE, asked, place(), {"F1": 10.0, "F2": 20.0, "F3": 5.0})
    assert [(g.fuse, g.rating_a, g.short_a) for g in found] == [
        ("F1", 10.0, pytest.approx(600.0)),
        ("F2", 20.0, pytest.approx(600.0)),
    ]


def test_a_return_is_asked_about_the_short_just_behind_its_fuse():
    asked = loading({"F1.in~": 0.01, "F1.out~": 0.03}, {"w": frozenset({"F1"})})
    (guard,) = fuses_before(VEHICLE, asked, place(), {"F1": 10.0})
    assert guard.short_a == pytest.approx(400.0)


@pytest.fixture
def round_figures(monkeypatch):
    """Every fuse is of the family of round figures."""
    monkeypatch.setattr(fuse_rating, "family_of", lambda vehicle, fuse: fuses.ROUND)


LIVE = {f"F{n}.out~": 0.12 for n in range(1, 5)}
"""A dead short takes 100 A behind each fuse."""


def rated(places, protected, load_a=None, below=None, vehicle=VEHICLE):
    ids = tuple(places)
    held = {w: frozenset(protected[w]) for w in ids}
    below = below or {"F1": ("F2",)}
    asked = loading(LIVE, held, below, {"F1": 1.2, "F2": 0.5} | (load_a or {}), ids)
    return rate_fuses(vehicle, places, asked), asked


THICK, SLENDER = place("a", ROW["6 mm2"]), place("b", ROW["0.5 mm2"])
NARROW = replace(contact_families()["blade-6.3"], smallest_mm2=0.35, largest_mm2=0.5)


@pytest.mark.parametrize(
    ("places", "protected", "rating"),
    [
        ({"a": THICK}, {"a": ["F1"]}, 20.0),
        ({"a": THICK, "b": SLENDER}, {"a": ["F1"], "b": ["F1"]}, 2.0),
        ({"b": SLENDER, "a": THICK}, {"a": ["F1"], "b": ["F1"]}, 2.0),
        ({"a": THICK, "b": SLENDER}, {"a": ["F1"], "b": ["F2"]}, 20.0),
        ({"a": place("a")}, {"a": ["F1"]}, 20.0),
        ({"a": replace(place("a"), contacts=(NARROW,))}, {"a": ["F1"]}, 2.0),
    ],
)
def test_a_fuse_is_raised_for_selectivity_only_as_far_as_every_wire_bears(
    round_figures, places, protected, rating
):
    """Two fuses for 1.2 A and 0.5 A are 2 A and 1 A, and a short takes 100 A.

    Above the 1 A fuse, which takes (8 / I)^2 s from 8 A on, one of 5 A may open after 0.01 s at
    40 A, where that takes 0.04 s, one of 10 A after 0.01 s at 80 A, where that takes as long; one
    of 20 A after 0.05 s at 100 A, against 0.006 s. It is sure to open from 40 A on only: more
    than 0.5 mm2 carries for ever, and 6 mm2 carries that.
    """
    found, _ = rated(places, protected)
    assert (found["F1"], found["F2"]) == (rating, 1.0)


def test_the_authors_rating_is_never_raised(round_figures):
    vehicle = m.vehicle((m.fuse("F1", rating="2 A"), *(m.fuse(f"F{n}") for n in (2, 3, 4))))
    found, _ = rated({"a": THICK}, {"a": ["F1"]}, vehicle=vehicle)
    assert found["F1"] == 2.0


@pytest.mark.parametrize(("upper_a", "others_a"), [(12.0, 10.0), (2.0, 0.0), (1.0, 0.0)])
def test_the_upper_fuse_carries_its_other_loads_besides_the_fault(round_figures, upper_a, others_a):
    # At 100 A of fault a 20 A fuse has (100 + others) / 20 times its rating: on a line in
    # logarithms from 1 s at twice to 0.01 s at eight times. The 1 A fuse takes (8 / 100)^2 s.
    asked = loading(LIVE, below={"F1": ("F2",)}, load_a={"F1": upper_a, "F2": 2.0})
    (pair,) = selectivity_of(VEHICLE, asked, "F1", {"F1": 20.0, "F2": 1.0})
    slope = math.log(0.01) / math.log(8 / 2)
    assert pair.holds and pair.fault_a == pytest.approx(100.0)
    assert pair.upper_s == pytest.approx(((100 + others_a) / 20 / 2) ** slope)
    assert pair.lower_s == pytest.approx((8 / 100) ** 2)


BORNE_A = 20.0
"""Largest round rating that 6 mm2 bears: the next, 50 A, is sure to open from 100 A on only."""


@settings(max_examples=60, deadline=None)
@given(st.data())
def test_ratings_come_to_rest_whatever_hangs_below_what(data):
    """No fuse of the result has a higher standard rating with which it would be selective."""
    names = ["F1", "F2", "F3", "F4"]
    below = {
        name: tuple(lower for lower in names[at + 1 :] if data.draw(st.booleans()))
        for at, name in enumerate(names)
    }
    below = dict(data.draw(st.permutations([(k, v) for k, v in below.items() if v])))
    load_a = {name: data.draw(st.sampled_from([0.5, 1.2, 3.0, 6.0])) for name in names}
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(fuse_rating, "family_of", lambda vehicle, fuse: fuses.ROUND)
        found, asked = rated({"a": THICK}, {"a": names}, load_a, below or {"F1": ("F2",)})
        for fuse in asked.below:
            judged = [
                all(s.holds for s in selectivity_of(VEHICLE, asked, fuse, {**found, fuse: rating}))
                for rating in fuses.ROUND.ratings_a
                if rating == found[fuse] or found[fuse] < rating <= BORNE_A
            ]
            assert judged[0] or not any(judged)
