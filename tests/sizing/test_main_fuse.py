"""A trailer with a main fuse above the lamp's: rated to open last, or left as the author says."""

import pytest

from buildbook.sizing.choose import choose
from tests.sizing.small import trailer, written


def sized(amps=7.0, **main):
    told = trailer(amps=amps, length_m=4.0)
    told["devices"]["main"] = {
        "kind": "fuse",
        "at": "battery-box",
        "system": "lighting",
        **main,
    }
    told["circuits"]["panel feed"] = {"join": ["main.out", "panel.B"], "system": "lighting"}
    told["circuits"]["main feed"] = {"join": ["battery.+", "main.in"], "system": "lighting"}
    vehicle, harness = written(told)
    sizing, _ = choose(vehicle, harness)
    return sizing.fuses, {harness.wires[w].circuit: s for w, s in sizing.wires.items()}


def test_a_main_fuse_is_raised_until_it_opens_after_the_one_below():
    fuses, wires = sized()
    assert fuses["F1"].rating_a == 10.0
    assert fuses["main"].rating_a >= 2 * fuses["F1"].rating_a
    assert fuses["main"].governing == "selective"
    assert all(pair.holds for pair in fuses["main"].selective)
    assert wires["panel feed"].fuse == "main"
    assert all(row.met for row in wires["panel feed"].limits if row.name != "drop")


def test_a_main_fuse_below_which_nothing_is_fused_has_none_to_wait_for():
    fuses, _ = sized()
    assert fuses["F1"].selective == ()
    assert [pair.downstream for pair in fuses["main"].selective] == ["F1"]


def test_a_rating_of_the_authors_is_kept_and_judged():
    fuses, _ = sized(rating="10 A")
    assert (fuses["main"].rating_a, fuses["main"].governing) == (10.0, "author")
    assert not fuses["main"].selective[0].holds
    (row,) = (x for x in fuses["main"].limits if x.name == "selective")
    assert not row.met


@pytest.mark.parametrize("family", ["maxi", "cartridge", "bolted-30", "bolted"])
def test_a_slower_family_waits_at_its_smallest_rating(family):
    fuses, _ = sized(fuse=family)
    assert fuses["main"].selective[0].holds
    assert fuses["main"].rating_a <= 30.0


def test_a_dead_short_is_smaller_behind_the_second_fuse_than_behind_the_first():
    fuses, _ = sized()
    assert fuses["main"].short_a > fuses["F1"].short_a > 0
