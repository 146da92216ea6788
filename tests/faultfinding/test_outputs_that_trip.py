"""An output that trips, in a small vehicle of its own: sizes, shorts, the words of its book."""

from __future__ import annotations

import json

import pytest
from click.testing import CliRunner

from buildbook.cli import main
from buildbook.pipeline import work_out
from tests.book_of import book_of, texts_of
from tests.conftest import TESTS

MODULE = """
  module:
    kind: controller
    name: Switching module
    at: battery-box
    system: lighting
    contact: blade-6.3
    pins: {M: feed, G: ground, O1: work lamp, O2: marker lamp}
    power: {feeds: M, grounds: G, works from: 6 V}
    drivers:
      O1: {side: high, limit: 10 A, TRIPS"on": all}
      O2: {side: high, limit: 10 A, duty: 40 %, "on": all,
        trips: [12 A within 1 s, 40 A within 1 ms]}
  marker:
    kind: lamp
    name: Marker lamp
    at: tail
    system: lighting
    plug: sealed-2
    pins: {1: feed, 2: return}
    draws: {amps: 1 A, at: 13.5 V, what: the marker lamp lights}
"""

TRIPS = "trips: [12 A within 1 s, 40 A within 1 ms], "


def with_module(tmp_path, trips):
    """The trailer with its fuse of 80 A before a module that feeds the lamp, and one in pulses."""
    text = (TESTS / "vehicles" / "two-wire" / "vehicle.yaml").read_text(encoding="utf-8")
    text = text.replace(
        "slot: 1, system: lighting}", "slot: 1, system: lighting, rating: 80 A, fuse: maxi}"
    )
    text = text.replace("  G1: {kind", MODULE.replace("TRIPS", trips) + "  G1: {kind")
    text = text.replace("[F1.out, lamp.1]", "[module.O1, lamp.1]")
    text = text.replace(
        "\nrope:",
        "  module feed: {join: [F1.out, module.M], system: lighting}\n"
        "  module ground: {join: [module.G, G1], system: lighting}\n"
        "  marker feed: {join: [module.O2, marker.1], system: lighting}\n"
        "  marker return: {join: [marker.2, G1], system: lighting}\n\nrope:",
    )
    tmp_path.mkdir(exist_ok=True)
    (tmp_path / "vehicle.yaml").write_text(text, encoding="utf-8")
    result, problems = work_out(tmp_path)
    assert result is not None, problems
    return result


@pytest.fixture(scope="module")
def tripping(tmp_path_factory):
    return with_module(tmp_path_factory.mktemp("trips"), TRIPS)


@pytest.fixture(scope="module")
def plain(tmp_path_factory):
    return with_module(tmp_path_factory.mktemp("plain"), "")


def wire_at(result, pin):
    (wire,) = result.harness.wire_at[pin]
    return result.sizing.wires[wire]


def test_its_wire_is_sized_for_the_trip_and_not_for_the_fuse_before_it(tripping, plain):
    behind_fuse, behind_output = wire_at(plain, "lamp.1"), wire_at(tripping, "lamp.1")
    assert behind_fuse.fuse == "F1"
    assert behind_output.fuse == "module.O1"
    # 0.5 mm2 in free air is good for some 10 to 20 A (AC 43.13-1B, figure 11-3), never for the
    # 108 A that a fuse of 80 A holds for ever (1.35 times, ISO 8820-3).
    assert behind_fuse.area_mm2 >= 6
    assert behind_output.area_mm2 <= 1


def test_what_feeds_the_module_stays_behind_the_fuse(tripping):
    assert wire_at(tripping, "module.M").fuse == "F1"


def test_a_short_trips_the_output_and_leaves_the_fuse(tripping):
    wire = wire_at(tripping, "lamp.1").wire
    opened = tripping.faultfinding.blown[f"short wire:{wire}"]
    assert [(b.fuse, b.state) for b in opened] == [("module.O1", "lit")]
    dead = {e.load: e.effect for e in tripping.faultfinding.effects[f"short wire:{wire}"]}
    assert dead == {"lamp": "dead"}
    (symptom,) = [s for s in tripping.faultfinding.symptoms if s.trips == ("module.O1",)]
    assert symptom.title == "Trips module.O1"
    assert not symptom.blows
    assert f"short wire:{wire}" in symptom.suspects


def test_a_short_that_no_output_stops_blows_the_fuse_or_burns(plain):
    wire = wire_at(plain, "lamp.1").wire
    opened = plain.faultfinding.blown[f"short wire:{wire}"]
    assert "module.O1" not in {b.fuse for b in opened}


def test_an_output_in_pulses_trips_by_what_flows_while_it_is_on(tripping):
    wire = wire_at(tripping, "marker.1").wire
    opened = tripping.faultfinding.blown[f"short wire:{wire}"]
    assert [b.fuse for b in opened] == ["module.O2"]
    # More than 12 A flow only while it is on; 12.7 V over an output of 50 mohm and thin wire.
    assert opened[0].amps > 40
    assert "open pin:marker.1" not in tripping.faultfinding.blown


def test_a_question_is_told_that_an_output_trips_and_answered_so(tripping, tmp_path):
    """As somebody asks it: the fuse before the module blows of nothing here."""
    folder = tmp_path / "trips"
    with_module(folder, TRIPS)
    asked = ["diagnose", str(folder), "--trips", "module.O1"]
    said = CliRunner().invoke(main, asked).output
    assert "trips module.O1" in said and "blows module.O1" not in said
    data = json.loads(CliRunner().invoke(main, [*asked, "--json"]).stdout)
    assert data["told"]["trips"] == ["module.O1"] and not data["told"]["blows"]
    wire = wire_at(tripping, "lamp.1").wire
    assert f"short wire:{wire}" in {suspect["fault"] for suspect in data["suspects"]}
    assert all(s["trips"] == ["module.O1"] and not s["blows"] for s in data["suspects"])
    none = CliRunner().invoke(main, ["diagnose", str(folder), "--trips", "F1"])
    assert none.exit_code and "no output that trips" in none.output


def test_the_book_lists_the_outputs_beside_the_fuses(tripping):
    text = " ".join(" ".join(texts_of(book_of(tripping))).split())
    assert "Outputs that trip" in text
    assert "12 A within 1 s, 40 A within 1 ms" in text
    assert "Work lamp dead; trips module.O1" in text
    assert "module.O1 trips again each time that it is switched on in every state" in text


def test_no_finding_says_that_it_protects_too_little(tripping):
    rules = {finding.rule for finding in tripping.findings}
    assert not rules & {"output-above-wire", "output-trips-at-work", "fuse-above-wire"}
