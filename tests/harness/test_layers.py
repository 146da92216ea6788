"""Layers of a lay-up by hand: seats on a ring, cores and valleys, places kept along a line."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest

from buildbook.harness.bunch import bunched_on
from buildbook.harness.lay_along import lay_along, thickness_mm, with_more
from buildbook.harness.lay_up import (
    GIVE,
    LAY_TIMES,
    Layer,
    LayUp,
    Seat,
    Strand,
    closed,
    core_of,
    fitting,
    lay_up,
    next_name,
    on_ring,
    other_hand,
    ring_of,
    spots,
    turned_rad,
)
from buildbook.harness.places import FLAT, LaidLayer, Laying, Place, Stay, bars, lay_up_at, seated


def strand(name: str, diameter_mm: float = 1.0) -> Strand:
    return Strand((name,), diameter_mm)


def stay(name: str, enters: int, leaves: int, diameter_mm: float = 1.0) -> Stay:
    return Stay(strand(name, diameter_mm), enters, leaves, float(leaves - enters))


def seats(*diameters: float) -> list[Seat]:
    return [Seat(d, strand(str(n), d)) for n, d in enumerate(diameters)]


def wires(layer: Layer) -> list[str]:
    return [one.wires[0] for one in layer.strands]


def test_four_on_a_ring_stand_at_the_quarters_clockwise_from_the_top() -> None:
    # on a core of 5 the middles of strands of 1 are at 3, and 3 percent of one farther off
    away = 3.0 + GIVE
    found = on_ring([1.0] * 4, 5.0)
    for (x, y), (u, v) in zip(found, ((0, 1), (1, 0), (0, -1), (-1, 0)), strict=True):
        assert (x, y) == pytest.approx((u * away, v * away), abs=1e-9)


def test_unlike_strands_lie_on_the_core_and_share_the_gaps_alike() -> None:
    diameters = [2.0, 1.0, 1.5, 1.0]
    found = on_ring(diameters, 4.0)
    reach = [(4.0 + d) / 2 + GIVE for d in diameters]
    assert [math.hypot(x, y) for x, y in found] == pytest.approx(reach)
    at = [math.atan2(x, y) % (2 * math.pi) for x, y in found]
    assert at == sorted(at) and at[0] == 0.0

    def touching(n: int) -> float:
        """Angle between two strands that touch, by the law of cosines."""
        a, b = reach[n], reach[(n + 1) % 4]
        side = (diameters[n] + diameters[(n + 1) % 4]) / 2
        return math.acos((a * a + b * b - side * side) / (2 * a * b))

    turned = [(b - a) % (2 * math.pi) for a, b in pairwise([*at, at[0]])]
    gaps = [turn - touching(n) for n, turn in enumerate(turned)]
    assert gaps == pytest.approx([gaps[0]] * 4) and gaps[0] > 0


def test_strands_turn_round_a_core_by_their_chords_as_wide_as_they_slant() -> None:
    # six of 1 on a core of 1: pitch 2, outside 3; a slanting strand is as wide as its helix is long
    slant = math.sqrt(1 + (math.pi * 2 / (LAY_TIMES * 3)) ** 2)
    chord = 2 * math.asin(slant / 2 / (1 + GIVE))
    assert turned_rad([1.0] * 6, 1.0) == pytest.approx(6 * chord)
    assert turned_rad([1.0] * 6, 1.0) <= 2 * math.pi < turned_rad([1.0] * 7, 1.0)
    assert fitting([1.0] * 9, 1.0) == 6 and fitting([1.0] * 5, 1.0) == 5
    # n circles of 1 round a core of D: n asin(1 / (D + 1)) <= pi (geometry)
    assert [fitting([1.0] * 30, core) for core in (3.0, 5.0)] == [12, 18]
    # two thick ones take up all the room beside a thin core
    assert fitting([4.0, 4.0, 4.0], 0.1) == 2


def test_a_ring_is_closed_with_the_thinnest_until_no_more_go() -> None:
    found = closed(seats(1.0, 1.0, 1.0, 1.0), 1.0)
    assert [(s.diameter_mm, s.strand is None, s.filled) for s in found[4:]] == [
        (1.0, True, True)
    ] * 2
    assert closed(seats(*[1.0] * 6), 1.0) == seats(*[1.0] * 6)
    mixed = closed(seats(2.0, 1.0), 4.0)
    assert {s.diameter_mm for s in mixed[2:]} == {1.0}
    assert turned_rad([s.diameter_mm for s in mixed], 4.0) <= 2 * math.pi
    assert turned_rad([*(s.diameter_mm for s in mixed), 1.0], 4.0) > 2 * math.pi


def test_a_core_of_one_is_straight_and_one_of_two_turns_to_the_right() -> None:
    one = core_of(seats(1.6))
    assert (one.name, one.outside_mm, one.pitch_mm, one.lay_mm, one.hand) == ("core", 1.6, 0, 0, "")
    assert (one.inside_mm, one.centres, one.angle_deg, one.take_up) == (0.0, ((0.0, 0.0),), 0, 1.0)
    two = core_of(seats(1.6, 1.6))
    assert (two.outside_mm, two.pitch_mm) == (pytest.approx(3.2), pytest.approx(1.6))
    assert two.lay_mm == pytest.approx(12 * 3.2) and two.hand == "right" and not two.bunched
    # unrolled: 1.6 pi across 38.4 along
    assert two.angle_deg == pytest.approx(math.degrees(math.atan2(1.6 * math.pi, 38.4)))
    assert two.take_up == pytest.approx(1 / math.cos(math.radians(two.angle_deg)))


def test_a_ring_lies_on_what_is_inside_it_and_turns_against_it() -> None:
    inner = core_of(seats(1.0))
    first = ring_of(seats(2.0, 1.0), inner)
    assert (first.name, first.hand, first.inside_mm) == ("1", "right", 1.0)
    assert (first.outside_mm, first.pitch_mm, first.lay_mm) == (5.0, 3.0, 12 * 5.0)
    second = ring_of(seats(1.0), first)
    assert (second.name, second.inside_mm, second.outside_mm) == ("2", 5.0, 7.0)
    assert second.hand == "left"
    assert (next_name(second), other_hand(core_of(seats(1.0, 1.0)))) == ("3", "left")
    assert first.strands == (strand("0", 2.0), strand("1", 1.0)) and first.fillers_mm == ()


def test_thin_strands_go_into_the_valleys_of_thick_ones() -> None:
    # two of 3 side by side are 6 wide; one of 2 between them ends at sqrt(2.5² - 1.5²) + 1 = 3
    for thin in (1, 2):
        valleys = [strand(f"t{n}", 2.0) for n in range(thin)]
        found = lay_up([strand("a", 3.0), strand("b", 3.0), *valleys])
        assert [layer.name for layer in found.layers] == ["core"], thin
        assert found.outside_mm == pytest.approx(6.0, rel=0.01)


def test_the_round_over_all_is_less_than_the_last_ring_where_that_has_gaps() -> None:
    core = core_of(seats(4.0))
    found = LayUp((core, ring_of(seats(1.0), core)))
    # 4 and 1 side by side, and what the ring stands off
    assert found.layers[-1].outside_mm == 6.0
    assert found.outside_mm == pytest.approx(5.0 + GIVE)
    assert LayUp(()).outside_mm == 0.0 and lay_up([]) == LayUp(())
    assert LayUp((core,)).outside_mm == 4.0


def test_a_strand_thinner_than_its_seat_rests_on_what_is_inside_it() -> None:
    core = core_of(seats(4.0))
    ring = ring_of([Seat(2.0, strand("thin", 1.0)), Seat(1.0, None, True), Seat(1.0, None)], core)
    middle, thin, filler = spots(LayUp((core, ring)))
    assert (middle.x, middle.y, middle.radius) == (0.0, 0.0, 2.0)
    # the seat's middle is 3 and 3 percent off; the strand's half a millimetre nearer
    assert (thin.x, thin.y, thin.radius) == pytest.approx((0.0, 3.0 + GIVE - 0.5, 0.5))
    assert thin.strand == strand("thin", 1.0)
    assert filler.strand is None and filler.radius == 0.5
    assert ring.fillers_mm == (1.0,) and ring.strands == (strand("thin", 1.0),)


def test_stays_meet_pass_and_keep_inside_by_the_stations_where_they_begin_and_end() -> None:
    short, long, next_ = stay("s", 1, 2), stay("l", 0, 3), stay("n", 2, 3)
    assert long.passes(1) and long.passes(2) and not long.passes(0) and not long.passes(3)
    assert short.meets(long) and long.meets(short)
    assert not short.meets(next_) and not next_.meets(short)
    assert long.keeps_inside_of(short) and not short.keeps_inside_of(long)
    assert long.keeps_inside_of(next_) and not stay("m", 0, 3).keeps_inside_of(long)


def test_a_seat_is_taken_again_by_the_strand_nearest_in_width_and_grows_with_it() -> None:
    places = seated((), [stay("a", 0, 1, 1.0), stay("b", 0, 1, 3.0)])
    assert [(p.diameter_mm, len(p.stays)) for p in places] == [(1.0, 1), (3.0, 1)]
    again = seated(places, [stay("c", 1, 2, 2.5), stay("d", 1, 2, 1.5), stay("e", 1, 2, 2.0)])
    told = [(p.diameter_mm, [s.strand.wires[0] for s in p.stays]) for p in again]
    assert told == [(1.5, ["a", "d"]), (3.0, ["b", "c"]), (2.0, ["e"])]
    here = again[0].at(0), again[0].at(1), again[2].at(0)
    assert [s.strand.wires[0] if s else "" for s in here] == ["a", "d", ""]
    assert [p.diameter_mm for p in places] == [1.0, 3.0]


def laid(*layers: LaidLayer) -> Laying:
    return Laying(tuple(layers))


def ring_on(inner: Layer, *stays: Stay, flat: bool = False) -> LaidLayer:
    places = tuple(Place(s.strand.diameter_mm, (s,)) for s in stays)
    ring = ring_of([Seat(p.diameter_mm, None) for p in places], inner)
    if flat:
        ring = Layer(FLAT, ring.seats, ring.centres, ring.inside_mm, ring.outside_mm, 0.0, 0.0, "")
    return LaidLayer(ring, places)


CORE = LaidLayer(core_of(seats(1.0)), (Place(1.0, (stay("core", 0, 2),)),))


def test_an_outermost_ring_is_filled_from_half_of_its_seats_on() -> None:
    for leaving, filled in ((3, 3), (4, 0)):
        ring = ring_on(CORE.ring, *(stay(f"s{n}", 0, 1 if n < leaving else 2) for n in range(6)))
        last = lay_up_at(laid(CORE, ring), 1)
        assert [len(layer.fillers_mm) for layer in last.layers] == [0, filled], leaving
        assert len(last.layers[1].strands) == 6 - leaving
        assert [len(layer.seats) for layer in last.layers] == [1, 6]
        # under another ring every seat is filled
        over = ring_on(ring.ring, *(stay(f"o{n}", 0, 2) for n in range(12)))
        inside = lay_up_at(laid(CORE, ring, over), 1)
        assert [len(layer.fillers_mm) for layer in inside.layers] == [0, leaving, 0]


def test_what_is_led_straight_is_never_filled_and_is_no_lay_up_by_itself() -> None:
    ring = ring_on(CORE.ring, *(stay(f"s{n}", 0, 1) for n in range(6)))
    flat = ring_on(ring.ring, stay("f", 0, 3), stay("g", 0, 1), flat=True)
    line = laid(CORE, ring, flat)
    assert [layer.name for layer in lay_up_at(line, 0).layers] == ["core", "1", FLAT]
    both = lay_up_at(line, 1)
    assert [wires(layer) for layer in both.layers] == [["core"], [], ["f"]]
    assert both.layers[2].fillers_mm == ()
    # nothing lies in the first ring but its gap under what is straight stays empty
    assert both.layers[1].fillers_mm == ()
    assert lay_up_at(line, 2) == LayUp(()) == lay_up_at(laid(), 0)


def test_a_few_that_are_left_twist_round_each_other_as_their_layer_did() -> None:
    ring = ring_on(CORE.ring, *(stay(f"s{n}", 0, 4 if n < 5 else 3) for n in range(6)))
    line = laid(CORE, ring)
    (alone,) = lay_up_at(line, 3).layers
    assert (alone.name, alone.hand, alone.lay_mm) == ("1", ring.ring.hand, ring.ring.lay_mm)
    # five of 1 fit a round of 2.701 (Graham and others, 1998)
    assert alone.outside_mm == pytest.approx(2.701, rel=0.002) and alone.inside_mm == 0.0
    # six lie round what is gone
    assert [layer.name for layer in lay_up_at(line, 2).layers] == ["core", "1"]


def test_a_way_out_is_barred_by_what_goes_on_straight_outside_of_it() -> None:
    out, on = Place(1.0, (stay("out", 0, 1),)), Place(1.0, (stay("on", 0, 2),))
    inner, outer = (0.0, 2.0), (0.0, 3.0)
    assert bars(out, inner, on, outer) and bars(on, outer, out, inner)
    # the one that goes on lies inside; both leave; aside by nine tenths of a width; behind
    assert not bars(on, inner, out, outer)
    assert not bars(out, inner, Place(1.0, (stay("too", 0, 1),)), outer)
    assert not bars(out, inner, on, (0.9, 3.0)) and bars(out, inner, on, (0.89, 3.0))
    assert not bars(out, inner, on, (-0.9, 3.0)) and not bars(out, (2.0, 0.0), on, (3.0, 0.9))
    assert not bars(out, inner, on, (0.0, -3.0))
    # it has to stand out by more than a quarter of its width
    assert not bars(out, inner, on, (0.0, 2.25)) and bars(out, inner, on, (0.0, 2.26))
    # a thick one beside it stands out by its width alone, but no farther off the middle
    assert not bars(out, inner, Place(3.0, (stay("on", 0, 2),)), inner)
    # from the middle every way is out
    assert bars(out, (0.0, 0.0), on, (-1.0, 0.2))
    # on a slant: 2 out, 3 out at the same angle
    assert bars(out, (1.2, 1.6), on, (1.8, 2.4)) and not bars(out, (1.2, 1.6), on, (2.4, -1.8))


def test_what_has_no_room_in_a_layer_is_led_straight_round_the_outside() -> None:
    line = lay_along([stay(f"s{n}", 0, 2) for n in range(7)], [1.0, 1.0])
    assert [len(layer.places) for layer in line.layers] == [1, 6]
    more = with_more(line, [stay("thin", 1, 2, 0.5), *(stay(f"m{n}", 0, 2) for n in range(12))])
    flat = more.layers[2:]
    # round 3 mm go twelve of 1 mm, longest first; the thin one lies on those
    assert [len(layer.places) for layer in flat] == [12, 1]
    assert (
        all(layer.straight for layer in flat)
        and [x.straight for x in more.layers[:2]] == [False] * 2
    )
    ring, last = (layer.ring for layer in flat)
    assert (ring.name, ring.hand, ring.lay_mm, ring.inside_mm) == (FLAT, "", 0.0, 3.0)
    assert (ring.outside_mm, ring.pitch_mm) == (5.0, 4.0) and ring.take_up == 1.0
    assert (last.inside_mm, last.outside_mm) == (5.0, 6.0)
    assert ring.centres == on_ring([1.0] * 12, 3.0) and ring.fillers_mm == ()
    # later ones join those that were led straight, and may take a seat that was left
    again = with_more(more, [stay("new", 0, 1, 0.5)])
    assert [len(layer.places) for layer in again.layers] == [1, 6, 12, 1]
    assert len(again.layers[3].places[0].stays) == 2
    assert with_more(line, []) is line and with_more(Laying(()), [stay("m", 0, 1)]) == Laying(())


def test_a_line_is_as_thick_as_a_rope_of_its_length_and_room() -> None:
    # a metre of 3 mm and three of 1 mm: sqrt((9 + 3) / 4)
    line = lay_along([stay("core", 0, 2), *(stay(f"s{n}", 0, 1) for n in range(6))], [1.0, 3.0])
    assert thickness_mm(line, [1.0, 3.0]) == pytest.approx(math.sqrt(3), rel=0.01)


def test_a_bunch_is_the_next_layer_laid_as_far_in_as_each_strand_goes() -> None:
    inner = core_of(seats(2.0))
    found = bunched_on(inner, [stay("a", 0, 1, 2.0), stay("b", 0, 1, 2.0), stay("c", 0, 1, 0.5)])
    assert found is not None and found.ring.bunched and found.ring.name == "1"
    ring = found.ring
    assert ring.inside_mm == 2.0 and ring.hand == other_hand(inner)
    # three of radius 1 that touch: 1 + 2 / sqrt(3) about their middle, not about the core's
    assert ring.outside_mm == pytest.approx(2 * (1 + 2 / math.sqrt(3)), rel=1e-6)
    assert ring.lay_mm == pytest.approx(12 * ring.outside_mm) and ring.pitch_mm == pytest.approx(
        4.0
    )
    assert [place.diameter_mm for place in found.places] == [2.0, 2.0, 0.5]
    assert ring.centres[0] == (0.0, 2.0)
    assert ring.centres[1] == pytest.approx((math.sqrt(3), 1.0))
    # the thin one in the valley between the two, or beside one of them on the core
    assert math.hypot(*ring.centres[2]) == pytest.approx(1.25)
    assert bunched_on(inner, [stay("a", 0, 1, 2.0)]) is None and bunched_on(inner, []) is None
