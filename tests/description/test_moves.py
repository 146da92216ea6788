"""What a variant moves: lengths by hand, rope that falls away or is led there, what is refused."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner

from buildbook.cli import main
from buildbook.description.move.lay import to_measure
from buildbook.description.move.layout import layout_of
from buildbook.description.read import read_folder
from buildbook.pipeline import sized_of, untold
from buildbook.sizing.stage import Sized

TRAILER = Path(__file__).parents[1] / "vehicles" / "two-wire" / "vehicle.yaml"
ROPE = """
  front:
    runs:
      - {from: battery-box, to: B, length: 1000 mm, zone: frame}
      - {from: B, to: tail, length: 400 mm, zone: frame}
      - {from: B, to: side, length: 600 mm, zone: frame}
      - {from: B, to: joint, length: 500 mm, zone: frame}
  back:
    runs:
      - {from: joint, to: plate, length: 700 mm, zone: frame}

plan:
  length: 6 m
  width: 2 m
  walls: {tailboard: 3 m}
  places: # along the rope every straight line is 4/5 of the run on it
    battery-box: [0.2 m, 0 m]
    B: [1 m, 0 m]
    tail: [1 m, 320 mm]
    side: [1 m, -480 mm]
    nose: [1.6 m, 0 m]
    rear: [3.5 m, 0 m]
    plate: [3.6 m, 0 m]
"""
MORE = """
  side-lamp: {kind: lamp, at: side, system: lighting, plug: sealed-2, pins: {1: feed, 2: return},
    draws: {amps: 1 A, at: 13.5 V, what: the side lamp lights}}
  plate-lamp: {kind: lamp, at: plate, system: lighting, plug: sealed-2, pins: {1: feed, 2: return},
    draws: {amps: 1 A, at: 13.5 V, what: the plate lamp lights}}
  X1: {kind: pass-through, at: joint, system: lighting, plug: sealed-2, between: [front, back]}
"""
EXTRA_M = 0.15 * 0.75
"""Of the estimated run, as every such run is cut longer."""


def trailer(tmp_path: Path, variant: str) -> Path:
    """The trailer with two more lamps, a second harness and a plan; its variant is called `v`."""
    text = TRAILER.read_text().partition("\nrope:\n")[0]
    text = text.replace("[F1.out, lamp.1]", "[F1.out, lamp.1, side-lamp.1, plate-lamp.1]")
    text = text.replace("[lamp.2, G1]", "[lamp.2, side-lamp.2, plate-lamp.2, G1]")
    text = text.replace("\n  G1:", f"{MORE}\n  G1:")
    made = tmp_path / "trailer"
    made.mkdir()
    (made / "vehicle.yaml").write_text(f"{text}\nrope:{ROPE}")
    (made / "variants.yaml").write_text(
        f"variants:\n  v: {{move: {variant}}}\n  w: {{move: {{lamp: rear, side-lamp: nose}}}}\n"
    )
    return made


def sized(folder: Path, variant: str) -> Sized:
    found, problems = sized_of(folder, untold, variant)
    assert found is not None and not problems, problems
    return found


def told(folder: Path) -> list[tuple[str, str, str]]:
    _, problems = read_folder(folder, "v")
    return [(str(p.where), p.what, p.hint) for p in problems]


def to(found: Sized, end: str) -> float:
    """Cut length of the wire that ends at a pin."""
    (wire,) = [w for w in found.harness.wires.values() if end in (w.a.node, w.b.node)]
    return wire.cut_m


def runs(found: Sized) -> dict[tuple[str, str], tuple[float, bool]]:
    return {(r.from_point, r.to_point): (r.length_m, r.estimated) for r in found.vehicle.runs}


def test_a_wire_is_as_much_longer_as_the_new_rope_and_its_reserve(tmp_path):
    folder = trailer(tmp_path, "{lamp: nose}")
    before, now = sized(folder, "as written"), sized(folder, "v")
    # 0.6 m on the plan, and the rope at B is 5/4 of its straight lines; the splice stays at B
    assert runs(now)["B", "nose"] == (pytest.approx(0.75), True)
    assert to(now, "lamp.1") - to(before, "lamp.1") == pytest.approx(0.75 + EXTRA_M - 0.4)
    assert to(now, "side-lamp.1") == pytest.approx(to(before, "side-lamp.1"))


def test_rope_that_only_the_moved_device_needed_falls_away(tmp_path):
    folder = trailer(tmp_path, "{lamp: nose}")
    assert runs(sized(folder, "as written")).keys() - runs(sized(folder, "v")).keys() == {
        ("B", "tail")
    }


def test_who_is_joined_with_whom_stays(tmp_path):
    folder = trailer(tmp_path, "{lamp: nose}")
    before, now = sized(folder, "as written"), sized(folder, "v")
    for found in (before, now):
        assert found.vehicle.description.vehicle.variant == ("v" if found is now else None)
    assert [c.pins for c in before.vehicle.circuits.values()] == [
        c.pins for c in now.vehicle.circuits.values()
    ]
    assert before.vehicle.devices["lamp"].loads == now.vehicle.devices["lamp"].loads


def test_to_a_point_of_the_rope_nothing_is_led(tmp_path):
    folder = trailer(tmp_path, "{lamp: side}")
    before, now = sized(folder, "as written"), sized(folder, "v")
    assert runs(before).keys() - runs(now).keys() == {("B", "tail")} and len(runs(now)) == 4
    assert to(now, "lamp.1") - to(before, "lamp.1") == pytest.approx(0.6 - 0.4)


def test_what_was_measured_is_no_estimate_and_sizes_follow(tmp_path):
    folder = trailer(tmp_path, "{lamp: {to: nose, measured: {front: 22 m}}}")
    before, now = sized(folder, "as written"), sized(folder, "v")
    assert runs(now)["B", "nose"] == (22.0, False)
    (wire,) = [id_ for id_, w in now.harness.wires.items() if "lamp.1" in (w.a.node, w.b.node)]
    assert now.sizing.wires[wire].area_mm2 > before.sizing.wires[wire].area_mm2


def test_where_the_branch_begins_can_be_said(tmp_path):
    folder = trailer(tmp_path, "{lamp: {to: nose, from: side}}")
    # 0.6 m back and 0.48 m across, and the run to `side` is 5/4 of its line: 0.960 m
    assert runs(sized(folder, "v"))["side", "nose"] == (pytest.approx(0.97, abs=0.011), True)


def test_beyond_a_wall_the_harness_that_is_there_leads_on(tmp_path):
    folder = trailer(tmp_path, "{lamp: rear}")
    now = sized(folder, "v")
    (run,) = [r for r in now.vehicle.runs if r.to_point == "rear"]
    assert (run.harness, run.from_point) == ("back", "plate")
    assert {"X1"} == {pin.device for pin in now.harness.pass_pins}


def test_what_a_panel_carries_goes_with_it_and_what_stands_there_stays(tmp_path):
    folder = trailer(tmp_path, "{panel: nose}")
    now = sized(folder, "v").vehicle
    at = {name: device.point for name, device in now.devices.items()}
    assert at["panel"] == at["F1"] == "nose" and at["battery"] == at["G1"] == "battery-box"
    assert ("B", "nose") in {(r.from_point, r.to_point) for r in now.runs}


def test_two_may_change_places(tmp_path):
    folder = trailer(tmp_path, "{lamp: side, side-lamp: tail}")
    before, now = sized(folder, "as written"), sized(folder, "v")
    assert runs(before) == runs(now)
    assert to(now, "side-lamp.1") - to(before, "side-lamp.1") == pytest.approx(0.4 - 0.6)


def test_several_share_the_rope_that_is_led_to_one_place(tmp_path):
    folder = trailer(tmp_path, "{lamp: nose, side*: nose}")
    now = runs(sized(folder, "v"))
    assert [ends for ends in now if "nose" in ends] == [("B", "nose")]
    assert not {point for ends in now for point in ends} & {"tail", "side"}


def test_a_pass_through_moves_with_both_its_harnesses(tmp_path):
    folder = trailer(tmp_path, "{X1: nose}")
    now = {(r.harness, r.from_point, r.to_point) for r in sized(folder, "v").vehicle.runs}
    assert {("front", "B", "nose"), ("back", "plate", "nose")} <= now
    assert not [ends for ends in now if "joint" in ends]


def test_what_is_to_be_measured_stands_where_the_move_is_written(tmp_path):
    contents, _ = read_folder(trailer(tmp_path, "{lamp: nose}"), "v")
    (found,) = to_measure(contents.positions.tree)
    assert (str(found.where), found.harness, found.from_, found.to, found.length) == (
        *("variants.yaml:2:20", "front", "B", "nose", "750 mm"),
    )


def test_a_tape_is_cut_back_to_where_something_is(tmp_path):
    folder = trailer(tmp_path, "{lamp: side}")
    file = folder / "vehicle.yaml"
    file.write_text(
        file.read_text()
        .replace("      - {from: B, to: tail, length: 400 mm, zone: frame}\n", "")
        .replace(
            "  back:\n",
            "    tapes:\n      - {zone: frame, marks: [{at: tail, reads: 0 mm}, "
            "{at: B, reads: 400 mm, clamps: 2}, {at: spare, reads: 900 mm, clamps: 1}]}\n  back:\n",
        )
    )
    now = runs(sized(folder, "v"))
    assert ("B", "spare") in now and ("tail", "B") not in now


@pytest.mark.parametrize(
    ("move", "where", "what", "hint"),
    [
        ("{lamp: nosse}", "2:20", "no place `nosse`", "did you mean `nose`?"),
        ("{lump: nose}", "2:14", "no device `lump` to move", "did you mean `lamp`?"),
        ("{lamp: tail}", "2:20", "`lamp` is at `tail` already", "name another place"),
        ("{F1: nose}", "2:14", "`F1` is on `panel`", "move `panel`"),
        ("{lamp: side-lamp}", "2:20", "no place `side-lamp`", "at `side`: write that point"),
        (
            "{lamp: {to: nose, from: plank}}",
            "2:37",
            "no point `plank`",
            "known here: `battery-box`",
        ),
        ("{lamp: {to: side, from: B}}", "2:37", "`from` says nothing", "take it out"),
        (
            "{lamp: {to: nose, measured: {back: 1 m}}}",
            "2:42",
            "no new rope of `back` is led to `nose`",
            "known here: `front`",
        ),
        ("{la*: nose, lam*: side}", "2:25", "`lamp` is moved twice", "a line `lamp: side`"),
        ("{lamp: {at: nose}}", "2:14", "`to`", ""),
    ],
)
def test_a_move_that_cannot_be_is_told_where_it_is_written(tmp_path, move, where, what, hint):
    first = told(trailer(tmp_path, move))[0]
    assert first[0] == f"variants.yaml:{where}"
    assert what in first[1] and hint in first[2]


def test_without_the_plan_the_length_has_to_be_said(tmp_path):
    folder = trailer(tmp_path, "{lamp: joint2}")
    file = folder / "vehicle.yaml"
    text = file.read_text().partition("\nplan:")[0]
    file.write_text(text.replace("  G1: {", "  cone: {kind: ground, at: joint2}\n  G1: {"))
    ((where, what, hint),) = told(folder)
    assert where == "variants.yaml:2:20" and "nothing says how far it is" in what
    assert "{to: joint2, from: battery-box, measured: {front: 800 mm}}" in hint
    (folder / "variants.yaml").write_text(
        "variants:\n  v: {move: {lamp: {to: joint2, from: B, measured: {front: 800 mm}}}}\n"
    )
    assert runs(sized(folder, "v"))["B", "joint2"] == (0.8, False)


def test_off_the_rope_nothing_says_which_harness_leads_on(tmp_path):
    folder = trailer(tmp_path, "{battery: nose}")
    file = folder / "vehicle.yaml"
    for name in ("battery: {kind: battery, name: Battery, at", "name: Fuse panel\n    at"):
        file.write_text(file.read_text().replace(f"{name}: battery-box", f"{name}: shelf"))
    whats = [what for _, what, _ in told(folder)]
    assert whats == ["no rope reaches `shelf`, where `battery` is joined to what stays there"]


def test_a_plan_or_rope_that_cannot_be_read_is_told_and_not_moved_on(tmp_path):
    folder = trailer(tmp_path, "{lamp: nose}")
    file = folder / "vehicle.yaml"
    file.write_text(file.read_text().replace("width: 2 m", "width: broad"))
    assert [what for _, what, _ in told(folder)][0].startswith("`width`")


def test_a_place_may_wait_on_the_plan_for_a_move(tmp_path):
    folder = trailer(tmp_path, "{lamp: nose}")
    assert sized(folder, "as written").vehicle.devices["lamp"].point == "tail"
    contents, _ = read_folder(folder, "as written")
    assert layout_of(contents.positions.tree).places["nose"] == (1.6, 0.0)


def test_check_lists_what_is_to_be_measured_for_a_variant(tmp_path):
    folder = trailer(tmp_path, "{lamp: nose}")
    ended = CliRunner().invoke(main, ["check", str(folder), "--variant", "v"])
    place, told = (
        "variants.yaml:2:20",
        "measure the rope of front from B to nose, 750 mm by the plan",
    )
    assert f"{place}: to do: {told}\n" in ended.stdout
    assert f"{place}: note: The run from B to nose, 750 mm, is only estimated" in ended.stdout
    assert "say its length as `measured` of the move" in ended.stdout
    data = CliRunner().invoke(main, ["check", str(folder), "--variant", "v", "--format", "json"])
    assert json.loads(data.stdout)["to do"] == [{"where": place, "what": told}]
    whole = CliRunner().invoke(main, ["check", str(folder)])
    assert "to do" not in whole.stdout
