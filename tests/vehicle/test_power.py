"""Sources of any number and kind: their pins, volts, ohms and limits, and the post on the body."""

import math

import pytest
import yaml

from buildbook.description.read import read_folder
from buildbook.vehicle.join import join

TWELVE = {"between": ["battery.+", "battery.-"]}


def described(supply, devices, circuits):
    """A vehicle of sources on one tray, with a lamp so that something draws."""
    at = {"at": "tray", "system": "all"}
    return {
        "vehicle": {"name": "Bench", "date": "2031-05-17"},
        "supply": supply,
        "states": {"off": {}, "slow": {"engine": "500 rpm"}, "fast": {"engine": "3000 rpm"}},
        "zones": {"shed": {"ambient": "20 degC"}},
        "systems": {"all": {"title": "All"}},
        "devices": {
            "body": {"kind": "ground", **at},
            "lamp": {
                "kind": "lamp",
                "contact": "ring-M4",
                "pins": {"1": "feed", "2": "return"},
                "draws": {"amps": "1 A", "in": ["fast"]},
                **at,
            },
            **{name: {**at, **device} for name, device in devices.items()},
        },
        "circuits": {name: {"join": pins, "system": "all"} for name, pins in circuits.items()},
        "rope": {"h": {"runs": [{"from": "tray", "to": "end", "length": "1 m", "zone": "shed"}]}},
    }


def joined(tmp_path, supply, devices, circuits):
    """The vehicle, or None, and the problems."""
    text = yaml.safe_dump(described(supply, devices, circuits), sort_keys=False)
    (tmp_path / "vehicle.yaml").write_text(text)
    reading, problems = read_folder(tmp_path)
    assert reading is not None, problems
    return join(reading)


BATTERY = {"battery": {"kind": "battery"}}


def test_simple_form_is_one_battery_with_its_minus_earthed(tmp_path):
    circuits = {"live": ["battery.+", "lamp.1"], "earth": ["battery.-", "lamp.2", "body"]}
    vehicle, problems = joined(tmp_path, {"battery": TWELVE}, BATTERY, circuits)
    assert problems == []
    (battery,) = vehicle.supply.sources
    assert (battery.id, battery.kind) == ("battery", "battery")
    assert battery.emf_v == dict.fromkeys(("off", "slow", "fast"), 12.7)
    assert battery.limit_a["fast"] == math.inf
    supply = vehicle.supply
    assert (supply.earth, supply.earthed_pin, supply.live_pin) == (
        "negative",
        "battery.-",
        "battery.+",
    )
    assert not supply.is_series


def test_plus_on_the_body_is_a_positive_earth(tmp_path):
    circuits = {"live": ["battery.-", "lamp.1"], "earth": ["battery.+", "lamp.2", "body"]}
    vehicle, _ = joined(tmp_path, {"battery": TWELVE}, BATTERY, circuits)
    supply = vehicle.supply
    assert (supply.earth, supply.earthed_pin, supply.live_pin) == (
        "positive",
        "battery.+",
        "battery.-",
    )


def test_battery_apart_from_the_body_has_no_earthed_post(tmp_path):
    circuits = {"live": ["battery.+", "lamp.1"], "return": ["battery.-", "lamp.2"]}
    vehicle, _ = joined(tmp_path, {"battery": TWELVE}, BATTERY, circuits)
    assert (vehicle.supply.earth, vehicle.supply.earthed_pin) == ("none", "battery.-")


def test_post_is_earthed_through_an_isolator_in_its_lead_too(tmp_path):
    isolator = {
        "kind": "isolator",
        "pins": {"in": "battery", "out": "body"},
        "contacts": {"from": "in", "to": "out", "closed": ["fast"]},
    }
    circuits = {
        "live": ["battery.+", "lamp.1"],
        "minus": ["battery.-", "isolator.in"],
        "earth": ["isolator.out", "lamp.2", "body"],
    }
    vehicle, problems = joined(
        tmp_path, {"battery": TWELVE}, {**BATTERY, "isolator": isolator}, circuits
    )
    assert problems == []
    assert vehicle.supply.earth == "negative"


SERIES = {
    "batteries": {
        "lower": {"between": ["lower.+", "lower.-"], "volts": "12.6 V", "charge": "2 A"},
        "upper": {"between": ["upper.+", "upper.-"], "volts": "12.6 V", "charge": "2 A"},
    }
}
TWO = {"lower": {"kind": "battery"}, "upper": {"kind": "battery"}}
SERIES_CIRCUITS = {
    "live": ["upper.+", "lamp.1"],
    "link": ["lower.+", "upper.-"],
    "earth": ["lower.-", "lamp.2", "body"],
}


def test_two_in_series_stand_on_one_another(tmp_path):
    vehicle, problems = joined(tmp_path, SERIES, TWO, SERIES_CIRCUITS)
    assert problems == []
    supply = vehicle.supply
    assert [s.id for s in supply.batteries] == ["lower", "upper"]
    assert (supply.earthed_pin, supply.live_pin, supply.earth) == (
        "lower.-",
        "upper.+",
        "negative",
    )
    assert supply.is_series


def test_two_in_parallel_share_a_live_post_and_are_no_series(tmp_path):
    circuits = {
        "live": ["lower.+", "upper.+", "lamp.1"],
        "earth": ["lower.-", "upper.-", "lamp.2", "body"],
    }
    vehicle, problems = joined(tmp_path, SERIES, TWO, circuits)
    assert problems == []
    assert (vehicle.supply.live_pin, vehicle.supply.is_series) == ("lower.+", False)


def test_alternator_over_two_batteries_shares_its_volts_out(tmp_path):
    """28.4 V over two alike is 14.2 V each; a full one of 12.6 V then takes 2 A: 0.8 ohm."""
    alternator = {"between": ["gen.B", "gen.E"], "volts": "28.4 V", "curve": [["900 rpm", "20 A"]]}
    devices = {
        **TWO,
        "gen": {"kind": "alternator", "contact": "ring-M6", "pins": {"B": "out", "E": "case"}},
    }
    circuits = {
        "live": ["upper.+", "gen.B", "lamp.1"],
        "link": ["lower.+", "upper.-"],
        "earth": ["lower.-", "gen.E", "lamp.2", "body"],
    }
    supply = {**SERIES, "alternators": {"gen": alternator}}
    vehicle, problems = joined(tmp_path, supply, devices, circuits)
    assert problems == []
    for battery in vehicle.supply.batteries:
        assert battery.back_ohms["fast"] == pytest.approx(0.8)
    (generator,) = vehicle.supply.generators
    assert (generator.limit_a["slow"], generator.limit_a["fast"]) == (0.0, 20.0)
    assert generator.back_ohms["fast"] == math.inf


def dynamo_car(tmp_path, **changed):
    dynamo = {
        "between": ["dynamo.D", "dynamo.E"],
        "volts": "7.2 V",
        "resistance": "0.1 ohm",
        "curve": [["900 rpm", "4 A"], ["2000 rpm", "12 A"]],
        "cut out": {"between": ["box.D", "box.A"], "closes at": "6.4 V"},
    }
    magneto = {
        "between": ["magneto.K", "magneto.E"],
        "volts": "12 V",
        "at": "1500 rpm",
        "resistance": "1.5 ohm",
    }
    supply = {
        "battery": {**TWELVE, "volts": "6.3 V"},
        "dynamos": {"dynamo": {**dynamo, **changed}},
        "magnetos": {"magneto": magneto},
    }
    ring = {"contact": "ring-M5"}
    devices = {
        **BATTERY,
        "dynamo": {"kind": "dynamo", **ring, "pins": {"D": "brush", "E": "frame"}},
        "box": {"kind": "switch", **ring, "pins": {"D": "dynamo", "A": "battery"}},
        "magneto": {"kind": "magneto", **ring, "pins": {"K": "kill", "E": "frame"}},
        "kill": {
            "kind": "switch",
            **ring,
            "pins": {"1": "magneto", "2": "body"},
            "contacts": {"from": "1", "to": "2", "closed": ["off"]},
        },
    }
    circuits = {
        "live": ["battery.+", "box.A", "lamp.1"],
        "dynamo output": ["dynamo.D", "box.D"],
        "earth": ["battery.-", "dynamo.E", "magneto.E", "kill.2", "lamp.2", "body"],
        "kill wire": ["magneto.K", "kill.1"],
    }
    return joined(tmp_path, supply, devices, circuits)


def test_dynamo_conducts_back_through_its_armature_and_its_cut_out_does_not(tmp_path):
    vehicle, problems = dynamo_car(tmp_path)
    assert problems == []
    dynamo = vehicle.supply.generator
    assert dynamo.kind == "dynamo"
    assert dynamo.emf_v == {"off": 0.0, "slow": 0.0, "fast": 7.2}
    assert dynamo.back_ohms["off"] == 0.1
    (cut_out,) = vehicle.devices["box"].contacts
    assert (cut_out.kind, cut_out.one_way, cut_out.control, cut_out.control_v) == (
        "cut-out",
        True,
        ("dynamo.D", "dynamo.E"),
        6.4,
    )


@pytest.mark.parametrize(
    ("between", "enters"),
    [(["dynamo.D", "dynamo.E"], "box.D"), (["dynamo.E", "dynamo.D"], "box.A")],
)
def test_cut_out_lies_the_way_of_the_charging_current(between, enters, tmp_path):
    """With plus on the frame it stands at the dynamo's minus: current comes from the battery."""
    vehicle, _ = dynamo_car(tmp_path, between=between)
    (cut_out,) = vehicle.devices["box"].contacts
    assert cut_out.from_pin == enters


def test_magneto_gives_volts_by_the_engines_speed(tmp_path):
    vehicle, _ = dynamo_car(tmp_path)
    magneto = vehicle.supply.sources[-1]
    assert magneto.alternating
    assert magneto.emf_v == {"off": 0.0, "slow": 4.0, "fast": 24.0}


def said(problems):
    return " | ".join(p.what for p in problems)


def test_cut_out_that_never_closes_is_refused(tmp_path):
    _, problems = dynamo_car(
        tmp_path, **{"cut out": {"between": ["box.D", "box.A"], "closes at": "7.5 V"}}
    )
    assert "closes at 7.5 V" in said(problems)


def test_battery_that_the_supply_does_not_have_is_refused_where_it_stands(tmp_path):
    supply = {"battery": {"between": ["lower.+", "lower.-"]}}
    _, problems = joined(tmp_path, supply, TWO, SERIES_CIRCUITS)
    (problem,) = problems
    assert problem.what == "`upper` is a battery that `supply` does not have"
    text = (tmp_path / "vehicle.yaml").read_text().split("\n")
    assert text[problem.where.line - 1].strip() == "upper:"


def test_source_that_no_circuit_joins_is_refused(tmp_path):
    circuits = {"live": ["lower.+", "lamp.1"], "earth": ["lower.-", "lamp.2", "body"]}
    _, problems = joined(tmp_path, SERIES, TWO, circuits)
    assert said(problems) == "no circuit joins the source `upper`"


def test_supply_without_a_battery_and_a_name_given_twice_are_refused(tmp_path):
    _, problems = joined(tmp_path, {}, TWO, SERIES_CIRCUITS)
    assert "there is no battery" in said(problems)
    twice = {
        "battery": {"between": ["lower.+", "lower.-"]},
        "batteries": {"battery": {"between": ["upper.+", "upper.-"]}},
    }
    _, problems = joined(tmp_path, twice, TWO, SERIES_CIRCUITS)
    assert "two sources are called `battery`" in said(problems)


def frost(tmp_path, battery, **state):
    """A battery in a state of its own."""
    circuits = {"live": ["battery.+", "lamp.1"], "earth": ["battery.-", "lamp.2", "body"]}
    data = described({"battery": {**TWELVE, **battery}}, BATTERY, circuits)
    data["states"]["frost"] = state
    (tmp_path / "vehicle.yaml").write_text(yaml.safe_dump(data, sort_keys=False))
    reading, problems = read_folder(tmp_path)
    assert not problems
    vehicle, problems = join(reading)
    assert not problems
    return vehicle.supply.battery


def test_cold_cranking_current_leaves_7_2_v_of_a_full_battery_at_minus_18(tmp_path):
    """SAE J537: 1.2 V a cell at the rated current; 12.65 V is a full battery's (BCI, memory)."""
    battery = frost(
        tmp_path, {"volts": "12.65 V", "cold cranking": "500 A"}, **{"battery at": "-18 degC"}
    )
    left = battery.emf_v["frost"] - 500 * battery.ohms["frost"]
    assert left == pytest.approx(7.2, abs=0.01)
    assert battery.ohms["off"] < battery.ohms["frost"]


def test_half_charge_is_12_24_v_and_half_as_many_ohms_again(tmp_path):
    """12.24 V of 12.65 (BCI, from memory); ohms double from full to empty (from memory)."""
    battery = frost(tmp_path, {"volts": "12.65 V", "resistance": "8 mohm"}, charged="50 %")
    assert battery.emf_v["frost"] == pytest.approx(12.24)
    assert battery.ohms["frost"] == pytest.approx(0.012)
    assert battery.emf_v["off"] == pytest.approx(12.65)


def test_frost_leaves_two_fifths_of_the_capacity(tmp_path):
    battery = frost(tmp_path, {"capacity": "50 Ah"}, **{"battery at": "-18 degC"})
    assert battery.capacity_ah["frost"] == pytest.approx(20.0)
    assert battery.capacity_ah["off"] == 50.0


def test_written_ohms_go_before_the_cold_cranking_current(tmp_path):
    said = {"cold cranking": "500 A", "resistance": "9 mohm"}
    assert frost(tmp_path, said).ohms["off"] == pytest.approx(0.009)
