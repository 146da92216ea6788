"""What the build sheets of one harness say, in the order in which it is built."""

from __future__ import annotations

from dataclasses import dataclass

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
class ContinuitySet:
    """Terminals that must be connected through this harness, and nothing else with them."""

    circuit: str
    ends: tuple[End, ...]
    """In the order of probing: the first to each of the others."""
    ohms: tuple[float, ...]
    """Of copper at 20 degC from the first to each other."""


@dataclass(frozen=True)
class IsolationTest:
    """Cavities of one connector against which a cavity must be open."""

    connector: str
    cavity: str
    wire: str
    others: tuple[str, ...]


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
class BuildSheet:
    """Everything that is needed to build one harness without asking."""

    harness: str
    datum: str
    root: str
    """From where the strands of a twisted harness are seen."""
    gather: tuple[Need, ...]
    """With what this harness takes as their quantity, tools last."""
    cuts: tuple[CutRow, ...]
    labels: tuple[WireLabel, ...]
    splices: tuple[SpliceStep, ...]
    dressing: tuple[CoverStep, ...]
    terminations: tuple[TerminationSheet, ...]
    caps: tuple[tuple[Wire, End, str, int], ...]
    """(wire, end, heat-shrink, its mm) of every insulated end."""
    joined: tuple[ContinuitySet, ...]
    neighbours: tuple[IsolationTest, ...]
    mass: BareMass
    crimps: tuple[CrimpCount, ...]
    work: tuple[WorkTime, ...]

    @property
    def hours(self) -> float:
        return sum(row.minutes for row in self.work) / 60
