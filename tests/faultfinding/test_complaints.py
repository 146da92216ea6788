"""What a driver says leads to the right symptoms: by signs made by hand, and on broken cars."""

from __future__ import annotations

import json

import pytest

from buildbook.electrical.network import inside
from buildbook.export.faults import said_rows
from buildbook.faultfinding.complaints import shows_sign
from buildbook.faultfinding.model import Blown
from buildbook.vehicle.model import Sign
from tests.faultfinding.broken_car import Car, follow
from tests.faultfinding.simulated_mechanic import LET_GO_V

WORKS_IN = {
    "coil": frozenset({"cranking", "idle"}),
    "lamp": frozenset({"night"}),
    "starter": frozenset({"cranking"}),
    "probe": frozenset({"idle"}),
}


def sign(states=("cranking", "idle", "night"), only_in=False, blows=(), **things) -> Sign:
    keys = ("dead", "weak", "stuck_on", "reads_wrong", "works")
    given = {key: tuple((load,) for load in things.get(key, ())) for key in keys}
    return Sign(**given, blows=frozenset(blows), states=frozenset(states), only_in=only_in)


def shows(asked: Sign, seen: dict[tuple[str, str], str], blown=()) -> bool:
    return shows_sign(asked, seen, blown, WORKS_IN)


DEAD_COIL = {("coil", "cranking"): "dead", ("coil", "idle"): "dead"}


def test_dead_means_dead_wherever_it_should_work():
    assert shows(sign(dead=["coil"]), DEAD_COIL)
    assert not shows(sign(dead=["coil"]), {("coil", "idle"): "dead"})
    assert shows(sign(dead=["coil"], states=["idle"], only_in=True), {("coil", "idle"): "dead"})
    assert not shows(sign(dead=["coil"]), {key: "weak" for key in DEAD_COIL})


def test_what_works_must_not_be_upset_in_those_states():
    asked = sign(dead=["coil"], works=["starter"], states=["cranking"], only_in=True)
    assert shows(asked, DEAD_COIL)
    assert not shows(asked, DEAD_COIL | {("starter", "cranking"): "weak"})


def test_a_dead_sensor_is_seen_as_a_wrong_reading():
    assert shows(sign(dead=["probe"]), {("probe", "idle"): "wrong reading"})
    assert shows(sign(reads_wrong=["probe"]), {("probe", "idle"): "wrong reading"})


def test_stuck_on_in_any_state_unless_states_are_named():
    seen = {("lamp", "idle"): "stuck on"}
    assert shows(sign(stuck_on=["lamp"]), seen)
    assert not shows(sign(stuck_on=["lamp"], states=["idle", "cranking"], only_in=True), seen)


def test_a_fuse_blows_in_the_states_named_and_no_other():
    asked = sign(blows=["F7"], states=["night"], only_in=True)
    assert shows(asked, {}, [Blown("F7", "night", 40.0)])
    assert not shows(asked, {}, [Blown("F7", s, 40.0) for s in ("night", "idle")])
    assert not shows(asked, {}, [Blown(f, "night", 40.0) for f in ("F7", "F8")])
    assert shows(sign(blows=["F7"]), {}, [Blown("F7", s, 40.0) for s in ("night", "idle")])


@pytest.fixture(scope="module")
def said(lapwing):
    return {row["name"]: row for row in json.loads(json.dumps(said_rows(lapwing)))}


def open_fuses(row) -> set[str]:
    leads = [lead for look in row["looks"] for lead in look["leads"]]
    found = {f for lead in leads for f in lead["suspects"] if f.startswith("open fuse:")}
    return {f.removeprefix("open fuse:") for f in found}


def test_cranks_but_does_not_fire_asks_for_what_feeds_coils_injectors_and_pump(said):
    # Off the wiring by hand: F24 feeds the coils, F25 the injectors, F4 the pump, F2 the bus
    # of the first two; F13 feeds the starter, which turns.
    found = open_fuses(said["cranks but does not fire"])
    assert {"F24", "F25", "F4", "F2"} <= found
    assert not {"F13", "MF2", "F1"} & found


def test_everything_dead_after_the_isolator_asks_for_the_main_fuse_and_the_isolator(said):
    row = said["everything dead after the isolator"]
    suspects = {f for look in row["looks"] for x in look["leads"] for f in x["suspects"]}
    assert {"open fuse:MF2", "open battery", "open contact:isolator.1-2"} <= suspects
    assert not [f for f in suspects if f.startswith("open fuse:F")]


def test_shares_fall_and_add_up_with_what_is_less_likely(said):
    for row in said.values():
        for look in row["looks"]:
            shares = [lead["share"] for lead in look["leads"]]
            assert shares == sorted(shares, reverse=True)
            assert sum(shares) <= 1.001
            if not look["less_likely"]:
                assert sum(shares) == pytest.approx(1, abs=0.001)


def test_one_symptom_alone_takes_the_authors_words(lapwing):
    called = {s.called: s for s in lapwing.faultfinding.symptoms if s.called}
    symptom = called["blows the brake lamp fuse when braking"]
    assert symptom.blows == ("F11",) and symptom.blows_in == ("paddock check",)


class CarWithPickups(Car):
    """The car with one part broken, whose pickups let go of their wires without their supply."""

    def _come_to_rest(self, state):
        self.let_go = frozenset()
        volts = super()._come_to_rest(state)
        self.let_go = frozenset(self._unfed(volts))
        return super()._come_to_rest(state) if self.let_go else volts

    def _unfed(self, volts):
        """Branches by which pickups without their supply would hold their wires."""
        for device in self.result.vehicle.devices.values():
            for signal in device.signals:
                if signal.written.hall is None:
                    continue
                supply, back = (
                    volts[inside(pin)] for pin in (signal.supply_pin, signal.return_pin)
                )
                feeds = {f"load:{x.id}" for x in device.loads if x.from_pin == signal.supply_pin}
                dead = self.fault.mode == "open" and self.fault.branch in feeds
                if dead or supply - back < LET_GO_V:
                    pair = {signal.pin, signal.return_pin}
                    yield from (
                        f"load:{x.id}" for x in device.loads if {x.from_pin, x.to_pin} == pair
                    )


def test_the_readings_lead_a_mechanic_to_the_broken_parts_symptom(lapwing, said):
    tried = 0
    for row in said.values():
        for look in row["looks"]:
            steps = {"steps": look["steps"]}
            steps["suspects"] = [f for lead in look["leads"] for f in lead["suspects"]]
            for lead in look["leads"]:
                fault = lapwing.faultfinding.faults[lead["suspects"][0]]
                left, made = follow(steps, CarWithPickups(lapwing, fault))
                assert fault.id in left and made <= 8, (row["name"], fault.id)
                tried += 1
    assert tried >= 20


def test_what_is_not_electrical_stands_likeliest_first(said):
    causes = said["cranks but does not fire"]["not_electrical"]
    assert causes[0]["what"] == "No fuel in the tank" and causes[0]["check"]
    weights = [cause["weight"] for cause in causes]
    assert weights == sorted(weights, reverse=True)
