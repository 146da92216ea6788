"""A line of feeds makes what anyone draws without thinking, and hides nothing."""

from __future__ import annotations

import re

import pytest
from click.testing import CliRunner

from buildbook.cli import main
from buildbook.description.read import read_folder
from buildbook.vehicle.join import join
from tests.description.short import folder, problems_of, read

DEVICES = """devices:
  pump: {kind: fuel pump, at: tail, contact: blade-6.3}
  switch: {kind: push button, at: tail, contact: blade-6.3}
circuits:
  battery: {join: [battery.+, panel.B]}
"""
LINE = """feeds:
  pump: {fuse: F4, bus: B, relay: K2, 86: switch.output, 85: G1, to: pump, ground: G1,
    system: all, critical: yes, drop: 0.9 V}
"""


def test_a_line_makes_fuse_relay_jumper_and_circuits(tmp_path):
    found = read(tmp_path, DEVICES + LINE)
    fuse, relay = found.devices["F4"], found.devices["K2"]
    assert (fuse.kind, fuse.on, fuse.bus, fuse.slot, fuse.name) == ("fuse", "panel", "B", 4, "Pump")
    assert (relay.kind, relay.slot, relay.name, relay.critical) == ("relay", 2, "Pump relay", True)
    assert {name: c.join for name, c in found.circuits.items()} == {
        "battery": ["battery.+", "panel.B"],
        "pump relay feed": ["F4.out", "K2.30"],
        "pump feed": ["K2.87", "pump.1"],
        "pump ground": ["pump.2", "G1"],
        "pump signal": ["switch.2", "K2.86"],
        "pump relay ground": ["K2.85", "G1"],
    }
    assert found.circuits["pump feed"].drop == 0.9 and found.circuits["pump feed"].critical
    assert found.circuits["pump ground"].drop is None


def test_what_the_author_says_goes_before_what_a_line_makes(tmp_path):
    more = DEVICES.replace("circuits:\n", "circuits:\n  pump feed: {family: thin-wall-125}\n")
    found = read(tmp_path, more.replace("circuits:", "  K2: {name: Big relay}\ncircuits:") + LINE)
    assert found.devices["K2"].name == "Big relay" and found.devices["K2"].kind == "relay"
    assert found.circuits["pump feed"].family == "thin-wall-125"
    assert found.circuits["pump feed"].join == ["K2.87", "pump.1"]


def test_a_coil_hangs_on_the_feed_of_another_fuse_wherever_that_is_written(tmp_path):
    lines = LINE.replace("86: switch.output", "86: F9") + "  coils: {fuse: F9, to: switch.feed}\n"
    assert read(tmp_path, DEVICES + lines).circuits["coils feed"].join == [
        "F9.out",
        "K2.86",
        "switch.1",
    ]


def test_a_coil_may_be_all_that_a_fuse_feeds(tmp_path):
    lines = LINE.replace("86: switch.output", "86: F9")
    found = read(tmp_path, DEVICES + lines + "  coils: {fuse: F9, bus: I, colour: RD}\n").circuits
    assert found["coils feed"].join == ["F9.out", "K2.86"]
    assert found["coils feed"].colour == "RD"


@pytest.mark.parametrize("end", ["86", "85"])
def test_coils_that_one_pin_switches_share_its_circuit(tmp_path, end):
    other = "85" if end == "86" else "86"
    coil = f"{end}: switch.output, {other}: G1"
    lines = LINE.replace("86: switch.output, 85: G1", coil)
    lines += f"  fan: {{fuse: F5, bus: B, relay: K3, {coil}, to: fan, ground: G1}}\n"
    lines += f"  lift: {{fuse: F6, bus: B, relay: K4, {coil}, to: lift, ground: G1}}\n"
    devices = DEVICES.replace("  switch:", "  fan: {kind: radiator fan, at: tail}\n  switch:")
    devices = devices.replace("  fan:", "  lift: {kind: fuel pump, at: tail}\n  fan:")
    found = read(tmp_path, devices + lines).circuits
    name = "pump signal" if end == "86" else "pump relay control"
    assert sorted(found[name].join) == [f"K{n}.{end}" for n in (2, 3, 4)] + ["switch.2"]
    ground = [n for n, c in found.items() if f"K3.{other}" in c.join and "G1" in c.join]
    assert len(ground) == 1 and f"K2.{other}" not in found[ground[0]].join
    assert not [n for n, c in found.items() if n != name and f"K3.{end}" in c.join]


def test_a_coil_on_what_another_relay_feeds_joins_that(tmp_path):
    lines = "feeds:\n  fan: {fuse: F5, bus: B, relay: K3, 86: K2.87, 85: G1, to: pump}\n"
    lines += LINE.removeprefix("feeds:\n").replace("to: pump", "to: switch.feed")
    found = read(tmp_path, DEVICES + lines.replace(", ground: G1", "")).circuits
    assert found["pump feed"].join == ["K2.87", "K3.86", "switch.1"]
    assert "fan signal" not in found


def test_what_the_author_says_of_a_coils_circuit_stays_its_own(tmp_path):
    more = DEVICES.replace("circuits:\n", "circuits:\n  fan signal: {colour: RD}\n")
    lines = LINE + "  fan: {fuse: F5, bus: B, relay: K3, 86: switch.output, 85: G1, to: pump}\n"
    assert read(tmp_path, more + lines).circuits["fan signal"].join == ["switch.2", "K3.86"]


def test_a_coil_on_the_relays_own_feed_is_joined_there(tmp_path):
    lines = LINE.replace("86: switch.output", "86: 30")
    assert read(tmp_path, DEVICES + lines).circuits["pump relay feed"].join == [
        "F4.out",
        "K2.30",
        "K2.86",
    ]


def test_a_table_says_the_same_as_yaml(tmp_path):
    (tmp_path / "table").mkdir()
    (tmp_path / "feeds.csv").write_text(
        "feed,fuse,bus,relay,86,85,to,ground,system,critical,drop\n"
        "pump,F4,B,K2,switch.output,G1,pump,G1,all,yes,0.9 V\n"
    )
    by_table = read(tmp_path, DEVICES)
    by_yaml = read(tmp_path / "table", DEVICES + LINE)
    assert by_table == by_yaml


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("{bus: B, to: pump}", "has no fuse"),
        ("{fuse: F1, to: pump, colour: pink}", "is not a colour code"),
        ("{fuse: F1, to: pump, kolour: RD}", "no setting `kolour`"),
        ("{fuse: F1, to: pump, 85: G1}", "has a coil but no relay"),
        ("{fuse: F1, to: switch.7}", ""),
        ("{fuse: F1, relay: K1, 86: F2, to: pump}", "feeds nothing"),
        ("{fuse: F1, to: pump}\n  b: {fuse: F1, to: switch.feed}", "another feed makes `F1`"),
        ("{fuse: F1, to: two}", "which pin of `two` is fed is not said"),
    ],
)
def test_what_is_wrong_with_a_line_is_told_at_the_line(tmp_path, line, says):
    two = "  two: {kind: load, at: tail, contact: blade-6.3, pins: {1: this, 2: that}}\n"
    two += "  F2: {kind: fuse, on: panel, bus: I}\n"
    told = problems_of(
        tmp_path, DEVICES.replace("circuits:", two + "circuits:") + f"feeds:\n  a: {line}\n"
    )
    if says:
        assert any(says in p.what for p in told), told
        assert all(p.where.line >= 7 for p in told)


def test_show_prints_all_that_a_line_adds_and_nothing_as_the_authors(tmp_path):
    made = folder(tmp_path, DEVICES + LINE)
    shown = CliRunner().invoke(main, ["show", str(made), "pump"])
    assert shown.exit_code == 0, shown.output
    lines = shown.output.splitlines()
    for name in ("F4", "K2", "pump relay feed", "pump feed", "pump ground", "pump signal"):
        (line,) = [line for line in lines if line.startswith(f"  {name}:")]
        if name != "K2":
            assert line.endswith("# feed pump")
    assert any("kind panel relay" in line and "DIN 72552" in line for line in lines)


def test_what_show_prints_is_read_as_the_same_vehicle(tmp_path):
    made = folder(tmp_path, DEVICES + LINE)
    contents, _ = read_folder(made)
    told = [
        CliRunner().invoke(main, ["show", str(made), name]).output
        for name in (*contents.description.devices, *contents.description.circuits)
    ]
    sections: dict[str, dict[str, str]] = {"devices": {}, "circuits": {}}
    for text in told:
        section, entry = "", ""
        for line in text.splitlines():
            if not line.startswith(" "):
                section = line.rstrip(":")
            elif line.startswith("  ") and not line.startswith("   "):
                entry = line
                sections[section][entry] = ""
            if line.startswith("   "):
                sections[section][entry] += line + "\n"
    text = "".join(
        f"{section}:\n" + "".join(f"{entry}\n{body}" for entry, body in held.items())
        for section, held in sections.items()
    )
    again = tmp_path / "again"
    again.mkdir()
    made_again, problems = read_folder(folder(again, text, ""))
    assert not problems, problems
    assert made_again.description == contents.description


def test_show_of_a_name_that_is_not_there_says_what_may_be_meant(tmp_path):
    ended = CliRunner().invoke(main, ["show", str(folder(tmp_path, DEVICES + LINE)), "pimp"])
    assert ended.exit_code == 2 and "did you mean `pump`?" in ended.output


def test_show_of_a_name_that_nothing_is_like_lists_what_the_author_named_once(tmp_path):
    plain = "  horn: {kind: horn, at: tail, contact: blade-6.3, pins: {1: feed, 2: ground}}\n"
    text = DEVICES.replace("circuits:", plain + "circuits:") + LINE
    ended = CliRunner().invoke(main, ["show", str(folder(tmp_path, text)), "qqqq"])
    hint = ended.output.partition("known here: ")[2]
    names = re.findall("`([^`]*)`", hint)
    assert ended.exit_code == 2 and {"pump", "horn"} <= set(names)
    assert len(set(names)) == len(names)
    assert not {"panel relay", "its name, a point of the rope", "K2"} & set(names)


def test_a_feed_that_is_called_one_gives_its_name_to_the_circuit(tmp_path):
    found = read(tmp_path, DEVICES + LINE.replace("  pump:", "  pump feed:"))
    assert "pump feed" in found.circuits and "pump feed feed" not in found.circuits


def test_how_thick_wires_are_holds_for_the_way_back_to_ground_too(tmp_path):
    found = read(tmp_path, DEVICES + LINE.replace("drop: 0.9 V", "least size: 1.5 mm2"))
    for name in ("pump feed", "pump ground"):
        least = found.circuits[name].least_size
        assert least is not None and least.area_mm2 == 1.5
    assert found.circuits["pump relay ground"].least_size is None


def test_a_circuit_knows_the_feed_that_named_it_whatever_else_the_author_says(tmp_path):
    more = DEVICES.replace("circuits:\n", "circuits:\n  pump signal: {colour: RD}\n")
    more = more.replace("join: [battery.+, panel.B]", "join: [battery.+, panel.B], system: all")
    more += "  back: {join: [battery.-, G1], system: all}\n"
    line = LINE + "  switch: {fuse: F9, bus: B, to: switch.feed, system: all}\n"
    contents, problems = read_folder(folder(tmp_path, more + line))
    assert contents is not None, problems
    vehicle, problems = join(contents)
    assert vehicle is not None, problems
    made = {name: c.feed for name, c in vehicle.circuits.items()}
    assert made["pump signal"] == made["pump feed"] == "pump"
    assert made["back"] == ""


def test_that_there_is_no_panel_is_told_once_with_the_others_counted(tmp_path):
    lines = "feeds:\n" + "".join(f"  f{n}: {{fuse: F{n}, to: pump}}\n" for n in (1, 2, 3))
    _, problems = read_folder(folder(tmp_path, lines, "devices:\n  G1: {kind: ground, at: box}\n"))
    (told,) = [p for p in problems if "panel" in p.what]
    assert told.what == "there is no panel for the fuse of `f1` and those of 2 other feeds"
    assert told.where.line == 2
