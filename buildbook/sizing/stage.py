"""A vehicle with its wires laid, sized and finished: the first stage of its result."""

from __future__ import annotations

from dataclasses import dataclass

from buildbook.electrical.model import Solved
from buildbook.harness.finishing import FinishedRun
from buildbook.harness.joints import Joint
from buildbook.harness.model import Harness
from buildbook.sizing.first_pass import Learned
from buildbook.sizing.model import Sizing
from buildbook.vehicle.model import Vehicle


@dataclass(frozen=True, kw_only=True)
class Sized:
    """What every later stage extends and never alters."""

    vehicle: Vehicle
    harness: Harness
    learned: Learned
    """What the first laying taught: with it the harness is laid again in no time."""
    sizing: Sizing
    solved: Solved
    finished_runs: dict[str, FinishedRun]
    """Run id -> the finished piece of harness along it."""
    joints: dict[str, Joint]
    """Splice id -> how it is made."""
