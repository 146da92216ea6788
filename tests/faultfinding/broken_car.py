"""A car built anew with one part broken, and a mechanic who looks up what is seen and measures.

Nothing is taken from the sweep. The mechanic is told what a driver sees in each state and which
fuses blow, looks that up in the export, and follows its measurements with a meter on the broken car
until no measurement is left.
"""

from __future__ import annotations

import math
from dataclasses import replace

import networkx as nx
import numpy as np

from buildbook.electrical.case import Case
from buildbook.electrical.model import Branch
from buildbook.electrical.network import Element, inside
from buildbook.electrical.settle import Settler
from buildbook.electrical.solve import network_of
from buildbook.faultfinding.breaking import opening_currents
from buildbook.faultfinding.effects import effects_in_state, seen_loads
from tests.faultfinding.sensor_meter import shown_alone

MOST_FUSES = 9
"""A short that takes more fuses with it, one after another, is not tried."""
SMOKE_A = 50.0
"""A short that takes more, with every fuse that opens open, is seen by its smoke."""
DRAINS_A = 1.0
"""A battery that gives more while the engine runs is not charged."""
NO_METER = ("look", "click", "swap", "feel")
"""What is asked of eyes, ears and hands."""
TOUCH_OHM = 0.01
"""Bare copper chafed onto bright steel."""
GLOWS_V, GLOWS_SHARE = 0.5, 0.2
"""A charge lamp starts a generator on this much, and on this share of its volts while all is
well: what a driver would still call lit. Our choice."""


class Car:
    """The car with one part broken."""

    let_go = frozenset()
    """Branches that conduct no more because what works them is without volts."""

    def __init__(self, result, fault=None):
        self.result, self.fault = result, fault
        whole = network_of(result.vehicle, result.harness, result.solved)
        elements = [self._as_broken(e) for e in whole.elements if not self._gone(e)]
        if fault is not None and fault.mode == "short":
            elements.append(self._touch(whole))
        self.network = replace(whole, elements=tuple(elements))
        self.settler = Settler(self.network)
        self.red_lead = red_lead_of(result)
        self.blown, self.volts, self.charging_a = set(), {}, {}
        generators = result.vehicle.supply.generators
        running = [s for s in result.vehicle.states if any(g.limit_a[s] > 0 for g in generators)]
        at_rest = [s for s in result.vehicle.states if s not in running]
        self.unstarted = ()
        for state in at_rest:
            self.volts[state] = self._come_to_rest(state)
        self.unstarted = tuple(g for g in generators if self._lamp_stays_dark(g, at_rest))
        for state in running:
            self.volts[state] = self._come_to_rest(state)

    def _lamp_stays_dark(self, generator, at_rest):
        """Whether the lamp that starts a generator never glows before the engine runs."""
        if self.fault is None or not generator.excited_pin:
            return False
        vehicle, whole = self.result.vehicle, well(self.result)
        on_circuit = [c for c in vehicle.circuits.values() if generator.excited_pin in _ids(c.pins)]
        wired = {pin for circuit in on_circuit for pin in _ids(circuit.pins)}
        own = {*_ids(vehicle.devices[generator.excited_pin.partition(".")[0]].pins)}
        lamps = [
            load
            for device in vehicle.devices.values()
            for load in device.loads
            if {load.from_pin, load.to_pin} & (wired - own)
        ]
        shown = [(x, s) for x in lamps for s in at_rest if whole.across(x, s) >= GLOWS_V]
        return bool(shown) and not any(
            self.across(lamp, state) >= GLOWS_SHARE * whole.across(lamp, state)
            for lamp, state in shown
            if (self.fault.branch, self.fault.mode) != (f"load:{lamp.id}", "open")
        )

    def across(self, load, state):
        """Volts across a load."""
        plus, minus = (self.volts[state].get(inside(p), 0.0) for p in (load.from_pin, load.to_pin))
        return abs(plus - minus)

    def _gone(self, element):
        fault = self.fault
        if fault is None or fault.mode != "open":
            return False
        relay = fault.branch.removeprefix("load:").removesuffix(".coil")
        lets_go = fault.branch.endswith(".coil") and not element.inverted
        works = element.branch.id.startswith(f"contact:{relay}.")
        return element.branch.id == fault.branch or (lets_go and works)

    def _as_broken(self, element):
        fault, branch = self.fault, element.branch
        if fault is not None and fault.kind == "alternator":
            dead = next(s for s in self.result.vehicle.supply.sources if s.id == fault.branch)
            own = f"contact:{dead.plus_pin.partition('.')[0]}."
            warns = branch.kind == "contact" and branch.id.startswith(own)
            return (
                replace(element, states=frozenset(self.result.vehicle.states)) if warns else element
            )
        if fault is None or branch.id != fault.branch:
            return element
        if fault.mode == "resistive":
            return replace(element, branch=replace(branch, ohms=fault.ohms))
        if fault.mode == "stuck":
            states = frozenset(self.result.vehicle.states)
            return replace(element, states=states, control=None, duty=1.0)
        return element

    def _warning_contacts(self):
        """By which a generator that gives nothing earths its lamp."""
        for generator in self.unstarted:
            device = generator.excited_pin.partition(".")[0]
            for contact in self.result.vehicle.devices[device].contacts:
                if generator.excited_pin in (contact.from_pin, contact.to_pin):
                    yield f"contact:{contact.id}"

    def _touch(self, network):
        wire = self.result.harness.wires[self.fault.branch.partition(":")[2]]
        body = "chassis" if "chassis" in network.nodes else network.reference
        branch = Branch("touch", "wire", "touch", wire.a.node, body, TOUCH_OHM)
        return Element(branch, frozenset(self.result.vehicle.states))

    def _come_to_rest(self, state):
        """Fuses open one after another, the one furthest over its limit first."""
        sources = {s.id for s in self.result.vehicle.supply.sources}
        out = sources & {self.fault.branch if self.fault else ""} | self.let_go
        out |= {generator.id for generator in self.unstarted}
        earthed = frozenset(self._warning_contacts())
        limits = opening_currents(self.result.vehicle, self.result.sizing)
        for _ in range(MOST_FUSES):
            case = [Case(state, opened=frozenset(out), closed=earthed)]
            solution = self.settler.solution(case, self.settler.settle(case), 0)
            amps = {f: abs(solution.current_a.get(f"fuse:{f}", 0.0)) for f in limits}
            worst = max(limits, key=lambda f: amps[f] / limits[f], default="")
            if not worst or amps[worst] < limits[worst]:
                if abs(solution.current_a.get("touch", 0.0)) > SMOKE_A:
                    self.blown.add(("", state))
                self.charging_a[state] = solution.charging_a
                return solution.volts
            out.add(f"fuse:{worst}")
            self.blown.add((worst, state))
        raise AssertionError(f"{self.fault.id} blows fuse after fuse")

    def reads(self, step):
        if step["measure"] in NO_METER:
            return float(getattr(self, f"_{step['measure']}")(step))
        if step["measure"] == "ohms":
            return math.log10(max(self._ohms_to_body(step["node"]), 1e-3))
        if step["measure"].startswith("bus ohms"):
            unplugged = step["measure"].endswith("unplugged")
            return math.log10(max(self._ohms_across(step["node"], step["other"], unplugged), 1e-3))
        if step.get("other") == "alternating":
            return abs(self.volts[step["state"]].get(step["node"], 0.0))
        volts = self.volts[step["state"]]
        shown = shown_alone(self, volts).get(step["node"], volts.get(step["node"], 0.0))
        return self.red_lead * shown

    def volts_in(self, state):
        return self.volts[state]

    def _pulls(self, relay, state):
        """Whether the relay's coil has what pulls it in, and is whole."""
        contact = next(c for c in self.result.vehicle.devices[relay].contacts if c.control)
        volts = [self.volts_in(state).get(inside(pin), 0.0) for pin in contact.control]
        whole = self.fault.branch != f"load:{relay}.coil" or self.fault.mode != "open"
        return whole and abs(volts[0] - volts[1]) >= contact.control_v

    def _click(self, step):
        return self._pulls(step["node"], step["state"]) and not self._pulls(
            step["node"], step["other"]
        )

    def _swap(self, step):
        """What is wrong inside a fuse or a relay is gone with it; its foot stays."""
        kind, _, ref = self.fault.branch.partition(":")
        return kind in ("fuse", "contact", "load") and ref.partition(".")[0] == step["node"]

    def _feel(self, step):
        """A poor joint that takes volts warms what it is in."""
        device = self.fault.branch.partition(":")[2].partition(".")[0]
        return self.fault.mode == "resistive" and device in step["node"].split(",")

    def _look(self, step):
        state, healthy = step["state"], well(self.result)
        upset = {(load, where) for load, where, _ in seen(self, healthy)}
        return (step["node"], state) not in upset

    def _ohms_across(self, one, other, unplugged):
        """Battery off, everything plugged in but, where asked, the plug that is probed."""
        graph = nx.Graph()
        for branch in (e.branch for e in self.network.elements):
            apart = unplugged and branch.id in (f"pin:{one}", f"pin:{other}")
            if branch.kind in ("wire", "pin", "load") and not apart:
                graph.add_edge(branch.a, branch.b, ohms=branch.ohms)
        if not {one, other} <= graph.nodes or not nx.has_path(graph, one, other):
            return 1e7
        near = graph.subgraph(nx.node_connected_component(graph, one)).copy()
        # Only a wire of the pair that touches the body gives it a way there with the power off.
        assert "chassis" not in near or (self.fault and self.fault.mode == "short")
        return nx.resistance_distance(near, one, other, "ohms", invert_weight=True)

    def _ohms_to_body(self, node):
        """Battery off, fuses and relays out, every plug undone: what is bolted stays."""
        pins, graph = self.result.vehicle.pins, nx.Graph()

        def bolted(name):
            return name == "chassis" or ((pin := pins.get(name.removesuffix("~"))) and pin.stud)

        for branch in (e.branch for e in self.network.elements):
            joins = branch.kind in ("wire", "bus", "ground")
            if joins or (branch.kind in ("pin", "load") and bolted(branch.a) and bolted(branch.b)):
                graph.add_edge(branch.a, branch.b, ohms=branch.ohms)
        if node not in graph or "chassis" not in graph or not nx.has_path(graph, node, "chassis"):
            return 1e7
        return nx.shortest_path_length(graph, node, "chassis", "ohms")


def red_lead_of(result):
    """As the book says: one lead on the earthed post, the red one where that is the plus."""
    return -1 if result.vehicle.supply.earth == "positive" else 1


def _ids(pins):
    return [pin.id for pin in pins]


def well(result):
    """The car with nothing broken, made once."""
    if id(result) not in WELL:
        WELL[id(result)] = result, Car(result)
    return WELL[id(result)][1]


WELL = {}
"""Cars with nothing broken, by their results."""


def seen(car, healthy):
    """What a driver sees: loads dead, weak, stuck on or read wrong, by state."""
    nodes, reference = car.network.nodes, car.network.reference
    loads = seen_loads(car.result.vehicle, nodes, reference)
    found = []
    for state in car.result.vehicle.states:
        volts, normal = (
            np.array([*(c.volts[state][node] for node in nodes), 0.0]) for c in (car, healthy)
        )
        (effects,) = effects_in_state(state, loads, normal, volts[None, :], [car.fault])
        found += [(e.load, e.state, e.effect) for e in effects]
    return frozenset(found)


def drained(car, healthy):
    """States in which the battery empties with the engine running, and should be charged."""
    states = car.result.vehicle.states
    return {s for s in states if healthy.charging_a[s] > 0 and car.charging_a[s] <= -DRAINS_A}


def looked_up(rows, car, healthy):
    """The symptom that the driver tells of: fuses that blow, else what is seen."""
    if car.blown:
        fuses = {f for f, _ in car.blown}
        told = [r for r in rows if {*r["blows"]} == fuses - {""} and r["burns"] == ("" in fuses)]
        return next(r for r in told if {*r["blows_in"]} == {s for _, s in car.blown})
    what, empties = seen(car, healthy), drained(car, healthy)
    told = [
        r
        for r in rows
        if not (r["blows"] or r["burns"] or r["hot"]) and (r["seen"] or r["not_charged"])
        if frozenset(map(tuple, r["seen"])) == what
        if {c["state"] for c in r["not_charged"]} == empties
    ]
    assert len(told) <= 1, [row["id"] for row in told]
    if told:
        return told[0]
    poor = car.fault.mode == "resistive" and not (what or empties)
    return next((r for r in rows if _bare(r) and r["hot"] == poor), None)


def _bare(row):
    """A symptom without a signature of its own: a joint that is only hot, a ground that is odd."""
    return not (row["seen"] or row["blows"] or row["not_charged"])


def follow(row, car):
    """Suspects left and measurements made."""
    left, made = set(row["suspects"]), 0
    for step in row["steps"]:
        low, high = set(step["low_suspects"]), set(step["high_suspects"])
        if low | high != left:
            continue
        sides = (step["low_range"], step["high_range"])
        if "ohms" in step["measure"]:
            sides = tuple([math.log10(max(end, 1e-3)) for end in side] for side in sides)
        shown = car.reads(step)
        away = [max(0.0, least - shown, shown - most) for least, most in sides]
        left = low if away[0] <= away[1] else high
        made += 1
    return left, made
