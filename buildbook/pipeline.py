"""The stages in order: from a vehicle folder to everything that is worked out about it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

from buildbook.checks.context import Context
from buildbook.checks.run import run_checks
from buildbook.description.models import Description
from buildbook.description.read import read_folder
from buildbook.electrical.model import Solved
from buildbook.electrical.sensing import sense
from buildbook.electrical.supply import supply_report
from buildbook.faultfinding.diagnosis import Clinic, open_clinic
from buildbook.faultfinding.find import find_faults
from buildbook.faultfinding.power_up import power_up
from buildbook.faultfinding.sweep import sweep
from buildbook.faultfinding.unplugged import unplugged
from buildbook.harness.build import build_harness
from buildbook.harness.dressing import Dressed
from buildbook.harness.model import Harness
from buildbook.parts.bill import lacking, price
from buildbook.parts.needs import needs
from buildbook.problem import Problem
from buildbook.result import Checked, Priced, Result
from buildbook.sizing.choose import choose
from buildbook.sizing.dressed import dressed, joints_of, relaid
from buildbook.sizing.first_pass import learn
from buildbook.sizing.model import Sizing
from buildbook.vehicle.join import join
from buildbook.vehicle.model import Vehicle

MOST_LAYS = 2
"""Times that layers are laid anew because a size changed: the first shortens the guess,
after that lengths only grow, so that it ends."""

Progress = Callable[[str, int, int], None]
Heed = Callable[[Description], None]
"""Is shown the description as soon as it is read; what it raises ends the work there."""

FAULTS = "Breaking every part in turn"
PRICES = "Pricing the parts"
CHECKS = "Checking"
STAGES = (
    "Reading the description",
    "Joining it up",
    "Laying the wires",
    "Choosing sizes and fuses",
    PRICES,
    FAULTS,
    CHECKS,
)


@dataclass(frozen=True)
class Built:
    """A vehicle with its wires laid, sized and dressed."""

    vehicle: Vehicle
    harness: Harness
    sizing: Sizing
    solved: Solved
    pieces: dict[str, Dressed]
    """Run id -> the finished piece of harness along it."""


def quiet(_what: str, _done: int, _total: int) -> None:
    """Progress for callers that want none."""


def work_out(
    folder: Path,
    progress: Progress = quiet,
    variant: str | None = None,
    heed: Heed | None = None,
) -> tuple[Result | None, list[Problem]]:
    """Run every stage on `folder`; None with the problems where the description has any.

    `variant` is worked out in place of the one that the vehicle names; 'as written' for none.
    """
    begin = _beginnings(progress, STAGES)
    built, problems = _build(folder, begin, variant, heed)
    if built is None:
        return None, problems
    vehicle, harness, sizing = built.vehicle, built.harness, built.sizing
    begin()
    bill = price(vehicle, harness, sizing, built.pieces)
    begin()
    faultfinding = find_faults(vehicle, harness, sizing, built.solved)
    begin()
    context = _context(built, bill.missing, bill.unserved)
    findings = run_checks(context)
    return Result(
        vehicle, harness, built.solved, sizing, bill, faultfinding, findings, context.sensors,
        context.supply, built.pieces, joints_of(vehicle, harness, sizing),
        power_up(vehicle, harness, built.solved), unplugged(vehicle, harness, built.solved),
    ), []  # fmt: skip


def price_out(
    folder: Path, progress: Progress = quiet, variant: str | None = None
) -> tuple[Priced | None, list[Problem]]:
    """What a vehicle costs and what the checks say, without its faults; as `work_out`."""
    begin = _beginnings(progress, [stage for stage in STAGES if stage != FAULTS])
    built, problems = _build(folder, begin, variant)
    if built is None:
        return None, problems
    begin()
    bill = price(built.vehicle, built.harness, built.sizing, built.pieces)
    begin()
    findings = run_checks(_context(built, bill.missing, bill.unserved))
    return Priced(built.vehicle, built.harness, built.sizing, bill, findings), []


def look_over(
    folder: Path, progress: Progress = quiet, variant: str | None = None
) -> tuple[Checked | None, list[Problem]]:
    """What the checks say, without choosing what to buy and without faults; as `work_out`."""
    begin = _beginnings(progress, [stage for stage in STAGES if stage not in (PRICES, FAULTS)])
    built, problems = _build(folder, begin, variant)
    if built is None:
        return None, problems
    begin()
    wanted = needs(built.vehicle, built.harness, built.sizing, built.pieces)
    unpriced, unserved = lacking(wanted, built.vehicle.description)
    return Checked(built.vehicle, run_checks(_context(built, unpriced, unserved))), []


def clinic_of(
    folder: Path, progress: Progress = quiet, variant: str | None = None
) -> tuple[Clinic | None, list[Problem]]:
    """A vehicle with every fault worked out, to be asked; nothing priced or checked."""
    stages = [stage for stage in STAGES if stage not in (PRICES, CHECKS)]
    begin = _beginnings(progress, stages)
    built, problems = _build(folder, begin, variant)
    if built is None:
        return None, problems
    begin()
    swept = sweep(built.vehicle, built.harness, built.sizing, built.solved)
    return open_clinic(built.vehicle, built.harness, swept), []


def _context(
    built: Built, unpriced: tuple[str, ...], unserved: tuple[tuple[str, str], ...]
) -> Context:
    vehicle, harness, solved = built.vehicle, built.harness, built.solved
    return Context(
        vehicle, harness, solved, built.sizing, unpriced, unserved,
        sense(vehicle, harness, solved), supply_report(vehicle, solved), built.pieces,
    )  # fmt: skip


def _beginnings(progress: Progress, stages: Sequence[str]) -> Callable[[], None]:
    """Tells the next stage each time that it is called."""
    steps = iter(enumerate(stages))

    def begin() -> None:
        number, what = next(steps)
        progress(what, number, len(stages))

    return begin


def _build(
    folder: Path, begin: Callable[[], None], variant: str | None, heed: Heed | None = None
) -> tuple[Built | None, list[Problem]]:
    """The vehicle with its wires laid, sized and dressed."""
    begin()
    reading, problems = read_folder(folder, variant)
    if reading is None or problems:
        return None, sorted(set(problems))
    if heed is not None:
        heed(reading.description)
    begin()
    vehicle, problems = join(reading)
    if vehicle is None or problems:
        return None, sorted(set(problems))
    begin()
    harness, problems = build_harness(vehicle)
    if harness is None or problems:
        return None, sorted(set(problems))
    begin()
    sizing, solved = choose(vehicle, harness)
    known = learn(harness, sizing, solved)
    harness, problems = build_harness(
        vehicle, known.current_a, known.area_mm2, known.legs, known.parallel
    )
    if harness is None or problems:
        return None, sorted(set(problems))
    harness, sizing, solved = _settled(vehicle, harness, sizing)
    return Built(vehicle, harness, sizing, solved, dressed(vehicle, harness, sizing)), []


def _settled(
    vehicle: Vehicle, harness: Harness, first: Sizing
) -> tuple[Harness, Sizing, Solved]:
    """Sizes for a harness, and its lengths for the layers that wires of these sizes make."""
    sizing, solved = choose(vehicle, harness, first, only_up_after=1)
    for lay in range(MOST_LAYS):
        laid = relaid(vehicle, harness, sizing, at_least=lay > 0)
        if laid == harness:
            break
        harness = laid
        sizing, solved = choose(vehicle, harness, sizing, only_up_after=0)
    return harness, sizing, solved
