"""Contacts that do not come to rest: which device, why, and what to do."""

from __future__ import annotations

from dataclasses import replace

import pytest

from buildbook.checks.rules import contact_unsettled
from buildbook.pipeline import look_over
from tests.checks import minimal as m
from tests.checks.bench import about
from tests.checks.rules.test_completeness import BATTERY, LAMP
from tests.conftest import TESTS


def relay(id_: str, *throws: str):
    """A relay with a contact from 30 to each throw; 87a breaks."""
    contacts = tuple(
        m.switch(
            f"{id_}.30-{throw}",
            f"{id_}.30",
            f"{id_}.{throw}",
            kind="relay",
            control=(f"{id_}.86", f"{id_}.85"),
            control_v=7.2,
            inverted=throw == "87a",
        )
        for throw in throws
    )
    return m.device(id_, "relay", "30 85 86 87 87a", contacts=contacts)


def restless(devices, circuits, *branches, states=("on",)):
    """The devices joined by wires, with these branches at no rest in the states."""
    vehicle = m.vehicle((BATTERY, *devices), circuits)
    wires = tuple(
        m.wire(f"{101 + n}", name, m.end(a), m.end(b))
        for n, (name, (a, b)) in enumerate(circuits.items())
    )
    solutions = [replace(m.solution(s), unsettled=frozenset(branches)) for s in states]
    return m.assessed(vehicle, m.harness(wires), m.solved(*solutions))


OWN_87A = {
    "feed": ("battery.+", "K1.30"),
    "coil": ("K1.87a", "K1.86"),
    "back": ("K1.85", "battery.-"),
}


def test_coil_on_its_own_break_contact_buzzes():
    assessed = restless((relay("K1", "87a"),), OWN_87A, "contact:K1.30-87a")
    (found,) = contact_unsettled.check(assessed)
    assert (found.about, found.severity) == ("K1", "error")
    assert "K1 buzzes in 'on': its coil hangs on its own break contact 30-87a" in found.text
    assert "85 and 86" in found.remedy and "flasher" in found.remedy


def test_contacts_that_come_to_rest_are_silent():
    assert about(contact_unsettled, restless((relay("K1", "87a"),), OWN_87A)) == []


def test_all_states_in_which_it_buzzes_stand_in_one_finding():
    assessed = restless(
        (relay("K1", "87a"),), OWN_87A, "contact:K1.30-87a", states=("on", "cranking")
    )
    (found,) = contact_unsettled.check(assessed)
    assert "in 'on' and 'cranking'" in found.text


def test_make_contact_whose_load_starves_its_coil_is_told_so():
    circuits = {
        "feed": ("battery.+", "K1.30"),
        "coil": ("battery.+", "K1.86"),
        "back": ("K1.85", "battery.-"),
        "lamp": ("K1.87", "lamp.1"),
    }
    assessed = restless((relay("K1", "87"), LAMP), circuits, "contact:K1.30-87")
    (found,) = contact_unsettled.check(assessed)
    assert "what its contact 30-87 switches takes away the volts" in found.text
    assert "break contact" not in found.text


def test_relays_in_a_ring_name_each_other():
    """K2 is worked by K1's make contact, K1 by K2's break contact."""
    circuits = {
        "feed": ("battery.+", "K1.30"),
        "other feed": ("battery.+", "K2.30"),
        "on": ("K1.87", "K2.86"),
        "off": ("K2.87a", "K1.86"),
        "back": ("K1.85", "battery.-"),
        "other back": ("K2.85", "battery.-"),
    }
    devices = (relay("K1", "87"), relay("K2", "87a"))
    found = list(
        contact_unsettled.check(
            restless(devices, circuits, "contact:K1.30-87", "contact:K2.30-87a")
        )
    )
    assert [f.about for f in found] == ["K1", "K2"]
    assert "fed through K2, which buzzes as well" in found[0].text
    assert "fed through K1, which buzzes as well" in found[1].text


def test_two_relays_that_buzz_apart_are_each_told_their_own_reason():
    circuits = {
        **OWN_87A,
        "second feed": ("battery.+", "K2.30"),
        "second coil": ("K2.87a", "K2.86"),
        "second back": ("K2.85", "battery.-"),
    }
    devices = (relay("K1", "87a"), relay("K2", "87a"))
    found = contact_unsettled.check(
        restless(devices, circuits, "contact:K1.30-87a", "contact:K2.30-87a")
    )
    assert [("own break contact" in f.text, f.about) for f in found] == [(True, "K1"), (True, "K2")]


def test_supply_that_does_not_come_to_rest_is_found_at_the_battery():
    assessed = restless((), {}, "battery", "alternator")
    assert about(contact_unsettled, assessed) == ["battery"]


DESCRIBED = """
  K1:
    kind: relay
    name: Blinker
    at: battery-box
    system: lighting
    pins: {30: in, 85: coil, 86: coil, 87a: out at rest}
"""


def trailer_with_relay(feed: str, lamp: str) -> str:
    """The description of the trailer with K1 between fuse and lamp, joined as these say."""
    text = (TESTS / "vehicles" / "two-wire" / "vehicle.yaml").read_text(encoding="utf-8")
    text = text.replace("\ndevices:", f"\ndevices:{DESCRIBED}")
    text = text.replace("[F1.out, lamp.1]", f"[{lamp}]").replace(
        "\ncircuits:",
        f"\ncircuits:\n  relay feed: {{join: [{feed}], system: lighting}}"
        "\n  relay ground: {join: [K1.85, G1], system: lighting}",
    )
    return text


@pytest.mark.parametrize(
    ("feed", "lamp", "fires"),
    [
        ("F1.out, K1.30", "K1.87a, lamp.1, K1.86", ["K1"]),
        ("F1.out, K1.30, K1.86", "K1.87a, lamp.1", []),
    ],
)
def test_trailer_whose_relay_is_worked_through_its_own_87a(tmp_path, feed, lamp, fires):
    """Found from the description on, with the volts as they are solved."""
    text = trailer_with_relay(feed, lamp)
    (tmp_path / "vehicle.yaml").write_text(text, encoding="utf-8")
    checked, problems = look_over(tmp_path)
    assert not problems and checked is not None
    assert [f.about for f in checked.findings if f.rule == contact_unsettled.RULE] == fires
    of_no_voltage = {"load-never-works", "relay-idle"} if fires else set()
    assert not [f for f in checked.findings if "K1" in f.about and f.rule in of_no_voltage]
