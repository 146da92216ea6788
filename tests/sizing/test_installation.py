"""What a wire may be made of, and the air and the wires round it."""

from dataclasses import replace

import pytest

from buildbook.catalogue.load import wire_families
from buildbook.description.quantities import parse_size
from buildbook.harness.model import Bundle
from buildbook.sizing.installation import installations
from tests.checks import minimal as m

FAMILIES = wire_families()
CABLE = next(f for f in FAMILIES.values() if f.conductors[0].cable_mm is not None)
ZONES = {"cabin": {"ambient": "40 degC"}, "bay": {"ambient": "90 degC"}}


def installation(family="thin-wall", size=None, built=None, runs=("r1",), bundles=True, **wire):
    """Of a wire between two blades over runs of which r2 lies in the bay."""
    lamp = m.device("lamp", "lamp", "1 2")
    laid = (m.run("r1", "P", "Q"), m.run("r2", "Q", "R", zone="bay"), m.run("r3", "X", "Y"))
    told = {"c": {"written": {"size": size} if size else {}}}
    vehicle = m.vehicle((lamp,), {"c": ("lamp.1", "lamp.2")}, laid, told, zones=ZONES)
    ends = m.end("lamp.1", point=wire.get("point", "P")), m.end("lamp.2", point="Q")
    made = replace(m.wire("1", "c", *ends, runs=runs), family=family, built_size=built)
    held = tuple(
        Bundle(r, tuple(f"{r}-{n}" for n in range(count)))
        for r, count in (("r1", 2), ("r2", 5))
        if bundles
    )
    return installations(vehicle, m.harness((made,), bundles=held))["1"]


def families(found):
    return list(dict.fromkeys(c.family.id for c in found.candidates))


def test_thin_wall_wire_goes_on_as_battery_cable_above_its_thickest():
    found = installation()
    assert families(found) == ["thin-wall", "battery"]
    areas = [c.area_mm2 for c in found.candidates]
    assert areas == [
        0.22,
        0.35,
        0.5,
        0.75,
        1.0,
        1.5,
        2.5,
        4.0,
        6.0,
        10.0,
        16.0,
        25.0,
        35.0,
        50.0,
        70.0,
        95.0,
        120.0,
    ]


def test_battery_cable_and_the_cores_of_a_cable_stay_what_they_are():
    assert families(installation("battery")) == ["battery"]
    assert families(installation(CABLE.id)) == [CABLE.id]


def test_the_thinnest_of_an_area_or_the_thickest_there_is():
    found = installation()
    assert found.candidates[found.at_least(0.6)].area_mm2 == 0.75
    assert found.candidates[found.at_least(0.75)].area_mm2 == 0.75
    assert found.at_least(0.0) == 0
    assert found.candidates[found.at_least(500.0)].area_mm2 == 120.0


def test_the_hottest_air_and_the_fullest_bundle_of_its_way_count():
    found = installation(runs=("r1", "r2"))
    assert (found.ambient_c, found.bundle_count) == (90.0, 5)
    assert [(p.run, p.ambient_c, p.count) for p in found.run_conditions] == [
        ("r1", 40.0, 2),
        ("r2", 90.0, 5),
    ]
    assert (installation().ambient_c, installation().bundle_count) == (40.0, 2)


def test_a_jumper_has_the_air_of_the_hottest_rope_at_its_point_and_lies_alone():
    found = installation(runs=(), point="R")
    assert (found.ambient_c, found.bundle_count, found.run_conditions) == (90.0, 1, ())
    assert installation(runs=(), point="Q").ambient_c == 90.0
    assert installation(runs=(), point="Z").ambient_c == 40.0


def test_without_bundles_it_lies_alone():
    assert installation(bundles=False).bundle_count == 1


def test_the_authors_size_outranks_what_was_built():
    found = installation(size="0.75 mm2", built=parse_size("2.5 mm2"))
    assert (found.pinned.label, found.pinned_by) == ("0.75 mm2", "author")
    found = installation(built=parse_size("2.5 mm2"))
    assert (found.pinned.label, found.pinned_by) == ("2.5 mm2", "as built")
    assert installation().pinned is None


def test_a_label_of_another_family_is_found_there_and_an_unknown_one_nearby():
    gauge = installation(size="AWG 20").pinned
    assert gauge.label == "AWG 20" and gauge.family.id.startswith("awg-")
    assert installation(size="0.9 mm2").pinned.label == "1 mm2"
    assert installation(size="0.8 mm2").pinned.label == "0.75 mm2"


@pytest.mark.parametrize("end", [0, 1])
def test_the_contacts_at_both_ends_bound_its_area(end):
    found = installation()
    assert [c.id for c in found.contacts] == ["blade-6.3", "blade-6.3"]
    assert found.least_mm2 == found.contacts[end].smallest_mm2
    assert found.most_mm2 == found.contacts[end].largest_mm2
