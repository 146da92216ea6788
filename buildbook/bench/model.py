"""What the build sheets of one harness say, in the order in which it is built."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import fsum

from buildbook.harness.finishing import FinishedRun
from buildbook.harness.joints import Joint
from buildbook.harness.model import End, Splice, Wire
from buildbook.parts.model import Need
from buildbook.vehicle.model import Connector, Run


@dataclass(frozen=True)
class CutRow:
    """One piece to cut: a wire, or a cable with its cores."""

    name: str
    """Wire id, or that of a length of cable."""
    wires: tuple[Wire, ...]
    """The wire, or the cores of the cable."""
    family: str
    colour: str
    """'' for a cable."""
    size: str
    cut_mm: int
    addends: tuple[tuple[str, float], ...]
    """(kind, mm) of every part of the length, ends added up."""
    guessed: bool = False
    """Whether its length follows from an estimate: of rope, or of the way at one place."""


@dataclass(frozen=True)
class WireLabel:
    """The label of one end of a wire."""

    wire: Wire
    end: str
    """a or b"""
    text: str
    sleeve: str
    """Size of the printed sleeve, as sold."""


@dataclass(frozen=True)
class SpliceStep:
    """One splice to make."""

    splice: Splice
    from_datum_mm: float
    towards: str
    """The point towards which it lies off its own; '' where it sits on it."""
    wires: tuple[tuple[Wire, str, str], ...]
    """(wire, its size, the point that it comes from)."""
    joint: Joint
    """Which wires enter at which end of which barrel."""
    shrink: str
    shrink_mm: int


@dataclass(frozen=True)
class Termination:
    """One end to terminate."""

    cavity: str
    """Cavity, or the stud's pin id."""
    wire: Wire
    end: End
    size: str
    strip_mm: float
    terminal: str
    seal: str
    """'' where there is none."""
    tool: str
    past_mm: float
    """How far the wire reaches past the mark with its terminal on: the loop of this end."""
    pull_n: int | None
    """That a sample crimp must stand; None where no value is known for the size."""


@dataclass(frozen=True)
class TerminationSheet:
    """All ends that go into one connector, or onto the studs of one device."""

    name: str
    """Connector id, or device id for studs."""
    title: str
    connector: Connector | None
    housing: str
    """As the parts list has it; '' for studs."""
    point: str
    rows: tuple[Termination, ...]
    blanks: tuple[str, ...]
    """Empty cavities that take a blank."""
    boot: str
    takes: tuple[str, ...]
    """Other pieces that the plug takes."""


@dataclass(frozen=True)
class CoverStep:
    """The covering of one run."""

    run: Run
    from_datum_mm: float
    """Of its nearer end."""
    finished: FinishedRun
    sleeve_mm: int
    """Length of sleeve to cut; 0 without, or where it is tape."""
    end_shrink: str
    """Heat-shrink over each end of a braid; '' for none."""
    clamps_mm: tuple[int, ...]
    """Places of the clamps from the run's first point."""


@dataclass(frozen=True)
class Terminal:
    """An end that can be probed on the bench, with the wires in it."""

    end: End
    wires: tuple[Wire, ...]


@dataclass(frozen=True)
class Probing:
    """From the first terminal of a net to another of it."""

    to: Terminal
    ohms: float
    """Of copper at 20 degC, as long as it was cut."""
    by: tuple[str, ...]
    """The wires between them."""


@dataclass(frozen=True)
class BenchNet:
    """Terminals that must be joined through this harness as it lies on the bench, and no others."""

    circuit: str
    wires: tuple[str, ...]
    first: Terminal | None
    """None where every end is capped, so that nothing can be probed."""
    others: tuple[Probing, ...]


@dataclass(frozen=True)
class BareMass:
    """What the harness weighs, kg."""

    wires: float
    """All wires as cut."""
    cover: float


@dataclass(frozen=True)
class WorkTime:
    """One kind of work, its count, the minutes that each takes, and all of them."""

    what: str
    count: float
    unit: str
    minutes_each: float

    @property
    def minutes(self) -> float:
        return self.count * self.minutes_each


@dataclass(frozen=True)
class CrimpCount:
    """How many crimps one tool makes of one terminal on one size."""

    terminal: str
    size: str
    tool: str
    count: int


@dataclass(frozen=True)
class LayingStation:
    """A point along a line at which something comes into a layer or out of it."""

    point: str
    at_mm: float
    """From where the line begins."""
    into: tuple[tuple[str, ...], ...]
    """Strands that begin here, each by its wires, in the order of their seats: clockwise."""
    out: tuple[tuple[str, ...], ...]
    """Strands that are taken out here."""
    fillers_in: tuple[tuple[float, int], ...]
    """(diameter in mm, how many) from here on."""
    fillers_out: tuple[tuple[float, int], ...]


@dataclass(frozen=True)
class LayerWork:
    """One layer of a line, laid from end to end before the next."""

    name: str
    """'core', '1', '2', …, 'flat'."""
    hand: str
    lay_mm: float
    angle_deg: float
    extra: float
    """What a strand is longer than the rope, as a share of it."""
    outside_mm: float
    bunched: bool
    stations: tuple[LayingStation, ...]


@dataclass(frozen=True)
class LayingOrder:
    """How one line of rope is laid: the trunk, or a branch from its breakout."""

    points: tuple[tuple[str, float], ...]
    """(point, mm from where the line begins)."""
    strands: tuple[tuple[str, ...], ...]
    layers: tuple[LayerWork, ...]
    """From the core outwards; none where the line is laid flat."""


@dataclass(frozen=True)
class Rework:
    """What turns a harness that exists into the one described."""

    revision: str
    """At which it was built."""
    new: tuple[str, ...]
    """Wires to lay in, led straight outside the old twist."""
    gone: tuple[str, ...]
    """Wires to take out, or to cap and leave where they are tied in."""
    changed: tuple[tuple[str, tuple[str, ...]], ...]
    """(circuit, what differs of it), beside wires that come and go."""
    plugs: tuple[str, ...]
    """Connectors and studs to open."""
    splices: tuple[str, ...]
    """To make, or to open and make anew."""
    runs: tuple[str, ...]
    """Whose cover has to be opened."""
    left: int
    """Wires that stay as they are."""

    @property
    def is_needed(self) -> bool:
        return bool(self.new or self.gone or self.changed)


@dataclass(frozen=True)
class BuildSheet:
    """Everything that is needed to build one harness without asking."""

    harness: str
    datum: str
    gather: tuple[Need, ...]
    """With what this harness takes as their quantity, tools last."""
    tools: Mapping[str, str]
    """What a tool is -> its number, the same in every harness."""
    cuts: tuple[CutRow, ...]
    labels: tuple[WireLabel, ...]
    laying: tuple[LayingOrder, ...]
    """Of a twisted harness, the trunk first."""
    splices: tuple[SpliceStep, ...]
    dressing: tuple[CoverStep, ...]
    terminations: tuple[TerminationSheet, ...]
    caps: tuple[tuple[Wire, End, str, int], ...]
    """(wire, end, heat-shrink, its mm) of every insulated end."""
    nets: tuple[BenchNet, ...]
    mass: BareMass
    crimps: tuple[CrimpCount, ...]
    work: tuple[WorkTime, ...]
    rework: Rework | None
    """None where it is built for the first time."""

    @property
    def hours(self) -> float:
        return fsum(row.minutes for row in self.work) / 60
