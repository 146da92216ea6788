"""What the description holds is read back out of the printed text."""

from __future__ import annotations

import pytest

from tests.book_of import words_of


def ids(result) -> dict[str, list[str]]:
    """What must be found, by what it is."""
    vehicle, harness = result.vehicle, result.harness
    return {
        "wire": list(harness.wires),
        "splice": list(harness.splices),
        "connector": list(harness.connectors),
        "pin": list(vehicle.pins),
        "cavity": [p.id for c in harness.connectors.values() for p in c.pins],
        "pass-through pin": [f"{p.device}.{p.cavity}" for p in harness.pass_pins],
        "fuse": [d.id for d in vehicle.all_of("fuse")],
        "relay": [d.id for d in vehicle.all_of("relay")],
        "ground": [d.id for d in vehicle.all_of("ground")],
        "device": list(vehicle.devices),
    }


@pytest.mark.parametrize("vehicle", ["lapwing", "motorcycle", "two_wire", "starter"])
def test_every_wire_pin_fuse_relay_connector_splice_and_ground_is_printed(vehicle, request):
    result = request.getfixturevalue(vehicle)
    words = words_of(result)
    for what, names in ids(result).items():
        missing = [n for n in names if n not in words]
        assert not missing, f"{what}: {len(missing)} of {len(names)} missing: {missing[:10]}"
