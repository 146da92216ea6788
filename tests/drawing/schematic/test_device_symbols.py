"""Symbols inside a device: what is a light is no switch, what no hand works has no actuator."""

from __future__ import annotations

import pytest

from buildbook.drawing.schematic.device_symbols import inside_of
from buildbook.drawing.shared import symbols


@pytest.mark.parametrize(
    ("device", "part", "symbol"),
    [
        ("switch-panel", "switch-panel.20", symbols.lamp),
        ("switch-panel", "switch-panel.5", symbols.lamp),
        ("switch-panel", "switch-panel.1-2", symbols.switch),
        ("isolator", "isolator.1-2", symbols.switch),
        ("alternator", "alternator.L-E", symbols.make_contact),
    ],
)
def test_symbol_of_a_part_inside(lapwing, device, part, symbol):
    posts = tuple(lapwing.vehicle.description.supply.battery.between)
    inside = {p.id: p.symbol for p in inside_of(lapwing.vehicle.devices[device], posts)}
    assert inside[part] is symbol
