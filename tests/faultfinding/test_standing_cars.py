"""Cars that are settled side by side stand as each does that is built by itself."""

from __future__ import annotations

import pytest

from tests.faultfinding.broken_car import Car
from tests.faultfinding.standing_cars import cars_of


@pytest.mark.parametrize("mode", ["open", "short", "stuck", "resistive"])
def test_they_stand_where_each_stands_alone(motorcycle, mode):
    faults = [f for f in motorcycle.faultfinding.faults.values() if f.mode == mode]
    faults = faults[:: max(1, len(faults) // 8)]
    for car in cars_of(motorcycle, faults):
        alone = Car(motorcycle, car.fault)
        assert car.blown == alone.blown and car.unstarted == alone.unstarted
        for state, volts in alone.volts.items():
            assert car.volts[state] == pytest.approx(volts, abs=1e-6)
            assert car.charging_a[state] == pytest.approx(alone.charging_a[state], abs=1e-4)


def test_every_fault_has_its_car_in_order(two_wire):
    faults = [f for f in two_wire.faultfinding.faults.values() if f.mode != "swap"]
    assert [car.fault for car in cars_of(two_wire, faults)] == faults
