"""Several sources, cut-outs, relays that hold on, lamps and transmitters: networks by hand."""

import math

import pytest

from buildbook.electrical.case import Case
from buildbook.electrical.laws.filament import filament
from buildbook.electrical.laws.transmitter import Transmitter
from buildbook.electrical.network import Network
from buildbook.electrical.settle import Settler
from buildbook.electrical.sources import Source
from tests.electrical.networks import STATE, element, network

CUT_OUT = element(
    "cut-out",
    "contact",
    "out",
    "rail",
    0.05,
    control=("out", "zero"),
    control_v=6.5,
    one_way=True,
)


def source(name, plus, minus, volts, ohms, *, back=None, limit_a=math.inf, **more):
    kind = more.pop("kind", "battery")
    back = ohms if back is None else back
    held = ({STATE: value} for value in (volts, ohms, back, limit_a))
    return Source(name, kind, plus, minus, *held, **more)


def settler_of(sources, *elements):
    ends = [n for s in sources for n in (s.plus, s.minus, *(s.fed_by or ()))]
    ends += [n for e in elements for n in (e.branch.a, e.branch.b)]
    nodes = tuple(n for n in dict.fromkeys(ends) if n != "zero")
    return Settler(Network(elements, nodes, "zero", tuple(sources), (STATE,)))


def solve(sources, *elements):
    settler = settler_of(sources, *elements)
    cases = [Case(STATE)]
    return settler.solution(cases, settler.settle(cases), 0)


def test_two_batteries_in_series_with_a_tap():
    # 1.02 top = 24 - 0.02 mid and 1.02 mid = 12 - 0.01 top, by Kirchhoff's laws.
    found = solve(
        [source("lower", "mid", "zero", 12.0, 0.1), source("upper", "top", "mid", 12.0, 0.1)],
        element("both", "load", "top", "zero", 10.0),
        element("tapped", "load", "mid", "zero", 5.0),
    )
    assert found.volts["top"] == pytest.approx(23.30321, abs=1e-5)
    assert found.volts["mid"] == pytest.approx(11.53624, abs=1e-5)
    assert found.current_a["upper"] == pytest.approx(-2.330321, abs=1e-5)
    assert found.current_a["lower"] == pytest.approx(-2.330321 - 11.53624 / 5, abs=1e-5)


def test_of_two_batteries_in_parallel_the_fuller_charges_the_other():
    # 0.6 V through 0.02 and 0.3 ohm.
    found = solve(
        [
            source("full", "rail", "zero", 12.8, 0.02),
            source("low", "rail", "zero", 12.2, 0.02, back=0.3),
        ]
    )
    assert found.volts["rail"] == pytest.approx(12.8 - 0.02 * 0.6 / 0.32, abs=1e-6)
    assert found.current_a["low"] == pytest.approx(1.875, abs=1e-5)


@pytest.mark.parametrize(("makes_v", "joined"), [(7.0, True), (6.0, False)])
def test_a_cut_out_joins_a_dynamo_that_makes_its_volts(makes_v, joined):
    found = solve(
        [
            source("battery", "rail", "zero", 6.3, 0.1),
            source("dynamo", "out", "zero", makes_v, 0.2, limit_a=20.0, kind="dynamo"),
        ],
        CUT_OUT,
    )
    assert found.charging_a == pytest.approx(0.7 / 0.35 if joined else 0.0, abs=1e-5)
    assert found.unsettled == frozenset()


@pytest.mark.parametrize(("battery_v", "holds"), [(8.0, True), (8.8, False)])
def test_a_cut_out_opens_once_current_runs_back_through_it(battery_v, holds):
    # 1 V over 0.35 ohm is 2.9 A back and 1.8 V are 5.1: cut-outs open at 3 to 5 A (memory), and
    # as the dynamo alone makes the volts that close them, they then chatter.
    found = solve(
        [
            source("battery", "rail", "zero", battery_v, 0.1),
            source("dynamo", "out", "zero", 7.0, 0.2, limit_a=20.0, kind="dynamo"),
        ],
        CUT_OUT,
    )
    assert found.unsettled == (frozenset() if holds else {"cut-out"})
    assert found.charging_a == pytest.approx((7.0 - battery_v) / 0.35 if holds else 0.0, abs=1e-5)


@pytest.mark.parametrize(("holds_v", "rests"), [(4.0, True), (None, False)])
def test_a_relay_that_pulled_in_holds_on_until_it_drops_out(holds_v, rests):
    # Closed it halves the 12 V at its own coil: above 4 V it stays, without a hold it buzzes.
    found = solve(
        [source("battery", "rail", "zero", 12.0, 1.0)],
        element("coil", "load", "rail", "zero", 1e6),
        element(
            "relay",
            "contact",
            "rail",
            "out",
            1e-6,
            control=("rail", "zero"),
            control_v=8.0,
            holds_v=holds_v,
            either_way=True,
        ),
        element("heavy", "load", "out", "zero", 1.0),
    )
    assert ("relay" in found.branches) is rests
    assert found.volts["rail"] == pytest.approx(6.0 if rests else 12.0, abs=1e-3)
    assert found.unsettled == (frozenset() if rests else {"relay"})


def test_a_lamp_behind_a_bad_joint_takes_what_its_filament_takes():
    # I = 5 A (V / 12 V)^0.55 (Fink and Beaty), and 12 V less what 1 ohm takes of it is V.
    found = solve(
        [source("battery", "rail", "zero", 12.0, 1e-6)],
        element("joint", "wire", "rail", "lamp", 1.0),
        element("lit", "load", "lamp", "zero", 2.4, law=filament(12.0, 5.0)),
    )
    volts, amps = found.volts["lamp"], found.current_a["lit"]
    assert amps == pytest.approx(5 * (volts / 12) ** 0.55, rel=1e-6)
    assert volts == pytest.approx(12 - amps, abs=1e-5)
    assert amps > 12 / (1 + 2.4)


def test_a_lamp_without_its_feed_rests_at_nothing():
    net = network(
        element("feed", "wire", "plus", "lamp", 0.1),
        element("lit", "load", "lamp", "zero", 2.4, law=filament(12.0, 5.0)),
    )
    settler = Settler(net)
    settler.settle([Case(STATE)])
    cases = [Case(STATE, opened=frozenset({"feed"}))]
    found = settler.solution(cases, settler.settle(cases), 0)
    assert found.volts["lamp"] == pytest.approx(0.0, abs=1e-6)
    assert found.unsettled == frozenset()


@pytest.mark.parametrize("volts", [24.0, 12.0])
def test_a_transmitter_keeps_its_current_whatever_its_supply(volts):
    found = solve(
        [source("battery", "rail", "zero", volts, 0.1)],
        element("sensor", "load", "rail", "in", 1000.0, law=Transmitter(0.012, 8.0)),
        element("burden", "load", "in", "zero", 150.0),
    )
    assert found.volts["in"] == pytest.approx(1.8, abs=1e-5)


def test_a_converter_takes_what_it_gives_by_its_efficiency():
    # 12 V through 6 ohm is 24 W; of 24 V that is 24 W / 0.8 / 24 V = 1.25 A.
    found = solve(
        [
            source("battery", "rail", "zero", 24.0, 1e-6),
            source(
                "converter",
                "radio",
                "zero",
                12.0,
                1e-6,
                back=math.inf,
                limit_a=10.0,
                kind="converter",
                fed_by=("rail", "zero"),
                efficiency=0.8,
                works_from_v=18.0,
            ),
        ],
        element("set", "load", "radio", "zero", 6.0),
    )
    assert found.volts["radio"] == pytest.approx(12.0, abs=1e-4)
    assert found.charging_a == pytest.approx(-1.25, abs=1e-4)


def fed_by_a_weak_rail(*elements):
    """A converter of 0.8 that holds 12 V, fed with 24 V through 1 ohm."""
    converter = source(
        "converter",
        "out",
        "zero",
        12.0,
        1e-6,
        back=math.inf,
        kind="converter",
        fed_by=("rail", "zero"),
        efficiency=0.8,
    )
    battery = source("battery", "plus", "zero", 24.0, 1e-6)
    return settler_of([battery, converter], element("feed", "wire", "plus", "rail", 1.0), *elements)


def weak_rail_v(given_w):
    """Volts of its rail r while it gives these watts: r = 24 - P / (0.8 r), solved for r."""
    return (24 + math.sqrt(24**2 - 4 * given_w / 0.8)) / 2


def test_cases_that_share_a_network_take_each_their_own_of_a_converter():
    settler = fed_by_a_weak_rail(
        element("radio", "load", "out", "zero", 6.0),
        element("lights", "load", "out", "zero", 12.0),
    )
    given_w = {"radio": 12.0, "lights": 24.0, "": 36.0}
    cases = [Case(STATE, opened=frozenset({name} - {""})) for name in given_w]
    volts, unsettled = settler.settle_sharing(cases)
    rails = volts[settler.prepared.index["rail"]]
    assert rails == pytest.approx([weak_rail_v(w) for w in given_w.values()], abs=1e-4)
    assert unsettled == [frozenset()] * len(cases)


def test_a_converter_takes_what_pulses_take_of_it():
    # For half of the time 12 V stand across 1 and 5 ohm: 1 A on average.
    settler = fed_by_a_weak_rail(
        element("way", "wire", "out", "dimmed", 1.0),
        element("lights", "load", "dimmed", "zero", 5.0, duty=0.5),
    )
    cases, rail = [Case(STATE)], settler.prepared.index["rail"]
    whole, (sharing, _) = settler.settle(cases), settler.settle_sharing(cases)
    for volts in (whole.volts, sharing):
        assert volts[rail, 0] == pytest.approx(weak_rail_v(12.0), abs=1e-4)
    assert whole.unsettled == [frozenset()]
