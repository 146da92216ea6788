"""What the description holds is read back out of the printed text."""

from __future__ import annotations

import pytest

from buildbook.new import write_starter
from tests.book_of import words_of
from tests.conftest import EXAMPLE, TESTS, result_of

VEHICLES = [EXAMPLE, TESTS / "vehicles" / "motorcycle", TESTS / "vehicles" / "two-wire"]


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


@pytest.mark.parametrize("folder", VEHICLES, ids=lambda f: f.name)
@pytest.mark.xdist_group("books")
def test_every_wire_pin_fuse_relay_connector_splice_and_ground_is_printed(folder):
    words = words_of(folder)
    for what, names in ids(result_of(folder)).items():
        missing = [n for n in names if n not in words]
        assert not missing, f"{what}: {len(missing)} of {len(names)} missing: {missing[:10]}"


@pytest.mark.xdist_group("books")
def test_the_starter_makes_a_book_that_holds_it(tmp_path):
    write_starter(tmp_path / "car")
    words = words_of(tmp_path / "car")
    for what, names in ids(result_of(tmp_path / "car")).items():
        assert not [n for n in names if n not in words], what
