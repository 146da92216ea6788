"""Repeats solving until no contact, source or load with a law changes its mind."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from buildbook.electrical.case import Positions
from buildbook.electrical.lawful import is_off, retaken
from buildbook.electrical.prepared import PreparedNetwork, across
from buildbook.electrical.pulses import Pulses
from buildbook.electrical.sources import SourcesIn

MOST_FLIPS = 6
"""A contact that changes more often than this is opened for good; where its control then still
asks for it, it buzzes, and the solution says so."""
MOST_MOVES = 40
"""Changes of sources, and tangents of loads, in a row, no contact moving, after which they are
told not to come to rest. A source has three positions, in an order; a few changes are usual."""

Solve = Callable[[np.ndarray, Positions], np.ndarray]
"""Volts (nodes x some) of some of the cases where everything stands."""


@dataclass(frozen=True)
class Batch:
    """Cases that are to come to rest, all arrays x cases."""

    allowed: np.ndarray
    """Controlled elements that may conduct."""
    stuck: np.ndarray
    """Controlled elements that conduct whatever their control says."""
    pulled: np.ndarray
    """Controlled elements that conduct to begin with."""
    sources: SourcesIn
    law_on: np.ndarray
    """Loads with laws whose law counts."""
    pulses: Pulses
    law_v: np.ndarray
    """Volts at which their first tangents are taken."""

    def some(self, which: np.ndarray) -> Batch:
        return Batch(
            self.allowed[:, which],
            self.stuck[:, which],
            self.pulled[:, which],
            self.sources.some(which),
            self.law_on[:, which],
            self.pulses.some(which),
            self.law_v[:, which],
        )


def come_to_rest(prepared: PreparedNetwork, batch: Batch, solve: Solve) -> Positions:
    """Where everything stands once nothing moves any more.

    Contacts wait for the others: they judge only volts at which sources and loads have come to
    rest. Each contact changes a bounded number of times, and the others so often between two of
    their changes, so this ends by itself.
    """
    count = batch.allowed.shape[1]
    mode = batch.sources.starting()
    rest = Positions(
        batch.pulled.copy(),
        mode,
        np.zeros(mode.shape),
        batch.law_v.copy(),
        np.zeros(batch.law_v.shape, dtype=bool),
        unsettled=[frozenset()] * count,
    )
    flips = np.zeros(batch.allowed.shape, dtype=int)
    moves = np.zeros(count, dtype=int)
    live = np.arange(count)
    while len(live):
        rest.rounds += 1
        here = batch.some(live)
        volts = solve(live, rest)
        sources, loads = _others(prepared, here, rest, live, volts)
        moving = sources.any(axis=0) | loads.any(axis=0)
        restless = moving & (moves[live] >= MOST_MOVES)
        moving &= ~restless
        was = rest.pulled[:, live]
        asked = (prepared.wanted(volts, was) & here.allowed) | here.stuck
        wanted = asked & ((flips[:, live] < MOST_FLIPS) | here.stuck)
        changed = (wanted != was) & ~moving
        resting = ~(moving | changed.any(axis=0))
        for place in np.flatnonzero(resting & ((asked & ~wanted).any(axis=0) | restless)):
            told = _ids(prepared, asked[:, place] & ~wanted[:, place])
            if restless[place]:
                told |= _others_ids(prepared, sources[:, place], loads[:, place])
            rest.unsettled[int(live[place])] = frozenset(told)
        flips[:, live] += changed
        moves[live] = np.where(moving, moves[live] + 1, 0)
        rest.pulled[:, live] = was ^ changed
        _move(prepared, here, rest, live, moving, volts)
        live = live[~resting]
    return rest


def _others(
    prepared: PreparedNetwork, here: Batch, rest: Positions, live: np.ndarray, volts: np.ndarray
) -> tuple[np.ndarray, np.ndarray]:
    """Sources (x some) and loads with laws that these volts would move."""
    mode, drawn_a = rest.mode[:, live], rest.drawn_a[:, live]
    sources = prepared.sources_moved(volts, here.sources, mode, drawn_a)
    found = across(volts, prepared.branch_ends[prepared.lawful.rows])
    off = is_off(found, rest.law_v[:, live], rest.flat[:, live], prepared.driven)
    return sources, off & here.law_on & ~prepared.driven


def _move(
    prepared: PreparedNetwork,
    here: Batch,
    rest: Positions,
    live: np.ndarray,
    moving: np.ndarray,
    volts: np.ndarray,
) -> None:
    """Bring sources a step on and take tangents at these volts, in the cases that move."""
    step = np.clip(prepared.doing(volts, here.sources) - rest.mode[:, live], -1, 1)
    if len(prepared.converters):
        drawn = prepared.drawn(volts, here.sources, rest.mode[:, live])
        rest.drawn_a[:, live] = np.where(moving, drawn, rest.drawn_a[:, live])
    rest.mode[:, live] += np.where(moving & ~here.sources.out, step, 0)
    found = across(volts, prepared.branch_ends[prepared.lawful.rows])
    before, flat = rest.law_v[:, live], rest.flat[:, live]
    taken = moving & ~prepared.driven  # what a driver pulses settles with its pulses
    after, lost = retaken(found, before, flat)
    off = taken & is_off(found, before, flat, prepared.driven)
    rest.law_v[:, live] = np.where(off, after, before)
    rest.flat[:, live] = np.where(off, lost, flat)


def _ids(prepared: PreparedNetwork, controlled: np.ndarray) -> set[str]:
    elements = prepared.network.elements
    return {elements[row].branch.id for row in prepared.controlled[controlled]}


def _others_ids(prepared: PreparedNetwork, sources: np.ndarray, loads: np.ndarray) -> set[str]:
    network = prepared.network
    found = {network.sources[i].id for i in np.flatnonzero(sources)}
    return found | {network.elements[r].branch.id for r in prepared.lawful.rows[loads]}
