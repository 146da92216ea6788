"""One harness on the bench: its own wires, runs and the catalogue's word on each."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from buildbook.catalogue.model import Conductor
from buildbook.harness.datum import datum_of, from_datum_mm
from buildbook.harness.finishing import FinishedRun
from buildbook.harness.model import Harness, Wire
from buildbook.sizing.finished_runs import conductor_of
from buildbook.sizing.model import Sizing
from buildbook.vehicle.model import Run, Vehicle


@dataclass(frozen=True)
class HarnessOnBench:
    """What the steps of one harness are worked out from."""

    vehicle: Vehicle
    harness: Harness
    sizing: Sizing
    finished_runs: Mapping[str, FinishedRun]
    name: str

    @cached_property
    def wires(self) -> tuple[Wire, ...]:
        return tuple(w for w in self.harness.wires.values() if w.harness == self.name)

    @cached_property
    def runs(self) -> tuple[Run, ...]:
        return tuple(r for r in self.vehicle.runs if r.harness == self.name)

    @property
    def datum(self) -> str:
        return datum_of(self.runs)

    @cached_property
    def from_datum_mm(self) -> dict[str, float]:
        return from_datum_mm(self.runs)

    def conductor(self, wire: Wire) -> Conductor:
        return conductor_of(self.vehicle, self.sizing.wires[wire.id])

    def size(self, wire: Wire) -> str:
        return self.sizing.wires[wire.id].label
