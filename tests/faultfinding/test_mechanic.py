"""A mechanic with the exported data and a meter finds what was broken."""

from __future__ import annotations

import statistics
from dataclasses import replace

import pytest

from buildbook.electrical.network import build_network
from buildbook.electrical.settle import Case, Settler
from buildbook.export import symptom_rows
from buildbook.faultfinding.sweep import network_ohms


class Car:
    """The broken car: built anew, nothing taken from the sweep."""

    def __init__(self, result, fault):
        network = build_network(result.vehicle, result.harness, *network_ohms(result.solved))
        kept = tuple(e for e in network.elements if not self._gone(e, fault))
        if fault.mode == "resistive":
            kept = tuple(self._worse(e, fault) for e in kept)
        self.network, self.fault, self.volts = replace(network, elements=kept), fault, {}

    def _gone(self, element, fault):
        if fault.mode != "open":
            return False
        coil = fault.branch.endswith(".coil")
        relay = fault.branch.removeprefix("load:").removesuffix(".coil")
        worked = element.branch.id.startswith(f"contact:{relay}.") and not element.inverted
        return element.branch.id == fault.branch or (coil and worked)

    def _worse(self, element, fault):
        if element.branch.id != fault.branch:
            return element
        return replace(element, branch=replace(element.branch, ohms=fault.ohms))

    def read(self, node, state):
        if state not in self.volts:
            dead = {"battery", "alternator"} & {self.fault.branch}
            settler = Settler(self.network)
            settled = settler.settle([Case(state, opened=frozenset(dead))])
            self.volts[state] = dict(zip(self.network.nodes, settled.volts[:, 0], strict=True))
        return self.volts[state].get(node, 0.0)


def follow(row, read):
    """Suspects left and measurements made."""
    left, made = set(row["suspects"]), 0
    for step in row["steps"]:
        low, high = set(step["low_suspects"]), set(step["high_suspects"])
        if low | high == left and step["measure"] == "volts":
            volts = read(step["node"], step["state"])
            left = low if abs(volts - step["low"]) <= abs(volts - step["high"]) else high
            made += 1
    return left, made


def check(result, mode, every=1):
    rows = {s: row for row in symptom_rows(result) for s in row["suspects"]}
    faults = [f for f in result.faultfinding.faults.values() if f.mode == mode and f.id in rows]
    lost, counts = [], []
    for fault in faults[::every]:
        left, made = follow(rows[fault.id], Car(result, fault).read)
        counts.append(made)
        if fault.id not in left:
            lost.append(fault.id)
    return lost, counts


@pytest.mark.parametrize(("name", "every"), [("motorcycle", 3), ("lapwing", 20)])
def test_single_opens_are_found_in_few_measurements(name, every, request):
    lost, counts = check(request.getfixturevalue(name), "open", every)
    assert not lost
    assert statistics.median(counts) <= 3 and max(counts) <= 8


def test_bad_joints_are_found(motorcycle):
    lost, counts = check(motorcycle, "resistive", 2)
    assert len(lost) <= 0.05 * len(counts)


def test_silent_faults_have_a_reason_and_a_test(motorcycle):
    finding = motorcycle.faultfinding
    assert [s.fault for s in finding.unseen] == list(finding.silent)
    assert all(s.why and s.test for s in finding.unseen)
