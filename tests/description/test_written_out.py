"""The vehicles in short are the vehicles in full, as they were before there was a short.

In full the circuits stand in the order of those in short, since numbers follow it, and those that
feeds make are called as feeds call them.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from pydantic import BaseModel

from buildbook.description.models import Description, When
from buildbook.description.read import FolderContents, read_folder
from buildbook.harness.build import build_harness
from buildbook.pipeline import sized_of, untold
from buildbook.vehicle.join import join
from tests.conftest import EXAMPLE, IN_SHORT, STARTER, TESTS, in_full


def read(folder: Path, variant: str | None = None) -> FolderContents:
    contents, problems = read_folder(folder, variant)
    assert contents is not None and not problems, problems
    return contents


def lines(folder: Path) -> int:
    """Lines of YAML and CSV that say something."""
    files = [*folder.glob("*.yaml"), *folder.glob("*.csv")]
    said = (line.strip() for file in files for line in file.read_text("utf-8").splitlines())
    return sum(bool(line) and not line.startswith("#") for line in said)


@pytest.mark.parametrize("folder", IN_SHORT, ids=lambda folder: folder.name)
def test_it_says_the_same_in_at_most_60_percent_of_the_lines(folder):
    assert lines(folder) <= 0.6 * lines(in_full(folder))


def wires(contents: FolderContents) -> Iterator[tuple[object, ...]]:
    """What a bench has to know of each wire before its size: number, ends, contacts, length."""
    vehicle, problems = join(contents)
    assert vehicle is not None and not problems, problems
    harness, problems = build_harness(vehicle)
    assert harness is not None and not problems, problems
    for wire in harness.wires.values():
        yield wire.id, wire.circuit, wire.a, wire.b, wire.cut_m


@pytest.mark.parametrize("folder", IN_SHORT, ids=lambda folder: folder.name)
def test_every_wire_has_the_same_number_ends_contacts_and_length(folder):
    full, short = list(wires(read(in_full(folder)))), list(wires(read(folder)))
    assert len(short) > 10
    assert short == full


@pytest.mark.parametrize("small", [TESTS / "vehicles" / "motorcycle", STARTER])
def test_every_wire_and_fuse_has_the_same_size(small):
    def sizes(folder: Path) -> set[tuple[object, ...]]:
        sized, problems = sized_of(folder, untold)
        assert sized is not None and not problems
        found = [(w.id, sized.sizing.wires[w.id].label) for w in sized.harness.wires.values()]
        return {*found, *((f.fuse, f.rating_a) for f in sized.sizing.fuses.values())}

    assert sizes(small) == sizes(in_full(small))


def meant(value: object, states: list[str]) -> object:
    """A part of a description as plain data, with states as those that are meant."""
    if isinstance(value, When):
        chosen = states if value.states is None else value.states
        return sorted(set(chosen) - set(value.except_))
    if isinstance(value, BaseModel):
        return {key: meant(getattr(value, key), states) for key in type(value).model_fields}
    if isinstance(value, dict):
        return {key: meant(inner, states) for key, inner in value.items()}
    if isinstance(value, (list, tuple)):
        return [meant(inner, states) for inner in value]
    return value


def all_that_is_meant(description: Description) -> dict[str, object]:
    """A description as plain data, without what says the same twice."""
    found = meant(description, list(description.states))
    assert isinstance(found, dict)
    for device in found["devices"].values():
        device.pop("contact")  # one that stands in a plug has no use for it
        for draw in device["draws"]:
            if len(device["draws"]) == 1 and draw["from_"] is None:
                draw["from_"], draw["to"] = list(device["pins"])[:2]
    return found


@pytest.mark.parametrize("variant", ["as written", "plain-wire", "solid-state"])
def test_the_example_means_the_same_in_every_section_and_variant(variant):
    short = all_that_is_meant(read(EXAMPLE, variant).description)
    full = all_that_is_meant(read(in_full(EXAMPLE), variant).description)
    assert len(short["devices"]) > 90
    for section in short:
        assert short[section] == full[section], section
