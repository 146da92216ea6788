"""Physical wires and what holds them: the harness as built."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property
from math import fsum

from buildbook.description.quantities import WireSize
from buildbook.vehicle.model import Connector


@dataclass(frozen=True)
class End:
    """Where a wire ends. `node` is the network node at the terminal.

    kind 'pin': node is the Pin id, 'ecu.A5'. kind 'half': a pass-through contact, node
    'X1.5/engine'. kind 'splice': node is the Splice id. kind 'capped': insulated, node
    '<wire id>.cap'.
    """

    kind: str
    node: str
    point: str
    connector: str = ""
    """Connector id, '' for studs, splices and caps."""
    cavity: str = ""
    contact: str = ""
    """Contact family id, '' for splices and caps."""


SHORT = "short"
"""Kind of the way of a wire between two things at one place, which is an estimate: no rope and no
string measures it."""


@dataclass(frozen=True)
class Addend:
    """One part of a cut length."""

    what: str
    length_m: float
    kind: str = ""
    """rope, way, short, moving, estimated, lay, pair, offset, strip, crimp, loop, cut back, cap,
    cable, not fitted, as built."""


@dataclass(frozen=True)
class Wire:
    """One piece of wire between two ends in one harness."""

    id: str
    """Circuit number and a letter where the circuit has several wires: '204', '204b'."""
    circuit: str
    harness: str
    a: End
    b: End
    runs: tuple[str, ...]
    """Run ids along the path from a to b."""
    points: tuple[str, ...]
    addends: tuple[Addend, ...]
    colour: str
    """IEC 60757: 'RD', or body and tracer 'RD/WH'."""
    family: str
    cable: str = ""
    built_size: WireSize | None = None
    """Conductor that it was built with, where a record says so."""

    @cached_property
    def cut_m(self) -> float:
        return fsum(a.length_m for a in self.addends)

    @property
    def is_guessed(self) -> bool:
        """Whether it lies along no rope and was not measured, so that its way is an estimate."""
        return any(part.kind == SHORT for part in self.addends)

    @property
    def is_estimate(self) -> bool:
        """Whether its cut length follows from an estimate: of its way, or of rope that it lies in
        and that nobody measured, while the wire itself is not there yet."""
        rope = self.built_size is None and any(part.kind == "estimated" for part in self.addends)
        return self.is_guessed or rope


@dataclass(frozen=True)
class Splice:
    id: str
    """'S204' or 'S204b'."""
    circuit: str
    harness: str
    point: str
    offset_m: float
    """Stagger along the trunk from the point."""
    wires: tuple[str, ...]
    run: str = ""
    """Run along which the stagger is measured; '' where the splice sits on its point."""


@dataclass(frozen=True)
class PassPin:
    """One contact pair of a pass-through in use."""

    device: str
    cavity: str
    circuit: str
    wires: dict[str, str]
    """Harness -> wire id."""


@dataclass(frozen=True)
class Bundle:
    """The wires of one run."""

    run: str
    wires: tuple[str, ...]


@dataclass(frozen=True)
class Harness:
    wires: dict[str, Wire]
    splices: dict[str, Splice]
    pass_pins: tuple[PassPin, ...]
    connectors: dict[str, Connector]
    """Device connectors and both halves of every pass-through."""
    bundles: dict[str, Bundle]
    wire_at: dict[str, tuple[str, ...]]
    """Node -> ids of the wires that end there."""
    heat_shrink: tuple[str, ...] = ()
    """Splices and caps, by node: each takes a piece of adhesive heat-shrink."""
    spares: dict[str, dict[str, int]] = field(default_factory=dict)
    """Pass-through -> contact family id -> contacts still free."""

    def wires_along(self, run: str) -> tuple[str, ...]:
        """Ids of the wires in a run; none where it holds none."""
        return self.bundles[run].wires if run in self.bundles else ()
