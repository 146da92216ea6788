"""Fuses and outputs that trip in one state: which of them too much flows through."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from buildbook.electrical.case import Case
from buildbook.electrical.faults import SHORT_OHMS, StateNetwork
from buildbook.faultfinding.faults import short_bridge
from buildbook.faultfinding.model import Fault


@dataclass(frozen=True)
class Openers:
    """What opens by itself among what conducts in a state while all is well; arrays a row each."""

    place: Mapping[str, int]
    branch_of: Mapping[str, str]
    names: tuple[str, ...]
    ends: np.ndarray
    ohms: np.ndarray
    """While on."""
    opens_at_a: np.ndarray
    control: np.ndarray
    """Ends of the volts that keep an output on, and …"""
    control_v: np.ndarray
    """… how many they must be; none for a fuse."""
    pulsed: frozenset[str]
    """Branch ids of the outputs that pulse."""

    @classmethod
    def of(cls, state: StateNetwork, opens_at_a: Mapping[str, float]) -> Openers:
        place = {node: i for i, node in enumerate(state.nodes)}
        healthy = state.healthy.branches
        branch_of = {
            name: branch
            for name in opens_at_a
            for branch in (f"fuse:{name}", f"contact:{name}")
            if branch in healthy
        }
        branches = [healthy[id_] for id_ in branch_of.values()]
        controls = [state.control_of(id_) for id_ in branch_of.values()]
        return cls(
            place,
            branch_of,
            tuple(branch_of),
            _places(place, [(b.a, b.b) for b in branches]),
            np.array([b.on_ohms for b in branches]),
            np.array([opens_at_a[name] for name in branch_of]),
            _places(place, [control[0] for control in controls]),
            np.array([control[1] for control in controls]),
            frozenset(b.id for b in branches if b.while_on_ohms is not None),
        )

    def furthest_over(
        self, volts: np.ndarray, while_on: np.ndarray, case: Case
    ) -> tuple[str, float] | None:
        """The one with the largest multiple of its opening current, and its amps.

        `volts` are the means, `while_on` those while every pulsed output conducts, nodes both.
        """
        if not self.names:
            return None
        is_pulsed = np.array([self.branch_of[name] in self.pulsed for name in self.names])
        mean_a, on_a = (self._amps(np.append(v, 0.0)) for v in (volts, while_on))
        amps = np.where(is_pulsed, on_a, mean_a)
        is_out = np.array([self.branch_of[name] in case.opened for name in self.names])
        share = np.where(is_out, 0.0, amps / self.opens_at_a)
        worst = int(np.argmax(share))
        return (self.names[worst], float(amps[worst])) if share[worst] >= 1 else None

    def _amps(self, volts: np.ndarray) -> np.ndarray:
        """Through each that is on; `volts` end with the reference's zero."""
        through = np.abs(volts[self.ends[:, 0]] - volts[self.ends[:, 1]]) / self.ohms
        control = volts[self.control[:, 0]] - volts[self.control[:, 1]]
        found: np.ndarray = np.where(control >= self.control_v, through, 0.0)
        return found

    def unstopped_a(self, state: StateNetwork, fault: Fault, volts: np.ndarray) -> float:
        """What a short still takes when everything that opens is open, A."""
        if fault.mode != "short":
            return 0.0
        padded = np.append(volts, 0.0)
        a, b = (padded[self.place.get(end, -1)] for end in state.ends_of(short_bridge(fault)))
        return float(abs(a - b)) / SHORT_OHMS


def _places(place: Mapping[str, int], pairs: list[tuple[str, str]]) -> np.ndarray:
    found = [[place.get(node, -1) for node in pair] for pair in pairs]
    return np.array(found, dtype=np.intp).reshape(-1, 2)
