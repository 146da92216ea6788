"""The states that the book gives readings in, and in which of the others something else is read."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Generic, TypeVar

from buildbook.book.shared_rows import Cell, two_states, unique
from buildbook.electrical.reading import WITHIN_SHARE, Reading
from buildbook.electrical.span import Span
from buildbook.faultfinding.access import cranked
from buildbook.result import Result

DIFFERS_V = 0.5
"""Readings nearer than this are not told apart: what a sagging feed moves says of no fault. Our
choice; the workings hold every state."""

Shown = TypeVar("Shown")


@dataclass(frozen=True)
class Elsewhere(Generic[Shown]):
    """What is read in some states that have no column of their own."""

    states: tuple[str, ...]
    shown: Shown


def shown_states(result: Result) -> tuple[str, ...]:
    """At rest, switched on with the engine still, and running: two or one where these are one."""
    return unique((result.power_up.rest, *two_states(result)))


def elsewhere(
    result: Result,
    of: Callable[[str], Shown],
    alike: Callable[[Shown, Shown, float], bool],
) -> tuple[Elsewhere[Shown], ...]:
    """The other states in which something else is read than in the one shown that is like them.

    `of` gives what is read in a state; `alike` whether two are the same, the second at so many
    times the volts at the battery. States that read alike stand together.
    """
    states, shown = result.vehicle.description.states, shown_states(result)
    stopped, running = two_states(result)
    cranks = cranked(result.vehicle)
    battery_v = {balance.state: balance.battery_v for balance in result.supply.balances}
    found: list[Elsewhere[Shown]] = []
    for state in states:
        if state in shown:
            continue
        turns = states[state].engine and state not in cranks
        like = running if turns else stopped
        ratio = battery_v[state] / battery_v[like] if battery_v.get(like) else 1.0
        there = of(state)
        if alike(of(like), there, ratio):
            continue
        for place, group in enumerate(found):
            if alike(group.shown, there, 1.0):
                found[place] = Elsewhere((*group.states, state), group.shown)
                break
        else:
            found.append(Elsewhere((state,), there))
    return tuple(found)


def same_reading(one: Reading | None, other: Reading | None, ratio: float) -> bool:
    """Whether a meter tells two readings apart; the other's battery has `ratio` times the volts."""
    if one is None or other is None or one.kind != other.kind:
        return one is other
    pairs = ((one.volts, other.volts), (one.low, other.low), (one.high, other.high))
    return all(_near(a, b, ratio) for a, b in pairs if a and b)


def same_cell(one: Cell, other: Cell, ratio: float) -> bool:
    """Whether a load works alike: both off, or both on at the same volts."""
    if one is None or other is None:
        return one is other
    return same_reading(one[1], other[1], ratio)


def _near(one: Span, other: Span, ratio: float) -> bool:
    reach = max(DIFFERS_V, WITHIN_SHARE * abs(one.nominal))
    return min(abs(other.nominal - k * one.nominal) for k in (1.0, ratio)) <= reach
