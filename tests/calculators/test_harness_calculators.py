"""Bundle, lay, bend and slack against geometry and published packings."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.calculators.run import result_of, run

BEST_PACKING = {1: 1.0, 2: 2.0, 3: 2.155, 4: 2.414, 5: 2.701, 7: 3.0, 12: 4.029, 19: 4.863}
"""Smallest circle round n equal ones over one of them: best known packings (memory)."""


@pytest.mark.parametrize(("count", "ratio"), BEST_PACKING.items())
def test_equal_wires_are_packed_as_tightly_as_is_known(count, ratio):
    found = result_of(f"bundle --wires '{count} x 2 mm' --cover none")["bundle of wires"]
    assert 2 * ratio * (1 - 0.0005) <= found <= 2 * ratio * 1.03


def test_the_share_of_wire_in_seven_equal_ones_is_seven_ninths():
    """Geometry: seven circles of 1 in one of 3."""
    found = result_of("bundle --wires 7 x 1 mm --cover none")
    assert found["share of it that is wire"] == pytest.approx(700 / 9, rel=1e-6)


def test_a_bundle_may_be_given_in_inches():
    inches = result_of("bundle --wires 7 x 0.1 in --cover none")
    metric = result_of("bundle --wires 7 x 2.54 mm --cover none")
    assert inches == pytest.approx(metric)


def test_a_sleeve_adds_twice_its_wall_and_bends_follow_the_outside():
    """NASA-STD-8739.4, paragraph 7.3: six outside diameters, ten for long."""
    found = result_of("bundle --wires 20 x 0.5 mm2")
    assert found["outside"] > found["bundle of wires"]
    assert found["least bend radius"] == pytest.approx(6 * found["outside"])
    assert found["bend radius for good"] == pytest.approx(10 * found["outside"])


def test_the_mass_of_a_bundle_is_at_least_its_copper():
    """Copper at 8890 kg/m3: 10 wires of 1 mm2 hold 88.9 g in a metre."""
    found = result_of("bundle --wires 10 x 1 mm2 --cover none")
    assert 0.0889 <= found["mass of a metre"] <= 0.0889 * 1.6


def test_what_no_sleeve_fits_is_said():
    assert (
        "No heat-shrink in the catalogue" in run("bundle --wires 300 mm --cover heat-shrink").output
    )


@pytest.mark.parametrize(
    "wires",
    ["0 x 1 mm2", "2 x", "x", "2000 x 1 mm2", "3 x 2 kg", "1 x 1 mm2,", "600 x 1 mm, 600 x 1 mm"],
)
def test_wires_that_are_none_are_refused(wires):
    ended = run(f"bundle --wires '{wires}'")
    assert ended.exit_code == 2 and "--wires" in ended.output


def test_nineteen_equal_wires_lie_in_layers_of_one_six_and_twelve():
    """Geometry: 1, 6, 12 round each other are 1, 3 and 5 wires thick."""
    found = result_of("lay --wires 19 x 1.6 mm")
    assert found["layers, core first"] == "1, 6, 12"
    assert found["outside of the wires"] == pytest.approx(5 * 1.6, rel=0.03)
    assert found["fillers"] == 0


def test_the_longest_wire_of_a_lay_is_the_length_of_a_helix():
    """A helix added up in small steps; turn and diameter as the working states them."""
    found = result_of("lay --wires 7 x 2 mm --length 1 m")
    turn, pitch = 12 * 6.0, 4.0
    steps = 20000
    points = [
        (
            pitch / 2 * math.cos(2 * math.pi * z / turn),
            pitch / 2 * math.sin(2 * math.pi * z / turn),
            z,
        )
        for z in (1000 * n / steps for n in range(steps + 1))
    ]
    length = sum(math.dist(a, b) for a, b in zip(points, points[1:], strict=False))
    assert found["longest wire to cut"] == pytest.approx(length / 1000, rel=1e-5)


def test_a_bend_of_14_mm_outside():
    """NASA-STD-8739.4, paragraph 7.3: 6 x 14 = 84 mm, 10 x 14 = 140 mm."""
    found = result_of("bend --outside 14 mm")
    assert found["least bend radius"] == pytest.approx(84)
    assert found["bend radius for good"] == pytest.approx(140)


@pytest.mark.parametrize(
    ("radius", "verdict"),
    [
        ("80 mm", "too tight"),
        ("84 mm", "only while"),
        ("139 mm", "only while"),
        ("140 mm", "wide enough"),
        ("6 in", "wide enough"),
    ],
)
def test_a_bend_is_judged(radius, verdict):
    assert result_of(f"bend --outside 14 mm --radius {radius}")["verdict"].startswith(verdict)


def test_a_bend_is_asked_of_one_thing():
    assert run("bend --outside 14 mm --size AWG 20").exit_code == 2
    assert run("bend --radius 14 mm").exit_code == 2


def test_the_parts_of_a_cut_length_add_up_by_hand():
    """4.5 mm strip of the contact, 10 mm of a stud; the rest are the assumptions printed."""
    words = "slack --length 1000 mm --from pin-1.5 --to splice --loop 30 mm --cut-backs 2"
    terminal, splice = 4.5 + 4 + 30 + 2 * 20, 10 + 2 * 20
    assert result_of(words)["length to cut"] == pytest.approx((1000 + terminal + splice) / 1000)


def test_the_twist_of_layers_takes_up_what_a_helix_does():
    """sqrt(1 + (pi / 12)^2) = 1.0337 for a turn of twelve diameters (geometry)."""
    straight = result_of("slack --length 1 m --from cap --to cap")["length to cut"]
    twisted = result_of("slack --length 1 m --from cap --to cap --twisted 1 m")["length to cut"]
    assert twisted - straight == pytest.approx(0.0337, abs=0.0001)


@settings(max_examples=25, deadline=None)
@given(
    feet=st.integers(1, 30),
    moving=st.integers(0, 30),
    held=st.integers(0, 2),
    twisted=st.integers(0, 30),
    ends=st.sampled_from(["pin-1.5", "ring-M8", "splice", "cap"]),
)
def test_no_wire_is_shorter_than_its_path(feet, moving, held, twisted, ends):
    found = result_of(
        f"slack --length {feet} ft --from {ends} --to cap --moving {moving} ft --held {held} "
        f"--twisted {twisted} ft"
    )
    assert found["length to cut"] > feet * 0.3048
    assert found["more than the rope"] == pytest.approx(
        1000 * (found["length to cut"] - feet * 0.3048)
    )
