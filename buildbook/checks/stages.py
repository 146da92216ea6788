"""What the rules look at, and the same with what they found."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property

from buildbook.checks.conducting import shorted_fuses
from buildbook.checks.model import Finding
from buildbook.electrical.model import Sensors, SupplyReport
from buildbook.electrical.readings import Readings
from buildbook.harness.finishing import ConnectorBoot
from buildbook.sizing.finished_runs import boots_of
from buildbook.sizing.stage import Sized


@dataclass(frozen=True, kw_only=True)
class Assessed(Sized):
    """A sized vehicle with its sensors, its supply and what cannot be bought: all a rule asks."""

    sensors: Sensors
    readings: Mapping[str, Readings]
    """State -> what a meter shows at every place."""
    supply: SupplyReport
    unpriced: tuple[str, ...]
    """Needs without a price, those of `unserved` included."""
    unserved: tuple[tuple[str, str], ...]
    """Needs that no part can meet, each with the reason."""

    @cached_property
    def boots(self) -> tuple[ConnectorBoot, ...]:
        """The boot of every connector that takes one."""
        return boots_of(self.vehicle, self.harness, self.sizing)

    @cached_property
    def shorted(self) -> frozenset[str]:
        """Fuses on a way from the battery's plus to its minus that passes no load, in any state.

        What they carry is no load to size a fuse or a wire for.
        """
        states = self.solved.heating.values()
        return frozenset(f for s in states if s.branches for f in shorted_fuses(self.vehicle, s))


@dataclass(frozen=True, kw_only=True)
class Checked(Assessed):
    """An assessed vehicle with its findings."""

    findings: tuple[Finding, ...]


Rule = Callable[[Assessed], Iterable[Finding]]
