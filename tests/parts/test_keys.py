"""By which names a part may serve a need, closest first, and under which kind a need is counted."""

from __future__ import annotations

import pytest

from buildbook.parts.keys import area_mm2, colour_of, keys_for, kind_of

WIDER = {
    "part work-lamp": ["work-lamp"],
    "wire thin-wall 0.5 mm2 RD": ["wire thin-wall 0.5 mm2"],
    "wire awg-automotive AWG 20 RD/WH": ["wire awg-automotive AWG 20"],
    "cable twisted pair": [],
    "terminal pin-1.5 0.5 mm2": ["terminal pin-1.5", "pin-1.5"],
    "terminal pin-1.5 mate 0.5 mm2": ["terminal pin-1.5 mate", "terminal pin-1.5", "pin-1.5"],
    "terminal ring-M6 AWG 6": ["terminal ring-M6", "ring-M6"],
    "seal pin-1.5 0.5 mm2": ["seal pin-1.5"],
    "boot ring-M8": [],
    "sleeve braid-6": ["sleeve 6 mm", "sleeve"],
    "heat-shrink shrink-19": ["shrink 19 mm", "shrink"],
    "clamp cushioned-8": ["clamp 8 mm", "clamp"],
    "tape tape-19": ["tape"],
    "label wire": ["label"],
    "splice barrel-2.5": ["splice 2.5 mm2", "splice"],
    "splice over 240 mm2": [],
    "fuse blade 5 A": [],
    "relay": [],
}


@pytest.mark.parametrize("key", WIDER)
def test_a_need_is_met_by_its_own_name_before_wider_ones(key):
    assert list(keys_for(key)) == [key, *WIDER[key]]


KINDS = {
    "device": ["part lamp"],
    "fuses and relays": ["relay", "fuse blade 5 A", "base relay", "holder blade", "panel"],
    "wire and cable": ["wire thin-wall 1 mm2 RD", "cable twisted pair"],
    "terminals and seals": [
        "terminal pin-1.5",
        "seal pin-1.5",
        "blank pin-1.5",
        "splice",
        "end cap",
    ],
    "connectors": ["housing two", "lock two", "backshell two", "boot boot-14"],
    "grounds": ["stud M6"],
    "cover and clamps": ["sleeve braid-6", "heat-shrink shrink-6", "tape tape-19", "clamp", "tie"],
    "labels": ["label wire"],
    "consumables": ["consumable cleaner"],
    "tools": ["tool ring"],
    "other": ["screw"],
}


@pytest.mark.parametrize("kind", KINDS)
def test_a_need_is_counted_under_the_kind_of_its_first_word(kind):
    assert [kind_of(key) for key in KINDS[kind]] == [kind] * len(KINDS[kind])


def test_a_key_ends_with_the_colour_of_a_wire_or_the_size_of_a_terminal():
    assert colour_of("wire thin-wall 0.5 mm2 RD/WH") == "RD/WH"
    assert colour_of("cable twisted pair") == colour_of("terminal pin-1.5 0.5 mm2") == ""
    assert area_mm2("terminal ring-M6 16 mm2") == 16
    assert area_mm2("terminal pin-1.5 mate") == 0
