"""What protects the wires of a vehicle with its plus on the body, and of one with two batteries."""

import math

from buildbook.checks.rules import feed_unfused, generator_unfused
from buildbook.sizing.load_paths import load_paths
from buildbook.sizing.overcurrent import ANY_A
from buildbook.sizing.protection import protection_of


def protection(result):
    heating = result.solved.heating
    paths = load_paths(result.vehicle, heating)
    return protection_of(result.vehicle, result.harness, paths, heating)


def wires_of(result, *circuits):
    return [w.id for w in result.harness.wires.values() if w.circuit in circuits]


def test_with_the_plus_on_the_body_all_behind_the_fuse_has_it(positive_earth):
    told = protection(positive_earth)
    (battery,) = wires_of(positive_earth, "battery live")
    assert told.unfused_a[battery] == math.inf
    fed = ("main feed", "key output", "dipped beam", "main beam", "brake lamp", "horn to button")
    for wire in wires_of(positive_earth, *fed):
        assert told.fuses[wire] == {"F1"}, wire


def test_with_the_plus_on_the_body_the_weakest_wire_is_one_that_the_fuse_could_burn(positive_earth):
    fuse = positive_earth.sizing.fuses["F1"]
    assert fuse.rating_a <= fuse.weakest_a < ANY_A
    assert fuse.weakest_wire


def test_earth_wires_are_black_and_live_ones_are_not(positive_earth):
    harness = positive_earth.harness
    for wire in wires_of(positive_earth, "battery earth", "headlamp earth", "tail lamp earth"):
        assert harness.wires[wire].colour.startswith(("BK", "BN"))
    for wire in wires_of(positive_earth, "battery live", "main feed", "dynamo output"):
        assert not harness.wires[wire].colour.startswith(("BK", "BN"))


def test_only_the_live_lead_is_called_unfused(positive_earth):
    found = {f.about for f in feed_unfused.check(positive_earth)}
    assert found == set(wires_of(positive_earth, "battery live"))


def test_dynamo_behind_the_main_fuse_is_told(positive_earth):
    (note,) = generator_unfused.check(positive_earth)
    assert (note.about, note.severity) == ("dynamo", "note")


def test_kill_wire_carries_what_the_magneto_gives_for_ever(positive_earth):
    """9 V at 1000 rpm is 28.8 V at 3200 rpm; behind 1.8 ohm that is 16 A."""
    told = protection(positive_earth)
    for wire in wires_of(positive_earth, "stop wire"):
        assert told.unfused_a[wire] == 16.0
        heat = next(x for x in positive_earth.sizing.wires[wire].limits if x.name == "heat")
        assert heat.allowed >= 16.0


def test_link_between_two_batteries_is_a_battery_cable(two_batteries):
    told = protection(two_batteries)
    (link,) = wires_of(two_batteries, "battery link")
    assert told.unfused_a[link] == math.inf
    assert two_batteries.sizing.wires[link].family == "battery"
    assert two_batteries.sizing.wires[link].current_a > 200


def test_tap_has_its_own_fuse_and_the_lamps_theirs(two_batteries):
    told = protection(two_batteries)
    for circuits, fuse in (
        (("tap", "radio feed", "cabin lamp feed"), "FT"),
        (("lamp switch feed", "work lamps"), "F2"),
        (("cab feed",), "FM"),
        (("alternator output",), "FA"),
    ):
        for wire in wires_of(two_batteries, *circuits):
            assert told.fuses[wire] == {fuse}, wire


def test_radio_on_the_tap_has_the_volts_of_the_lower_battery(two_batteries):
    """Between 12.6 V at rest and 14.2 V while it is charged, less what the wires lose."""
    for state in ("ready", "running"):
        solution = two_batteries.solved.meter[state]
        assert 11.9 < abs(solution.across("radio.1~", "radio.2~")) < 14.2
        lamp = abs(solution.across("lower.-~", "upper.+~"))
        assert lamp > 24.0
