"""Symbols inside a device: what is a light is no switch, what no hand works has no actuator."""

from __future__ import annotations

import pytest

from buildbook.drawing.schematic.device_elements import symbols_inside
from buildbook.drawing.symbols.loads import lamp
from buildbook.drawing.symbols.relay import make_contact
from buildbook.drawing.symbols.switch import switch


@pytest.mark.parametrize(
    ("device", "part", "symbol"),
    [
        ("switch-panel", "switch-panel.20", lamp),
        ("switch-panel", "switch-panel.5", lamp),
        ("switch-panel", "switch-panel.1-2", switch),
        ("isolator", "isolator.1-2", switch),
        ("alternator", "alternator.L-E", make_contact),
    ],
)
def test_symbol_of_a_part_inside(lapwing, device, part, symbol):
    posts = (lapwing.vehicle.supply.battery.plus_pin, lapwing.vehicle.supply.battery.minus_pin)
    inside = {p.id: p.symbol for p in symbols_inside(lapwing.vehicle.devices[device], posts)}
    assert inside[part] is symbol
