"""What is settled, and where everything stands once it has come to rest."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np

DISCHARGING, CHARGING = 0, 1
"""What the battery does."""
OFF, REGULATING, LIMITED = 0, 1, 2
"""What the alternator does."""


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
    battery: np.ndarray
    alternator: np.ndarray
    rounds: int
    unsettled: list[frozenset[str]]
    """As of `Positions`."""
    disconnected: np.ndarray
    unplugged: np.ndarray
    """True where the alternator is."""
    free: np.ndarray
    """Controlled elements that their control moves, controlled x cases."""

    def put(self, places: np.ndarray, some: Settled) -> None:
        """Set the cases at some places to others."""
        for mine, other in (
            (self.volts, some.volts),
            (self.on, some.on),
            (self.siemens, some.siemens),
        ):
            mine[:, places] = other
        self.battery[places], self.alternator[places] = some.battery, some.alternator
        for place, found in zip(places, some.unsettled, strict=True):
            self.unsettled[place] = found


@dataclass
class Positions:
    """Where contacts, battery and alternator stand while cases come to rest."""

    pulled: np.ndarray
    """Controlled element conducts, controlled x cases."""
    battery: np.ndarray
    alternator: np.ndarray
    disconnected: np.ndarray
    """True where the battery is out."""
    unplugged: np.ndarray
    """True where the alternator is."""
    rounds: int = 0
    unsettled: list[frozenset[str]] = field(default_factory=list)
    """For each case the branch ids of contacts that rest in neither position, and 'battery' or
    'alternator' where the supply does not come to rest."""
