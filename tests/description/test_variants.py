"""Variants laid over a description: what goes, what changes, and where mistakes are told."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner

from buildbook.cli import main
from buildbook.description.read import read_folder
from buildbook.vehicle.join import join

VEHICLES = Path(__file__).parents[1] / "vehicles"


def folder(tmp_path: Path, name: str, variants: str) -> Path:
    made = tmp_path / name
    shutil.copytree(VEHICLES / name, made)
    (made / "variants.yaml").write_text("variants:\n" + variants)
    return made


def joined(made: Path, variant: str | None):
    reading, problems = read_folder(made, variant)
    assert not problems, problems
    vehicle, problems = join(reading)
    assert not problems, problems
    return vehicle


def test_a_system_goes_with_its_circuits_and_the_devices_that_only_they_join(tmp_path):
    made = folder(tmp_path, "motorcycle", "  dark: {leave out: {systems: [lighting]}}\n")
    whole, dark = joined(made, "as written"), joined(made, "dark")
    gone = whole.devices.keys() - dark.devices.keys()
    assert {"headlamp", "light-switch", "F3"} <= gone
    assert "G2" in dark.devices and "lighting" not in dark.description.systems
    assert not [c for c in dark.circuits.values() if c.system == "lighting"]


def test_wires_to_a_device_that_is_left_out_go_out_of_the_circuits_that_stay(tmp_path):
    made = folder(tmp_path, "motorcycle", "  quiet: {leave out: {devices: [horn]}}\n")
    quiet = joined(made, "quiet")
    assert "horn.1" not in [pin.id for pin in quiet.circuits["signals feed"].pins]
    assert "horn switched" not in quiet.circuits


def test_what_was_waived_about_a_pin_goes_with_its_device(tmp_path):
    more = "waivers: [{rule: pin-undeclared, about: horn.1, because: not yet}]\n"
    made = folder(tmp_path, "motorcycle", "  quiet: {leave out: {devices: [horn]}}\n" + more)
    assert joined(made, "quiet").description.waivers == []
    assert len(joined(made, "as written").description.waivers) == 1


def test_signs_of_a_device_that_is_left_out_go_with_it(tmp_path):
    more = """symptoms:
  silent: {seen: {dead: horn}}
  quiet: {seen: [{dead: horn}, {dead: headlamp.1}], causes: {what: ear plugs, check: both ears}}
"""
    made = folder(tmp_path, "motorcycle", "  quiet: {leave out: {devices: [horn]}}\n" + more)
    assert [len(s.signs) for s in joined(made, "as written").complaints] == [1, 2]
    assert [(s.name, len(s.signs)) for s in joined(made, "quiet").complaints] == [("quiet", 1)]


def test_the_vehicle_names_the_variant_that_is_built(tmp_path):
    made = folder(tmp_path, "two-wire", "  bright: {change: {devices: {lamp: {name: Flood}}}}\n")
    assert joined(made, None).devices["lamp"].title == "Work lamp"
    file = made / "vehicle.yaml"
    file.write_text(file.read_text().replace("  date:", "  variant: bright\n  date:"))
    assert joined(made, None).devices["lamp"].title == "Flood"
    assert joined(made, "as written").devices["lamp"].title == "Work lamp"


def test_an_entry_that_is_changed_keeps_its_other_settings(tmp_path):
    made = folder(
        tmp_path, "two-wire", "  long: {change: {devices: {lamp: {draws: {amps: 5 A}}}}}\n"
    )
    (draw,) = joined(made, "long").description.devices["lamp"].draws
    assert (draw.amps, draw.at) == (5.0, 13.5)


def test_an_empty_entry_takes_out(tmp_path):
    made = folder(tmp_path, "two-wire", "  bare: {change: {supply: {battery: {capacity: }}}}\n")
    assert joined(made, "bare").supply.battery_data.capacity == 40.0


@pytest.mark.parametrize(
    ("variants", "asked", "where", "says"),
    [
        ("  a: {title: A}\n", "b", "vehicle.yaml:2:1", "no variant `b`"),
        (
            "  a: {leave out: {systems: [lights]}}\n",
            "a",
            "variants.yaml:2:29",
            "no system `lights` to leave out",
        ),
        (
            "  a:\n    change: {devices: {horn: }}\n",
            "a",
            "variants.yaml:3:24",
            "no `horn` here to take out",
        ),
        (
            "  a:\n    change: {devices: {lamp: {colour: red}}}\n",
            "a",
            "variants.yaml:3:31",
            "no setting `colour`",
        ),
        (
            "  a:\n    change: {zones: {frame: {ambient: warm}}}\n",
            "a",
            "variants.yaml:3:39",
            "'warm' is not a quantity",
        ),
        (
            "  a: {leave out: {circuits: [lamp feed]}}\n"
            "cables: {w: {type: twisted pair, cores: 3}}\n",
            "a",
            "variants.yaml:3:41",
            "`cores` of `cables` `w`",
        ),
        ("  a: {leave off: {}}\n", "as written", "variants.yaml:2:7", "no setting `leave off`"),
    ],
)
def test_a_mistake_in_a_variant_names_its_own_place(tmp_path, variants, asked, where, says):
    reading, problems = read_folder(folder(tmp_path, "two-wire", variants), asked)
    assert reading is None
    assert [str(p.where) for p in problems] == [where]
    assert says in problems[0].what


def test_a_name_that_leads_nowhere_is_told_where_the_variant_writes_it(tmp_path):
    made = folder(
        tmp_path,
        "two-wire",
        "  a:\n    change:\n      circuits:\n        lamp feed: {join: [F1.out, lamp.9]}\n",
    )
    reading, _ = read_folder(made, "a")
    _, problems = join(reading)
    assert str(problems[0].where) == "variants.yaml:5:36"


def test_show_says_what_a_variant_goes_without(tmp_path):
    made = folder(tmp_path, "motorcycle", "  quiet: {leave out: {devices: [horn*]}}\n")
    ended = CliRunner().invoke(main, ["show", str(made), "--variant", "quiet"])
    assert ended.exit_code == 0, ended.output
    told = [line for line in ended.output.splitlines() if line.startswith("variant quiet")]
    assert told == [
        "variant quiet goes without devices: horn-button, horn",
        "variant quiet goes without circuits: horn switched, horn button ground",
    ]


def test_a_variant_changes_one_of_things_alike_and_all_of_them(tmp_path):
    more = "  dim: {change: {devices: {coil-1: {name: First}, coil-<n>: {part: null, at: tank}}}}\n"
    dim = joined(folder(tmp_path, "motorcycle", more.replace("part: null, ", "")), "dim")
    assert [dim.devices[f"coil-{n}"].title for n in (1, 2)] == ["First", "Rear coil"]
    assert [dim.devices[f"coil-{n}"].point for n in (1, 2)] == ["tank", "tank"]
