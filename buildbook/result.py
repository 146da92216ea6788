"""Everything worked out for one vehicle: what the book, export and checks read."""

from __future__ import annotations

from dataclasses import dataclass

from buildbook.checks.model import Finding
from buildbook.electrical.model import Sensors, Solved, SupplyReport
from buildbook.faultfinding.model import Faultfinding
from buildbook.faultfinding.power_up import PowerUp
from buildbook.faultfinding.unplugged import Unplugged
from buildbook.harness.dressing import Dressed
from buildbook.harness.joints import Joint
from buildbook.harness.model import Harness
from buildbook.parts.model import Bill
from buildbook.sizing.model import Sizing
from buildbook.vehicle.model import Vehicle


@dataclass(frozen=True)
class Checked:
    """What `check` needs: the findings, and what they are about."""

    vehicle: Vehicle
    findings: tuple[Finding, ...]


@dataclass(frozen=True)
class Priced:
    """What a price needs: a Result without voltages, faults and supply."""

    vehicle: Vehicle
    harness: Harness
    sizing: Sizing
    bill: Bill
    findings: tuple[Finding, ...]


@dataclass(frozen=True)
class Result:
    vehicle: Vehicle
    harness: Harness
    solved: Solved
    sizing: Sizing
    bill: Bill
    faultfinding: Faultfinding
    findings: tuple[Finding, ...]
    sensors: Sensors
    supply: SupplyReport
    dressed: dict[str, Dressed]
    """Run id -> the finished piece of harness along it."""
    joints: dict[str, Joint]
    """Splice id -> how it is made."""
    power_up: PowerUp
    unplugged: dict[str, Unplugged]
    """Connector id -> what its harness side reads while it is off."""
