"""Faults, what they do, and how to tell them apart."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Fault:
    """One branch opened. `id` is 'open wire:204b'."""

    id: str
    kind: str
    branch: str
    title: str
    """'wire 204b open', 'F4 blown', 'K2 contact 30–87 does not close'."""


@dataclass(frozen=True)
class Effect:
    """What a fault does to a load in a state: dead, weak or stuck on."""

    load: str
    state: str
    effect: str
    volts: float
    healthy_v: float


@dataclass(frozen=True)
class Step:
    """Measure from `node` to the battery's negative post in `state`.

    A reading nearer `low_v` leads to the suspects in `low`, nearer `high_v` to `high`.
    """

    node: str
    state: str
    low_v: float
    high_v: float
    low: tuple[str, ...]
    high: tuple[str, ...]


@dataclass(frozen=True)
class Symptom:
    """Faults with one signature, and the readings that tell them apart."""

    id: str
    title: str
    state: str
    effects: tuple[Effect, ...]
    suspects: tuple[str, ...]
    """Fault ids, likeliest first."""
    steps: tuple[Step, ...]
    """Depth first: the first step splits all suspects."""


@dataclass(frozen=True)
class Faultfinding:
    faults: dict[str, Fault]
    effects: dict[str, tuple[Effect, ...]]
    """Fault id -> effects over all states."""
    symptoms: tuple[Symptom, ...]
    silent: tuple[str, ...]
    """Faults that change nothing a driver sees in any state."""
