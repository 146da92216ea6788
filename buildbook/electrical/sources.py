"""Batteries, generators and converters as branches: what they hold, give and take by the volts."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from buildbook.electrical.case import GIVING, LIMITED, TAKING, Case


@dataclass(frozen=True)
class Source:
    """Volts behind ohms between two nodes, by operating state.

    With V across it a source gives (emf - V) / ohms, and no more than its limit; where V is above
    its emf it takes (V - emf) / back_ohms, which is nothing where these are endless.
    """

    id: str
    kind: str
    """battery, alternator, dynamo, magneto, converter"""
    plus: str
    minus: str
    emf_v: Mapping[str, float]
    ohms: Mapping[str, float]
    back_ohms: Mapping[str, float]
    limit_a: Mapping[str, float]
    senses: str = ""
    """Node where a generator's regulator reads the volts; '' for its plus. Its `emf_v` stands above
    what it holds there by what is lost on the way (`sense.py`)."""
    fed_by: tuple[str, str] | None = None
    """Nodes where a converter takes what it gives, by its `efficiency`, from `works_from_v`."""
    efficiency: float = 1.0
    works_from_v: float = 0.0


@dataclass(frozen=True)
class SourcesIn:
    """The sources of cases, every array sources x cases; `out` where a case takes one away."""

    emf_v: np.ndarray
    ohms: np.ndarray
    back_ohms: np.ndarray
    limit_a: np.ndarray
    out: np.ndarray

    @classmethod
    def of(cls, sources: Iterable[Source], cases: Sequence[Case]) -> SourcesIn:
        def values(mappings: Iterable[Mapping[str, float]]) -> np.ndarray:
            rows = [[mapping[case.state] for case in cases] for mapping in mappings]
            return np.array(rows, dtype=float).reshape(-1, len(cases))

        known = list(sources)
        out = [[source.id in case.opened for case in cases] for source in known]
        return cls(
            values(s.emf_v for s in known),
            values(s.ohms for s in known),
            values(s.back_ohms for s in known),
            values(s.limit_a for s in known),
            np.array(out, dtype=bool).reshape(-1, len(cases)),
        )

    def some(self, which: np.ndarray) -> SourcesIn:
        return SourcesIn(
            self.emf_v[:, which],
            self.ohms[:, which],
            self.back_ohms[:, which],
            self.limit_a[:, which],
            self.out[:, which],
        )

    def starting(self) -> np.ndarray:
        """What each does before any volts are known."""
        return np.where(self.limit_a > 0, GIVING, TAKING)

    def doing(self, volts: np.ndarray) -> np.ndarray:
        """TAKING, GIVING or LIMITED with these volts across."""
        would = (self.emf_v - volts) / self.ohms
        return np.where(would > self.limit_a, LIMITED, np.where(would > 0, GIVING, TAKING))

    def siemens(self, mode: np.ndarray) -> np.ndarray:
        back = np.where(np.isinf(self.back_ohms), 0.0, 1 / self.back_ohms)
        found = np.where(mode == GIVING, 1 / self.ohms, np.where(mode == TAKING, back, 0.0))
        return np.where(self.out, 0.0, found)

    def pushed_a(self, mode: np.ndarray) -> np.ndarray:
        """Current pushed out of the plus, beside what the siemens take back."""
        limited = np.where((mode == LIMITED) & ~self.out, self.limit_a, 0.0)
        found: np.ndarray = self.siemens(mode) * self.emf_v + limited
        return found

    def given_a(self, mode: np.ndarray, volts: np.ndarray) -> np.ndarray:
        """Current out of the plus with these volts across; below zero it takes."""
        found: np.ndarray = self.pushed_a(mode) - self.siemens(mode) * volts
        return found
