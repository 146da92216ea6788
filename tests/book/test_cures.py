"""What helps for the day and at home is written once, for every part that can fail."""

from __future__ import annotations

import pytest

from buildbook.book.opening import cure_of
from buildbook.book.templates import environment


@pytest.mark.parametrize("name", ["motorcycle", "two_batteries"])
def test_every_fault_has_a_cure_for_today_and_one_for_home(name, request):
    result = request.getfixturevalue(name)
    cures = environment().get_template("cures.html").module.cures
    faults = [f for f in result.faultfinding.faults.values() if f.mode != "swap"]
    for kind in {cure_of(result, fault) for fault in faults}:
        assert cures[kind]["today"] and cures[kind]["home"], kind
    assert {cure_of(result, f) for f in faults if f.mode == "short"} == {"short"}
    assert {cure_of(result, f) for f in faults if f.mode == "stuck"} == {"stuck"}


def test_no_fuse_is_ever_renewed_by_a_larger_one():
    cures = environment().get_template("cures.html").module.cures
    assert "never larger" in cures["fuse"]["today"]
    assert "battery off" in cures["pin"]["today"] and "battery off" in cures["nut"]["today"]
