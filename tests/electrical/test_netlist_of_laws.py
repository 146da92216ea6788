"""Small networks with every law and source, settled by the circuit simulator and by ours."""

from __future__ import annotations

import math
import shutil

import pytest

from buildbook.electrical.case import Case
from buildbook.electrical.laws.filament import filament
from buildbook.electrical.laws.motor import motor
from buildbook.electrical.laws.transmitter import Transmitter
from buildbook.electrical.netlist import netlist, numbers_of
from tests.electrical.networks import STATE, element, network
from tests.electrical.test_netlist import simulated
from tests.electrical.test_sources import CUT_OUT, settler_of, source

pytestmark = pytest.mark.skipif(
    shutil.which("ngspice") is None, reason="the circuit simulator ngspice is not installed"
)

BATTERY = source("battery", "rail", "zero", 12.6, 0.02)


def relay(name, volts_between, **more):
    more = {"control": volts_between, "control_v": 7.2, "holds_v": 3.6} | more
    return element(name, "contact", "rail", "out", 0.05, **more)


LAWS = {
    "a motor that runs": motor(13.5, 9.5, 28.0, 0.1),
    "a pump that runs": motor(13.5, 9.5, 28.0, 0.7),
    "a motor that stands": motor(13.5, 9.5, 28.0, 1.0),
    "a lamp that glows": filament(12.0, 5.0),
    "a transmitter": Transmitter(0.02, 8.0),
}


@pytest.mark.parametrize("name", LAWS)
@pytest.mark.parametrize("ohms", [0.1, 1.0, 30.0])
def test_a_law_behind_a_wire_settles_where_the_simulator_puts_it(name, ohms, tmp_path):
    wire = element("wire", "wire", "rail", "load", ohms)
    load = element("load", "load", "load", "zero", 2.4, law=LAWS[name])
    agree(settler_of([BATTERY], wire, load), tmp_path)


@pytest.mark.parametrize("name", LAWS)
def test_a_law_the_wrong_way_round_does_too(name, tmp_path):
    wire = element("wire", "wire", "rail", "load", 0.5)
    agree(
        settler_of([BATTERY], wire, element("load", "load", "zero", "load", 2.4, law=LAWS[name])),
        tmp_path,
    )


def agree(settler, folder, standing=None):
    """Both put every node to the same millivolt."""
    network = settler.prepared.network
    cases = [Case(STATE)]
    found = settler.solution(cases, settler.settle(cases), 0)
    text = netlist(network, STATE, found.branches if standing is None else standing)
    volts = simulated(text, folder)
    assert volts.keys() == found.volts.keys()
    assert {n: volts[n] for n in volts} == pytest.approx(found.volts, abs=1e-3)
    assert found.unsettled == frozenset()
    return found, text


GENERATOR = {"back": math.inf, "kind": "alternator"}


@pytest.mark.parametrize("load_ohms", [10.0, 0.5, 0.2])
def test_an_alternator_gives_what_is_asked_and_no_more_than_its_limit(load_ohms, tmp_path):
    generator = source("alternator", "rail", "zero", 14.2, 0.012, limit_a=40.0, **GENERATOR)
    found, text = agree(
        settler_of(
            [source("battery", "post", "zero", 12.7, 0.008, back=0.3), generator],
            element("cable", "wire", "rail", "post", 0.005),
            element("load", "load", "rail", "zero", load_ohms),
        ),
        tmp_path,
    )
    assert found.alternator_a == pytest.approx(40.0, abs=1e-3) or load_ohms > 0.4
    assert ".nodeset v(n" in text and ")=14.2" in text


def test_a_generator_that_stands_has_no_place_to_begin_at(tmp_path):
    generator = source("alternator", "rail", "zero", 14.2, 0.012, limit_a=0.0, **GENERATOR)
    _, text = agree(
        settler_of([BATTERY, generator], element("load", "load", "rail", "zero", 5.0)), tmp_path
    )
    assert ".nodeset" not in text


def test_with_the_plus_on_the_body_generators_begin_below_it(tmp_path):
    battery = source("battery", "zero", "minus", 6.3, 0.02)
    dynamo = source("dynamo", "zero", "minus", 7.2, 0.1, limit_a=12.0, back=math.inf, kind="dynamo")
    found, text = agree(
        settler_of([battery, dynamo], element("lamp", "load", "zero", "minus", 2.0)), tmp_path
    )
    assert found.volts["minus"] < -6
    assert ")=-7.2" in text


@pytest.mark.parametrize("rail_v", [24.0, 15.0])
def test_a_converter_takes_what_it_gives_and_sleeps_below_what_it_works_from(rail_v, tmp_path):
    converter = source(
        "converter",
        "out",
        "zero",
        12.0,
        0.05,
        back=math.inf,
        limit_a=20.0,
        kind="converter",
        fed_by=("rail", "zero"),
        efficiency=0.9,
        works_from_v=18.0,
    )
    found, _ = agree(
        settler_of(
            [source("battery", "rail", "zero", rail_v, 0.5), converter],
            element("load", "load", "out", "zero", 3.0),
        ),
        tmp_path,
    )
    assert (found.volts["out"] > 11) == (rail_v > 18)


@pytest.mark.parametrize(("makes_v", "joined"), [(7.0, True), (6.0, False)])
def test_a_cut_out_joins_in_the_simulator_what_it_joins_here(makes_v, joined, tmp_path):
    found, _ = agree(
        settler_of(
            [
                source("battery", "rail", "zero", 6.3, 0.1),
                source("dynamo", "out", "zero", makes_v, 0.2, limit_a=20.0, kind="dynamo"),
            ],
            element("field", "load", "out", "zero", 5.0),
            CUT_OUT,
        ),
        tmp_path,
    )
    assert ("cut-out" in found.branches) is joined


@pytest.mark.parametrize("coil_ohms", [1.0, 90.0])
@pytest.mark.parametrize("inverted", [False, True])
@pytest.mark.parametrize("either_way", [False, True])
def test_relays_stand_as_in_the_simulator(coil_ohms, inverted, either_way, tmp_path):
    """Fed well and starved, made and broken, and the coil the other way round."""
    ends = ("zero", "86") if either_way else ("86", "zero")
    found, _ = agree(
        settler_of(
            [BATTERY],
            element("feed", "wire", "rail", "86", coil_ohms),
            element("coil", "load", "86", "zero", 90.0),
            relay("K1", ends, inverted=inverted, either_way=either_way),
            element("lamp", "load", "out", "zero", 12.0),
        ),
        tmp_path,
    )
    assert ("K1" in found.branches) is ((coil_ohms == 1.0) != inverted)


def test_a_contact_with_one_limit_and_a_supply_of_a_controller_that_a_voltage_switches(tmp_path):
    found, _ = agree(
        settler_of(
            [BATTERY],
            relay("driver", ("rail", "zero"), control_v=6.0, holds_v=None),
            element("lamp", "load", "out", "zero", 12.0),
            element(
                "5 V", "source", "five", "zero", 0.5, 5.0, control=("rail", "zero"), control_v=6.0
            ),
            element("sensor", "load", "five", "zero", 100.0),
        ),
        tmp_path,
    )
    assert found.volts["five"] == pytest.approx(5 * 100 / 100.5, abs=1e-3)


@pytest.mark.parametrize("name", ["a lamp that glows", "a pump that runs"])
def test_a_load_that_a_driver_pulses_takes_its_mean(name, tmp_path):
    """On for a third of the time: the simulator has the resistance that stands for the driver, and
    takes the load's own law for its volts while it is on."""
    found, text = agree(
        settler_of(
            [BATTERY],
            element(
                "driver",
                "contact",
                "rail",
                "out",
                0.05,
                control=("rail", "zero"),
                control_v=6.0,
                duty=1 / 3,
            ),
            element("load", "load", "out", "zero", 2.4, law=LAWS[name], pulsed_by="driver"),
        ),
        tmp_path,
    )
    assert "* stands for 0.05 ohm that conducts for 0.3333 of the time" in text
    assert found.volts["out"] == pytest.approx(12.6 / 3, rel=0.1)


def test_a_pulsed_branch_that_did_not_stand_has_its_ohms_by_its_duty():
    net = network(element("valve", "load", "plus", "zero", 4.0, duty=0.25))
    text = netlist(net, STATE, {})
    assert " n1 0 16\n" in text
    assert "* stands for 4 ohm that conducts for 0.25 of the time" in text


def test_every_node_is_named_printed_and_leaks_and_the_reference_is_ground():
    net = network(
        element("a wire", "wire", "plus", "b", 1.5), element("ü", "load", "b", "zero", 2.0)
    )
    assert numbers_of(net) == {"zero": "0", "plus": "n1", "b": "n2"}
    lines = netlist(net, STATE, {}).splitlines()
    assert lines[0] == "* operating point of the state on"
    assert {"* n1 = plus", "* n2 = b", "* 0 = zero", "* a wire", "* _"} <= {*lines}
    assert {"Rleakn1 n1 0 1e+09", "Rleakn2 n2 0 1e+09"} <= {*lines}
    assert "print v(n1)" in lines and "print v(n2)" in lines and "print v(0)" not in lines
    assert "set numdgt=12" in lines
    assert lines[-1] == ".end"
