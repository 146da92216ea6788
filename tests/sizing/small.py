"""A trailer with one lamp and as many more as wanted, written anew for each question."""

from __future__ import annotations

import json
import tempfile
from functools import cache
from pathlib import Path

import yaml

from buildbook.description.read import read_folder
from buildbook.harness.build import build_harness
from buildbook.sizing.choose import choose
from buildbook.vehicle.join import join

TWO_WIRE = Path(__file__).parents[1] / "vehicles" / "two-wire" / "vehicle.yaml"


def built(folder):
    """Vehicle and harness of a folder without problems."""
    reading, problems = read_folder(folder)
    assert not problems
    vehicle, problems = join(reading)
    assert not problems
    harness, problems = build_harness(vehicle)
    assert not problems
    return vehicle, harness


def written(description: dict[str, dict]):
    """Vehicle and harness of a description given as data: JSON is YAML, and has no anchors."""
    with tempfile.TemporaryDirectory() as folder:
        (Path(folder) / "vehicle.yaml").write_text(json.dumps(description), "utf-8")
        return built(Path(folder))


def trailer(amps=4.1, length_m=2.4, ambient_c=40.0, others=0, **lamp):
    """The description of a lamp at the end of a rope, with other lamps beside it.

    The others light in a state of their own: they warm the bundle and draw nothing else.
    """
    told = yaml.load(TWO_WIRE.read_text("utf-8"), yaml.BaseLoader)
    told["states"]["others lit"] = {"about": "The other lamps are lit"}
    told["zones"]["frame"]["ambient"] = f"{ambient_c} degC"
    told["rope"]["main"]["runs"][0]["length"] = f"{length_m} m"
    told["devices"]["lamp"]["draws"] |= {"amps": f"{amps} A", "in": ["lit"]}
    told["devices"]["lamp"] |= lamp
    for n in range(1, others + 1):
        draws = {"amps": "3 A", "in": ["others lit"]}
        told["devices"][f"F{n + 1}"] = told["devices"]["F1"] | {"slot": n + 1}
        told["devices"][f"other-{n}"] = told["devices"]["lamp"] | {"draws": draws}
        told["circuits"][f"other {n} feed"] = {
            "join": [f"F{n + 1}.out", f"other-{n}.1"],
            "system": "lighting",
        }
        told["circuits"][f"other {n} return"] = {
            "join": [f"other-{n}.2", "G1"],
            "system": "lighting",
        }
    return told


@cache
def sized(**told):
    """Sizing of such a trailer, and its wires by circuit."""
    vehicle, harness = written(trailer(**told))
    sizing, _ = choose(vehicle, harness)
    return sizing, {harness.wires[w].circuit: s for w, s in sizing.wires.items()}
