"""Pins and plugs that somebody can put into each other's place."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import pairwise

from buildbook.electrical.network import inside
from buildbook.faultfinding.model import Fault
from buildbook.harness.model import Harness
from buildbook.vehicle.model import Connector, Vehicle
from buildbook.words.say import say

BETWEEN_PINS, BETWEEN_PAIRS = "\t", "\n"
"""What stands in no name: names have spaces and commas."""
SWAP_OHMS = 0.005
"""A contact in the wrong cavity is as good a contact."""


def swap_faults(vehicle: Vehicle, harness: Harness) -> list[Fault]:
    """Neighbouring pins of one plug changed over, and plugs of one type at one place.

    `branch` names the pins of a pair, or of each pair of two plugs.
    """
    found = [
        Fault(f"swap {a} {b}", "pin", _branch([(a, b)]), _title_of_pins(a, b), "swap")
        for connector in vehicle.connectors.values()
        for a, b in neighbours(connector)
        if a in harness.wire_at and b in harness.wire_at
    ]
    for one, other in _alike(vehicle.connectors.values()):
        pairs = [
            (p.id, q.id)
            for p in one.pins
            for q in other.pins
            if p.cavity == q.cavity and (p.id in harness.wire_at or q.id in harness.wire_at)
        ]
        if pairs:
            title = say("plugs of {one} and {other} changed over", one=one.id, other=other.id)
            found.append(Fault(f"swap {one.id} {other.id}", "pin", _branch(pairs), title, "swap"))
    return found


def _branch(pairs: Iterable[tuple[str, str]]) -> str:
    return "swap:" + BETWEEN_PAIRS.join(BETWEEN_PINS.join(pair) for pair in pairs)


def _title_of_pins(one: str, other: str) -> str:
    return say("pins {one} and {other} changed over", one=one, other=other)


def neighbours(connector: Connector) -> list[tuple[str, str]]:
    """Pins side by side in a row or ring of a plug, each pair once."""
    pin_at = {pin.cavity or pin.name: pin.id for pin in connector.pins}
    lines: list[Sequence[str | None]] = [*connector.plug.rows, *connector.plug.rings]
    return [
        (pin_at[a], pin_at[b])
        for line in lines
        for a, b in pairwise(line)
        if a and b and {a, b} <= pin_at.keys()
    ]


def _alike(connectors: Iterable[Connector]) -> list[tuple[Connector, Connector]]:
    """Plugs of one type at one point: either fits where the other belongs."""
    listed = list(connectors)
    return [
        (one, other)
        for i, one in enumerate(listed)
        for other in listed[i + 1 :]
        if (one.plug_type, one.point) == (other.plug_type, other.point)
    ]


def pairs_of(fault: Fault) -> list[tuple[str, str]]:
    """The pins that change places."""
    pairs = fault.branch.removeprefix("swap:").split(BETWEEN_PAIRS)
    return [(a, b) for a, b in (pair.split(BETWEEN_PINS) for pair in pairs)]


def swap_bridges(fault: Fault) -> dict[str, tuple[str, str, float]]:
    """Branch id -> nodes and ohms: each wire on the contact inside that is the other's."""
    return {
        f"swap:{a}>{b}": (a, inside(b), SWAP_OHMS)
        for pair in pairs_of(fault)
        for a, b in (pair, pair[::-1])
    }


def opened_by_swap(fault: Fault) -> set[str]:
    """The contacts that are no longer where they belong."""
    return {f"pin:{pin}" for pair in pairs_of(fault) for pin in pair}
