"""Families of wire that the author adds: joined beside the catalogue's, and judged."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from buildbook.catalogue.load import wire_families
from buildbook.catalogue.mass import insulated_kg_per_m
from buildbook.description.read import read_folder
from buildbook.files.starter import write_starter
from buildbook.vehicle.join import join
from tests.vehicle.test_mistakes import GOOD, problems_of, write

OWN = """
wires:
  silicone:
    title: Silicone wire
    rated: 180 degC
    source: maker's data sheet
    sizes:
      - {size: 2.5 mm2, resistance of 1 km: 8.2 ohm, outside: 3.6 mm, strands: 50, strand: 0.25 mm}
      - {size: 1 mm2, resistance of 1 km: 20 ohm, outside: 2.4 mm, mass of 1 km: 14 kg}
"""
WITH = GOOD + OWN


def joined(folder: Path):
    reading, problems = read_folder(folder)
    assert problems == []
    vehicle, problems = join(reading)
    assert problems == []
    return vehicle


def test_own_wire_stands_beside_the_catalogues(tmp_path: Path) -> None:
    families = joined(write(tmp_path, WITH)).wire_families
    assert set(families) == {*wire_families(), "silicone"}
    own = families["silicone"]
    assert (own.rated_c, own.overload_c, own.short_circuit_c) == (180, 180, 180)
    assert own.source == "maker's data sheet"
    thin, thick = own.conductors
    assert (thin.label, thin.area_mm2, thin.kg_per_m) == ("1 mm2", 1.0, 0.014)
    assert thick.ohm_per_m_20c == pytest.approx(0.0082)
    assert (thick.outside_mm, thick.strands, thick.strand_mm) == pytest.approx((3.6, 50, 0.25))
    assert thick.how == "author's data sheet, mass computed"


def test_one_vehicles_wire_is_not_the_next_ones(tmp_path: Path) -> None:
    joined(write(tmp_path, WITH))
    assert "silicone" not in joined(write(tmp_path, GOOD)).wire_families
    assert "silicone" not in wire_families()


def test_what_the_insulation_stands_for_a_while_is_kept(tmp_path: Path) -> None:
    text = WITH.replace(
        "rated: 180 degC", "rated: 180 degC\n    overload: 220 degC\n    short circuit: 350 degC"
    )
    own = joined(write(tmp_path, text)).wire_families["silicone"]
    assert (own.overload_c, own.short_circuit_c) == (220, 350)


def test_a_circuit_takes_it_by_name_and_size(tmp_path: Path) -> None:
    text = WITH.replace("size: 0.5 mm2", "size: 2.5 mm2, family: silicone", 1)
    assert text != WITH
    assert problems_of(write(tmp_path, text)) == []


@pytest.mark.parametrize(
    ("before", "after", "what", "more"),
    [
        ("  silicone:", "  battery:", "`battery` is in the catalogue already", "another name"),
        ("km: 8.2 ohm", "km: 8.2 mohm", "would conduct", "6.9 ohm in a kilometre"),
        ("km: 20 ohm", "km: 200 ohm", "would conduct", "17.2 ohm in a kilometre"),
        ("km: 20 ohm", "km: 0 ohm", "`0 ohm` must be above zero", "90 ohm"),
        ("outside: 3.6 mm", "outside: 1.7 mm", "wider than 1.7 mm", "over the insulation"),
        ("size: 1 mm2", "size: 2.5 mm2", "size 2.5 mm2 is given twice", ""),
        ("km: 8.2 ohm", "km: 20 ohm", "2.5 mm2 resists no less than 1 mm2", "conducts better"),
        ("rated: 180 degC", "rated: 180 degC\n    overload: 150 degC", "below `rated`, 180", ""),
        (
            "rated: 180 degC",
            "rated: 180 degC\n    short circuit: 150 degC",
            "below `rated`, 180",
            "",
        ),
        (
            "rated: 180 degC",
            "rated: 180 degC\n    overload: 250 degC\n    short circuit: 220 degC",
            "below `overload`, 250",
            "",
        ),
        ("    source: maker's data sheet\n", "", "source", ""),
        ("rated: 180 degC", "rated: 180", "has no unit", "degC"),
        (
            "resistance of 1 km",
            "resistance per km",
            "no setting `resistance per km`",
            "resistance of 1 km",
        ),
        ("strands: 50", "strands: -5", "`strands` of `wires`", "cannot be below zero"),
    ],
)
def test_a_mistake_in_a_wire_is_told_at_its_line(tmp_path, before, after, what, more) -> None:
    text = WITH.replace(before, after, 1)
    assert text != WITH
    problems = problems_of(write(tmp_path, text))
    first = WITH[: WITH.index("\nwires:")].count("\n") + 2
    told = [p for p in problems if what in p.what and p.where.line and p.where.line >= first]
    assert told, problems
    assert any(more in f"{p.what} {p.why} {p.hint}" for p in told)


def test_a_size_that_the_own_family_lacks_is_told(tmp_path: Path) -> None:
    text = WITH.replace("size: 0.5 mm2", "size: 4 mm2, family: silicone", 1)
    (problem,) = problems_of(write(tmp_path, text))
    assert "not made in 4 mm2" in problem.what


def test_the_starters_sample_wire_is_sound_once_it_is_taken_in(tmp_path: Path) -> None:
    write_starter(tmp_path / "car")
    path = tmp_path / "car" / "vehicle.yaml"
    text = path.read_text("utf-8")
    start = text.index("# wires:")
    sample = re.sub(r"^# ", "", text[start : text.index("\nnotes:", start)], flags=re.M)
    path.write_text(text[:start] + sample + text[text.index("\nnotes:", start) :], "utf-8")
    assert "silicone" in joined(tmp_path / "car").wire_families


def test_the_examples_logger_runs_on_its_own_lead(lapwing) -> None:
    leads = [s for s in lapwing.sizing.wires.values() if s.family == "logger lead"]
    assert {s.label for s in leads} == {"AWG 20"} and len(leads) >= 2


@pytest.mark.parametrize("family", ["thin-wall", "thin-wall-125", "battery"])
def test_computed_mass_is_that_of_the_catalogue(family: str) -> None:
    for conductor in wire_families()[family].conductors:
        found = insulated_kg_per_m(conductor.area_mm2, conductor.outside_mm)
        assert found == pytest.approx(conductor.kg_per_m, rel=0.02)


def test_mass_of_a_wire_is_its_copper_and_a_tube() -> None:
    # Hand sum: 2.5 mm2 of copper and its lay, 8.89 * 1.02 * 2.5 = 22.67 g; tube of 3.6 mm less
    # 2.5 / 0.75 mm2: (10.179 - 3.333) * 1.39 = 9.516 g
    assert insulated_kg_per_m(2.5, 3.6) == pytest.approx(0.032186, abs=5e-6)


def test_a_wire_as_thin_as_its_copper_has_no_insulation_to_weigh() -> None:
    assert insulated_kg_per_m(2.5, 1.0) == pytest.approx(0.02267, abs=5e-6)


def test_cores_of_a_cable_are_made_as_the_cable_is(lapwing) -> None:
    cables = lapwing.vehicle.description.cables
    cored = {w.cable: w.family for w in lapwing.harness.wires.values() if w.cable}
    assert cored == {name: cables[name].type.replace(" ", "-") for name in cables}
    assert set(cored.values()) <= set(wire_families())
    sized = lapwing.sizing.wires
    for wire in lapwing.harness.wires.values():
        if wire.cable:
            assert sized[wire.id].family == wire.family


def test_a_core_that_no_cable_has_is_told(tmp_path: Path) -> None:
    """`five volts` is a core of a shielded cable, which is not made as thick as single wire."""
    assert problems_of(write(tmp_path, GOOD.replace("size: 0.5 mm2", "size: 1 mm2"))) == []
    (problem,) = problems_of(write(tmp_path, GOOD.replace("size: 0.5 mm2", "size: 4 mm2")))
    assert "wire of family `shielded-2` is not made in 4 mm2" in problem.what
