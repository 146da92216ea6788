"""Sides that changed places: what is dead on one is on at the other, and nothing else."""

from buildbook.faultfinding.crossed import crossed_sides, other_side
from buildbook.faultfinding.model import Effect


def effect(load, kind):
    return Effect(load, "on", kind, 12.0 if kind == "dead" else 0.0, 0.0)


def kinds(*effects):
    return [e.effect for e in crossed_sides(effects)]


def test_left_dead_and_right_on_is_crossed():
    assert kinds(effect("lamp-left", "dead"), effect("lamp-right", "stuck on")) == ["crossed"] * 2


def test_of_two_pairs_both_have_to_change_places():
    left = effect("front-left", "dead"), effect("rear-left", "dead")
    assert kinds(*left, effect("front-right", "stuck on")) == ["dead", "dead", "stuck on"]
    both = effect("front-right", "stuck on"), effect("rear-right", "stuck on")
    assert kinds(*left, *both) == ["crossed"] * 4


def test_what_has_no_side_is_never_crossed():
    assert kinds(effect("horn", "dead"), effect("pump", "stuck on")) == ["dead", "stuck on"]


def test_the_other_side_of_a_name():
    assert other_side("headlamp-left.1") == "headlamp-right.1"
    assert other_side("horn") == "horn"
