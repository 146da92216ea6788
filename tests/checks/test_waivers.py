"""Findings that are waived, and the order in which the rest come."""

from __future__ import annotations

from dataclasses import replace

import pytest

from buildbook.checks.run import run_checks
from buildbook.checks.waivers import names_of
from buildbook.harness.model import Splice
from buildbook.sizing.model import Limit
from tests.checks import minimal as m


def run_with(*waivers):
    sizing = m.sizing(m.rated("F1", 15, 5, weakest_a=11.0))
    vehicle = m.vehicle((m.fuse("F1"),), {"x": ("F1.in", "F1.out")}, waivers=list(waivers))
    vehicle = replace(
        vehicle,
        devices={**vehicle.devices, "battery": m.BATTERY},
        pins={**vehicle.pins, **{p.id: p for p in m.BATTERY.pins}},
    )
    return run_checks(m.assessed(vehicle, sizing_=sizing, unpriced=("tie",)))


def test_waiver_gives_its_reason_to_the_finding_it_names():
    waiver = {"rule": "fuse-above-wire", "about": "F1", "because": "short link"}
    found = {(f.rule, f.about): f.waived for f in run_with(waiver)}
    assert found["fuse-above-wire", "F1"] == "short link"
    assert found["price-missing", "tie"] == ""


def test_waiver_that_matches_nothing_is_a_note():
    waiver = {"rule": "fuse-above-wire", "about": "F9", "because": "typing"}
    assert ("waiver-unused", "F9") in {(f.rule, f.about) for f in run_with(waiver)}


def unused(rule: str, about: str, *more: str) -> str:
    """The remedy of a waiver that matches nothing, where prices are missing for some needs."""
    waiver = {"rule": rule, "about": about, "because": "typing"}
    vehicle = m.vehicle((m.BATTERY,), waivers=[waiver])
    found = run_checks(m.assessed(vehicle, unpriced=more))
    return next(f.remedy for f in found if f.rule == "waiver-unused")


def test_an_unused_waiver_tells_the_names_that_would_match_nearest_first():
    remedy = unused("price-missing", "boot M8", "tie", "boot ring-M6", "boot ring-M8")
    assert remedy.endswith("Of price-missing would match: boot ring-M8, boot ring-M6, tie.")


def test_an_unused_waiver_tells_that_its_rule_finds_nothing():
    remedy = unused("fuse-above-wire", "F9")
    assert remedy == "Take the waiver out: fuse-above-wire finds nothing that is not waived."


def test_an_unused_waiver_of_no_rule_tells_the_nearest_rules():
    assert unused("fuse-above-wires", "F9").startswith(
        "There is no such rule; the nearest are fuse-above-wire, "
    )


@pytest.mark.parametrize("about", ["101", "lamp feed", "F1.out", "lamp.1"])
def test_waiver_of_a_wire_names_its_circuit_or_a_pin_at_its_end(about):
    """The number is the next circuit's as soon as one is put before it."""
    size = Limit("heat", 20.0, 11.0, "A", "2.5 mm2", "here")
    waiver = {"rule": "pinned-too-small", "about": about, "because": "it is short"}
    lamp = m.device("lamp", "lamp", "1 2")
    vehicle = m.vehicle(
        (m.BATTERY, m.fuse("F1"), lamp), {"lamp feed": ("F1.out", "lamp.1")}, waivers=[waiver]
    )
    wire = m.wire("101", "lamp feed", m.end("F1.out"), m.end("lamp.1"))
    sizing = m.sizing(m.sized("101", pinned=True, limits=(size,)), m.rated("F1", 10, 5))
    found = run_checks(m.assessed(vehicle, m.harness((wire,)), sizing_=sizing))
    (mine,) = [f for f in found if f.rule == "pinned-too-small"]
    assert mine.about == "101" and mine.waived == "it is short"
    assert "waiver-unused" not in {f.rule for f in found}


def test_waiver_of_another_pin_leaves_the_finding():
    assert names_of(m.assessed(m.vehicle()), "101") == ("101",)


def test_waiver_of_a_splice_names_its_circuit():
    splice = Splice("S101", "feed", "h", "P", 0.0, ())
    assert names_of(m.assessed(m.vehicle(), m.harness(splices=(splice,))), "S101") == (
        "S101",
        "feed",
    )


def test_waiver_of_a_pass_through_contact_names_its_circuit():
    wire = m.wire("101", "feed", m.end("X1.5/a", "half"), m.end("lamp.1"))
    assessed = m.assessed(m.vehicle(), m.harness((wire,)))
    assert names_of(assessed, "X1.5/a") == ("X1.5/a", "feed")
    assert names_of(assessed, "101") == ("101", "feed", "lamp.1")


def test_waiver_of_a_pin_names_it_by_what_it_is_for_as_the_first_of_those():
    """A third wire at a second pin for the same keeps its own name alone."""
    ecu = m.device("ecu", "controller", "1 2 3")
    uses = ("", "power ground", "power ground")
    pins = tuple(replace(pin, use=use) for pin, use in zip(ecu.pins, uses, strict=True))
    assessed = m.assessed(m.vehicle((replace(ecu, pins=pins),)))
    assert names_of(assessed, "ecu.1") == ("ecu.1",)
    assert names_of(assessed, "ecu.2") == ("ecu.2", "ecu.power ground")
    assert names_of(assessed, "ecu.3") == ("ecu.3",)


def test_errors_come_before_notes():
    severities = [f.severity for f in run_with()]
    assert severities.index("error") < severities.index("note")
