"""The last stages of a vehicle's result: priced, and all that book, drawings and export read."""

from __future__ import annotations

from dataclasses import dataclass

from buildbook.checks.stages import Checked
from buildbook.faultfinding.model import Faultfinding
from buildbook.faultfinding.power_up import PowerUp
from buildbook.faultfinding.unplugged import Unplugged
from buildbook.parts.model import Bill


@dataclass(frozen=True, kw_only=True)
class Priced(Checked):
    """A checked vehicle with what it costs."""

    bill: Bill


@dataclass(frozen=True, kw_only=True)
class Result(Priced):
    """A priced vehicle, broken in every way, and how to bring it to life.

    Each stage extends the one before: `Sized`, `Assessed`, `Checked`, `Priced`, `Result`.
    """

    faultfinding: Faultfinding
    power_up: PowerUp
    unplugged: dict[str, Unplugged]
    """Connector id -> what its harness side reads while it is off."""
