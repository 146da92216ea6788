"""Pins that nothing is said of, needs without a part or a price, and old prices."""

from __future__ import annotations

from dataclasses import replace

import pytest

from buildbook.checks.rules import (
    part_missing,
    pin_undeclared,
    price_missing,
    price_old,
)
from buildbook.parts.net_needs import UNMAPPED
from tests.checks import minimal as m
from tests.checks.bench import about


def test_pin_that_is_neither_joined_nor_declared_unused():
    sensor = m.device("a", "sensor", "1 2 3")
    sensor = replace(sensor, pins=(*sensor.pins[:2], replace(sensor.pins[2], unused=True)))
    assert about(pin_undeclared, m.assessed(m.vehicle((sensor,), {"x": ("a.1",)}))) == ["a.2"]
    assert about(pin_undeclared, m.assessed(m.vehicle((sensor,), {"x": ("a.1", "a.2")}))) == []


def test_pin_of_a_fuse_is_not_said_to_be_of_what_the_fuse_feeds():
    fuse = replace(m.fuse("F17"), title="Wiper")
    (found,) = pin_undeclared.check(m.assessed(m.vehicle((fuse,), {"x": ("F17.in",)})))
    assert found.text == "Pin F17.out of fuse F17 (Wiper) is joined to nothing."


def test_needs_without_a_price_are_listed():
    assert about(price_missing, m.assessed(m.vehicle(), unpriced=("tie",))) == ["tie"]
    assert about(price_missing, m.assessed(m.vehicle())) == []


def test_needs_that_no_part_serves_are_told_apart_from_those_without_a_price():
    assessed = replace(
        m.assessed(m.vehicle(parts={"P1": {"what": "Lamp"}}), unpriced=("tie",)),
        unserved=(("tie", UNMAPPED),),
    )
    assert about(part_missing, assessed) == ["tie"]


def test_need_that_no_part_serves_has_no_price_either():
    assessed = replace(m.assessed(m.vehicle(), unpriced=("tie",)), unserved=(("tie", UNMAPPED),))
    assert about(price_missing, assessed) == []


def test_vehicle_without_any_parts_is_told_so_once():
    needs = (("tie", UNMAPPED), ("lug", UNMAPPED))
    assert about(part_missing, replace(m.assessed(m.vehicle()), unserved=needs)) == ["parts"]


@pytest.mark.parametrize(
    ("dated", "fires"), [("2025-02-27", ["tie"]), ("2025-03-02", []), (None, ["tie"])]
)
def test_price_older_than_a_year(dated, fires):
    parts = {"tie": {"what": "Tie", "price": "1", "dated": dated}}
    assert about(price_old, m.assessed(m.vehicle(parts=parts))) == fires
