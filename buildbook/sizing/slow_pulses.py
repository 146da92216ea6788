"""What a load that pulses slowly asks for: while it lasts it is a steady load.

The root mean square heats a wire only where its temperature cannot follow the pulses.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Protocol

from buildbook.catalogue.model import Conductor
from buildbook.sizing.heat_balance import heat_w_per_m, store_j_per_m_k
from buildbook.vehicle.model import Load

AIR_C = 40.0
"""For which a wire's time constant is taken: it changes little with the air."""
FUSE_FOLLOWS_S = 1.0
"""A fuse-link is as warm as a current makes it within about this: at twice its rating a blade
opens in 0.15 to 5 s (ISO 8820-3). Our choice."""

SEEN_S = 1.0
"""A pulse this long is seen as a steady load: a lamp is bright, a motor runs. Our choice."""


class OnWay(Protocol):
    """A load in a state with the branches that its current takes."""

    @property
    def load(self) -> Load: ...
    @property
    def state(self) -> str: ...
    @property
    def current_a(self) -> float: ...


@dataclass(frozen=True)
class SlowPulse:
    """Amps while on and as root mean square, how long it is on, and how long from on to on."""

    on_a: float
    rms_a: float
    on_s: float
    period_s: float


def slow_pulse(way: OnWay) -> SlowPulse | None:
    """The pulses of a load whose frequency is stated; None where it does not pulse.

    `current_a` of the way is the root mean square.
    """
    load = way.load
    if load.duty >= 1 or not load.frequency_hz:
        return None
    period_s = 1 / load.frequency_hz
    on_a = way.current_a / math.sqrt(load.duty)
    return SlowPulse(on_a, way.current_a, load.duty * period_s, period_s)


def added_while_on_a(load: Load, rms_a: float) -> float:
    """Amps beyond the root mean square while a slow pulse lasts; 0 for pulses that average out.

    What a load loses on its way it loses then, and what it does shows it.
    """
    if load.duty >= 1 or not load.frequency_hz or load.duty / load.frequency_hz < SEEN_S:
        return 0.0
    return rms_a * (1 / math.sqrt(load.duty) - 1)


def time_constant_s(conductor: Conductor, limit_c: float) -> float:
    """Seconds in which a wire takes 63 percent of its rise, from its heat capacity and its loss."""
    loss_w_per_m_k = heat_w_per_m(conductor, limit_c, AIR_C) / (limit_c - AIR_C)
    return store_j_per_m_k(conductor) / loss_w_per_m_k


def heats_like_a(pulse: SlowPulse, constant_s: float) -> float:
    """The steady current that makes a wire as hot as it is at the end of each pulse.

    First order: the rise of a steady on-current times (1 - e^(-on/t)) / (1 - e^(-period/t)), heat
    being the square of the current. For pulses much shorter than t that is the root mean square,
    for much longer ones the current while on.
    """
    risen = -math.expm1(-pulse.on_s / constant_s) / -math.expm1(-pulse.period_s / constant_s)
    return pulse.on_a * math.sqrt(risen)


def added_to_wire_a(
    ways: Iterable[OnWay], conductor: Conductor, limit_c: float
) -> dict[str, float]:
    """State -> amps that slow pulses on these ways add to the root mean square in a wire."""
    found: dict[str, float] = {}
    constant_s = time_constant_s(conductor, limit_c) if limit_c > AIR_C else math.inf
    for way in ways:
        pulse = slow_pulse(way)
        if pulse is not None and math.isfinite(constant_s):
            more = heats_like_a(pulse, constant_s) - pulse.rms_a
            found[way.state] = found.get(way.state, 0.0) + max(0.0, more)
    return found


def added_to_fuse_a(ways: Iterable[OnWay]) -> dict[str, float]:
    """State -> amps that slow pulses on these ways add to what a fuse carries."""
    found: dict[str, float] = {}
    for way in ways:
        pulse = slow_pulse(way)
        if pulse is not None and pulse.on_s >= FUSE_FOLLOWS_S:
            found[way.state] = found.get(way.state, 0.0) + pulse.on_a - pulse.rms_a
    return found


def plus(amps: Mapping[str, float], added: Mapping[str, float]) -> dict[str, float]:
    """Amps by state, with what is added."""
    return {state: a + added.get(state, 0.0) for state, a in amps.items()}
