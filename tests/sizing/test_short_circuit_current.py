"""Dead shorts through a circuit of a few resistances, added up by hand."""

import math

import pytest

from buildbook.electrical.model import Branch
from buildbook.sizing.selectivity import pairs
from buildbook.sizing.short_circuit_current import short_circuits
from tests.checks import minimal as m

BRANCHES = (
    Branch("battery", "source", "battery", "battery.+~", "battery.-~", 0.008, 12.7),
    Branch("wire:101", "wire", "101", "battery.+~", "F1.in~", 0.010),
    Branch("fuse:F1", "fuse", "F1", "F1.in~", "F1.out~", 0.005),
    Branch("wire:102", "wire", "102", "F1.out~", "F2.in~", 0.020),
    Branch("fuse:F2", "fuse", "F2", "F2.in~", "F2.out~", 0.010),
    Branch("wire:103", "wire", "103", "F2.out~", "lamp.1~", 0.050),
    Branch("wire:104", "wire", "104", "F1.out~", "lamp.1~", 0.300),
    Branch("load:lamp", "load", "lamp", "lamp.1~", "lamp.2~", 2.4),
    Branch("ground:G1", "ground", "G1", "lamp.2~", "chassis", 0.002),
    Branch("wire:105", "wire", "105", "chassis", "battery.-~", 0.004),
)


def vehicle(**supply):
    told = {
        "battery": {
            "between": ["battery.+", "battery.-"],
            "volts": "12.7 V",
            "resistance": "8 mohm",
        },
        **supply,
    }
    return m.vehicle((m.fuse("F1"), m.fuse("F2")), supply=told)


def found(**supply):
    return short_circuits(vehicle(**supply), [m.solution("on", branches=BRANCHES)])


@pytest.mark.parametrize(
    ("node", "ohms"),
    [
        ("battery.+~", 0.008 + 0.004),
        ("F1.out~", 0.008 + 0.010 + 0.005 + 0.004),
        # by way of the second fuse, 80 mohm from the first, not by 300 mohm past it
        ("lamp.1~", 0.008 + 0.010 + 0.005 + 0.020 + 0.010 + 0.050 + 0.004),
    ],
)
def test_loop_of_a_dead_short(node, ohms):
    assert found().ohms[node] == pytest.approx(ohms)
    assert found().at_a(node) == pytest.approx(12.7 / ohms)


def test_a_short_has_the_volts_of_a_battery_on_charge():
    alternator = {"between": ["battery.+", "battery.-"], "volts": "14.2 V", "curve": []}
    assert found(alternator=alternator).at_a("battery.+~") == pytest.approx(14.2 / 0.012)


def test_behind_a_load_nothing_is_live():
    assert found().at_a("lamp.2~") == 0.0
    assert math.isinf(found().ohms.get("lamp.2~", math.inf))


def test_fuses_follow_each_other_on_the_way_of_a_short():
    assert pairs(vehicle(), found()) == {("F2", "F1")}


def test_contacts_that_close_in_any_state_are_closed():
    closed = Branch("contact:S", "contact", "S", "battery.+~", "lamp.1~", 0.001)
    told = short_circuits(
        vehicle(),
        [m.solution("on", branches=BRANCHES), m.solution("off", branches=(*BRANCHES, closed))],
    )
    assert told.ohms["lamp.1~"] == pytest.approx(0.013)
    assert told.last_fuse["lamp.1~"] == ""


def test_a_generator_adds_its_limit_to_what_the_battery_gives():
    alternator = {
        "between": ["gen.B", "gen.E"],
        "volts": "14.2 V",
        "curve": [["900 rpm", "40 A"]],
    }
    machine = Branch("alternator", "source", "alternator", "battery.+~", "battery.-~", 0.01, 14.2)
    told = short_circuits(
        vehicle(alternator=alternator), [m.solution("on", branches=(*BRANCHES, machine))]
    )
    assert told.at_a("battery.+~") == pytest.approx(14.2 / 0.012 + 40)


def test_a_short_on_two_batteries_in_series_has_the_volts_and_ohms_of_both():
    """25.2 V behind twice 5 mohm and 3 mohm of cables; on the link 12.6 V behind once 5 and 2."""
    cells = {"volts": "12.6 V", "resistance": "5 mohm"}
    supply = {
        "batteries": {
            "lower": {"between": ["lower.+", "lower.-"], **cells},
            "upper": {"between": ["upper.+", "upper.-"], **cells},
        }
    }
    branches = (
        Branch("lower", "source", "lower", "lower.+~", "lower.-~", 0.005, 12.6),
        Branch("upper", "source", "upper", "upper.+~", "upper.-~", 0.005, 12.6),
        Branch("ground:G", "ground", "G", "lower.-~", "chassis", 0.002),
        Branch("wire:100", "wire", "100", "lower.+~", "upper.-~", 0.001),
    )
    told = short_circuits(m.vehicle((), supply=supply), [m.solution("on", branches=branches)])
    assert told.at_a("lower.+~") == pytest.approx(12.6 / 0.007)
    assert told.at_a("upper.+~") == pytest.approx(25.2 / 0.013)


def test_with_the_plus_on_the_body_the_minus_side_is_live():
    branches = (
        Branch("battery", "source", "battery", "battery.+~", "battery.-~", 0.008, 12.7),
        Branch("ground:G", "ground", "G", "battery.+~", "chassis", 0.002),
        Branch("wire:101", "wire", "101", "battery.-~", "F1.in~", 0.010),
        Branch("wire:105", "wire", "105", "chassis", "lamp.1~", 0.010),
    )
    told = short_circuits(vehicle(), [m.solution("on", branches=branches)])
    assert told.at_a("F1.in~") == pytest.approx(12.7 / 0.020)
    assert told.at_a("lamp.1~") == 0.0
