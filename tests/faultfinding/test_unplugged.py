"""What a connector's harness side reads while it is off, against what hangs on each wire."""

from __future__ import annotations

import pytest


@pytest.fixture(params=["two_wire", "motorcycle", "lapwing"])
def result(request):
    return request.getfixturevalue(request.param)


def test_a_lamp_off_its_plug_leaves_battery_volts_on_its_feed(two_wire):
    found = two_wire.unplugged["lamp"]
    assert found.states == ("lit",)
    # Nothing flows any more: all of the battery's 12.7 V at the feed, none at the return.
    assert found.readings["lit"]["lamp.1"].volts.nominal == pytest.approx(12.7, abs=1e-3)
    assert found.readings["lit"]["lamp.2"].volts.nominal == pytest.approx(0.0, abs=1e-3)


def test_a_sensor_off_its_plug_leaves_what_pulls_its_wire_up(lapwing):
    shown = lapwing.unplugged["coolant-temperature"].readings["ignition on"]
    ends = (shown[f"coolant-temperature.{pin}"].volts.nominal for pin in (1, 2))
    across = next(ends) - next(ends)
    assert across == pytest.approx(5.0, abs=0.01), "2.49 kohm to 5 V and no current through it"


def test_a_running_engine_has_no_reading_where_the_plug_stops_it(motorcycle):
    for name in ("fuel-pump", "ignition-controller"):
        found = motorcycle.unplugged[name]
        assert found.stops == found.states[1:]
        assert set(found.readings) == {"ignition on"}
    assert motorcycle.unplugged["coil-1"].stops == (), "one of two coils is not all"
    assert motorcycle.unplugged["tail-lamp"].stops == ()


def test_the_states_are_one_still_and_one_running_with_something_flowing(motorcycle):
    assert motorcycle.unplugged["headlamp"].states[1] in ("braking at night", "indicating right")
    assert motorcycle.unplugged["tail-lamp"].states[1] == "braking at night"


def test_every_wired_pin_of_every_connector_has_its_volts(result):
    assert set(result.unplugged) == set(result.harness.connectors)
    engine = {name: state.engine for name, state in result.vehicle.description.states.items()}
    for name, connector in result.harness.connectors.items():
        found = result.unplugged[name]
        assert sorted([*found.readings, *found.stops]) == sorted(found.states)
        assert all(engine[state] for state in found.stops)
        for shown in found.readings.values():
            for pin in connector.pins:
                if result.harness.wire_at.get(pin.id):
                    assert pin.id in shown
