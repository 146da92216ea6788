"""Colours of circuits."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from typing import Any

import pytest

from buildbook.catalogue.load import colours
from buildbook.description.models import Reel
from buildbook.harness.build import build_harness
from buildbook.harness.colours import SMALL, palette
from tests.harness.test_routes_and_splices import STAR, built, of, vehicle_of
from tests.harness.test_sound import FOLDERS, vehicle_in
from tests.harness.trees import sensor


def test_the_authors_colour_stands() -> None:
    devices = {"s": sensor("a", 2), "t": sensor("b", 2)}
    circuits: dict[str, Any] = {
        "plain": {"join": ["s.1", "t.1"]},
        "own": {"join": ["s.2", "t.2"], "colour": "WH"},
    }
    harness = built(vehicle_of(devices, circuits, STAR))
    assert of(harness, "own")[0].colour == "WH"
    assert of(harness, "plain")[0].colour != "WH"


def test_grounds_are_black_or_brown_and_battery_feeds_red() -> None:
    devices = {"s": sensor("a", 2)}
    circuits = {"feed": {"join": ["battery.+", "s.1"]}, "ground": {"join": ["s.2", "G1"]}}
    harness = built(vehicle_of(devices, circuits, STAR))
    assert of(harness, "feed")[0].colour.startswith("RD")
    assert of(harness, "ground")[0].colour[:2] in ("BK", "BN")


@pytest.mark.parametrize("folder", FOLDERS)
def test_circuits_in_one_plug_differ_in_colour(folder: str) -> None:
    vehicle = vehicle_in(folder)
    harness, _ = build_harness(vehicle)
    assert harness is not None
    for plug in harness.connectors.values():
        used = [harness.wires[id_] for p in plug.pins for id_ in harness.wire_at.get(p.id, ())]
        colour_of = {wire.circuit: wire.colour for wire in used}
        pinned = {c for c in colour_of if vehicle.circuits[c].written.colour}
        free = [colour for circuit, colour in colour_of.items() if circuit not in pinned]
        twice = [colour for colour, count in Counter(free).items() if count > 1]
        owned = vehicle.description.vehicle.wire.colours
        assert len(free) > (SMALL if owned else 60) or not twice, (plug.id, twice)


def test_colours_that_are_owned_are_all_and_a_small_plug_goes_before_a_large_one() -> None:
    # five circuits in a plug of five, of which the last two meet again in a plug of two
    devices = {"s": sensor("a", 5), "t": sensor("b", 3), "u": sensor("b", 2)}
    ends = ["t.1", "t.2", "t.3", "u.1", "u.2"]
    circuits: dict[str, Any] = {
        f"c{n}": {"join": [f"s.{n}", end], "signal": True} for n, end in enumerate(ends, 1)
    }
    vehicle = vehicle_of(devices, circuits, STAR)
    choice = vehicle.description.vehicle.wire.model_copy(update={"colours": ["WH", "BU", "GN"]})
    data = vehicle.description.vehicle.model_copy(update={"wire": choice})
    description = vehicle.description.model_copy(update={"vehicle": data})
    harness = built(replace(vehicle, description=description))
    assert {wire.colour for wire in harness.wires.values()} == {"WH", "BU", "GN"}
    assert of(harness, "c4")[0].colour != of(harness, "c5")[0].colour


def test_a_colour_that_is_on_a_reel_goes_first_where_no_plug_holds_it_twice() -> None:
    devices = {"s": sensor("a", 3), "t": sensor("b", 2)}
    circuits: dict[str, Any] = {
        f"c{n}": {"join": [f"s.{n}", end], "signal": True}
        for n, end in enumerate(("t.1", "t.2", "battery.+"), 1)
    }
    vehicle = vehicle_of(devices, circuits, STAR)
    before = built(vehicle)
    assert "GY" not in {of(before, c)[0].colour for c in circuits}

    def with_reels(*reels: dict[str, Any]) -> dict[str, str]:
        read = [Reel(**reel, size="1 mm2", length="3 m") for reel in reels]
        choice = vehicle.description.vehicle.wire.model_copy(update={"reels": read})
        data = vehicle.description.vehicle.model_copy(update={"wire": choice})
        description = vehicle.description.model_copy(update={"vehicle": data})
        harness = built(replace(vehicle, description=description))
        return {c: of(harness, c)[0].colour for c in circuits}

    found = with_reels({"colour": "GY"}, {"colour": "RD/BK"})
    assert found["c1"] == "GY" and found["c2"] != "GY"
    assert len(set(found.values())) == 3
    other = with_reels({"colour": "GY", "family": "battery"})
    assert other == {c: of(before, c)[0].colour for c in circuits}


def test_feeds_and_grounds_have_owned_colours_of_other_families_where_they_have_none() -> None:
    devices = {"s": sensor("a", 2)}
    circuits = {"feed": {"join": ["battery.+", "s.1"]}, "ground": {"join": ["s.2", "G1"]}}
    vehicle = vehicle_of(devices, circuits, STAR)
    choice = vehicle.description.vehicle.wire.model_copy(update={"colours": ["BK", "WH"]})
    data = vehicle.description.vehicle.model_copy(update={"wire": choice})
    description = vehicle.description.model_copy(update={"vehicle": data})
    harness = built(replace(vehicle, description=description))
    assert of(harness, "ground")[0].colour == "BK"
    assert of(harness, "feed")[0].colour == "WH"


@pytest.mark.parametrize("kind", ["feed", "ground", "other"])
def test_palettes_use_colours_of_the_catalogue_and_no_colour_twice(kind: str) -> None:
    shades = palette(kind)
    assert len(set(shades)) == len(shades) >= 8
    for shade in shades:
        codes = shade.split("/")
        assert all(code in colours() for code in codes)
        assert len(set(codes)) == len(codes)
