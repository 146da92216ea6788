"""What is settled, and where everything stands once it has come to rest."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np

TAKING, GIVING, LIMITED = 0, 1, 2
"""What a source does: a battery charges or gives, a generator gives nothing, what is asked of it,
or all that it can."""

METER, HEATING = 1.0, 0.5
"""Power of a load's duty: average current, root-mean-square current."""


@dataclass(frozen=True)
class Case:
    """One network to settle: a state, how duty counts, and what is changed in it.

    `power` is 1 for averages (a meter), 0.5 for rms (heating): a pulsed load's ohms are divided
    by duty to that power. `opened` are branch ids taken out; `ohms` replaces resistances;
    `closed` conducts whatever the state and its control say.
    """

    state: str
    power: float = 1.0
    opened: frozenset[str] = frozenset()
    ohms: Mapping[str, float] | None = None
    closed: frozenset[str] = frozenset()


@dataclass(frozen=True)
class Settled:
    """Volts (nodes x cases) and the position in which everything came to rest."""

    volts: np.ndarray
    on: np.ndarray
    """Element conducts, elements x cases."""
    siemens: np.ndarray
    """Of every element, what stands for its law or its pulses at these volts."""
    mode: np.ndarray
    """What each source does, sources x cases."""
    drawn_a: np.ndarray
    """What each converter takes where it is fed, sources x cases."""
    law_v: np.ndarray
    """Volts across each load with a law of its own."""
    rounds: int
    unsettled: list[frozenset[str]]
    """As of `Positions`."""
    free: np.ndarray
    """Controlled elements that their control moves, controlled x cases."""

    def put(self, places: np.ndarray, some: Settled) -> None:
        """Set the cases at some places to others."""
        for mine, other in (
            (self.volts, some.volts),
            (self.on, some.on),
            (self.siemens, some.siemens),
            (self.mode, some.mode),
            (self.drawn_a, some.drawn_a),
            (self.law_v, some.law_v),
        ):
            mine[:, places] = other
        for place, found in zip(places, some.unsettled, strict=True):
            self.unsettled[place] = found


@dataclass
class Positions:
    """Where contacts and sources stand while cases come to rest."""

    pulled: np.ndarray
    """Controlled element conducts, controlled x cases."""
    mode: np.ndarray
    """What each source does, sources x cases."""
    drawn_a: np.ndarray
    """What each converter takes where it is fed, sources x cases."""
    law_v: np.ndarray
    """Volts at which the branch of each load with a law was taken, loads x cases."""
    flat: np.ndarray
    """Loads whose branch is a resistance, as of `lawful.retaken`."""
    rounds: int = 0
    unsettled: list[frozenset[str]] = field(default_factory=list)
    """For each case the branch ids of contacts that rest in neither position, and of sources and
    loads that do not come to rest."""
