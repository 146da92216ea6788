"""The stages in order: from a vehicle folder to everything that is worked out about it."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import fields, replace
from functools import partial
from pathlib import Path
from typing import Any

from buildbook.as_built.model import AsBuilt
from buildbook.as_built.read import read_as_built
from buildbook.checks.causes import with_causes, with_explained
from buildbook.checks.first_look import first_look
from buildbook.checks.model import Finding
from buildbook.checks.run import run_checks
from buildbook.checks.stages import Assessed, Checked
from buildbook.checks.tried_hints import with_tried_hints
from buildbook.description.edited import Edit, edited
from buildbook.description.models import Description
from buildbook.description.read import FolderContents, read_folder
from buildbook.electrical.model import Sensors
from buildbook.electrical.readings import readings
from buildbook.electrical.sensing import sense
from buildbook.electrical.supply import supply_report
from buildbook.faultfinding.diagnosis import FaultTable, fault_table
from buildbook.faultfinding.find import find_faults
from buildbook.faultfinding.model import Faultfinding
from buildbook.faultfinding.power_up import PowerUp, power_up
from buildbook.faultfinding.sweep import sweep
from buildbook.faultfinding.sweep_arrays import for_diagnosis, from_arrays, to_arrays
from buildbook.faultfinding.unplugged import Unplugged, unplugged
from buildbook.files.array_cache import cached, store
from buildbook.files.kept import key_of
from buildbook.files.kept_objects import find, once, put
from buildbook.harness.build import build_harness
from buildbook.harness.model import Harness
from buildbook.harness.packing import know, known
from buildbook.parts.bill import lacking, price
from buildbook.parts.model import Bill
from buildbook.parts.needs import needs
from buildbook.problem import Problem
from buildbook.result import Priced, Result
from buildbook.sizing.choose import choose
from buildbook.sizing.finished_runs import finished_runs, joints_of
from buildbook.sizing.first_pass import Learned, learn, read_learned, written
from buildbook.sizing.settle_lengths import settle_lengths
from buildbook.sizing.stage import Sized, in_its_language
from buildbook.tasks import Begin, here
from buildbook.vehicle.join import join
from buildbook.vehicle.model import Vehicle
from buildbook.vehicle.plain import OF_PRICES, plain, sums_key
from buildbook.words.say import in_language

Progress = Callable[[str, int, int], None]
Begun = Callable[[str], None]
"""Is told each stage as it begins."""
WhenRead = Callable[[Description], None]
"""Is shown the description as soon as it is read; what it raises ends the work there."""

READ = "Reading the description"
JOIN = "Joining it up"
LAY = "Laying the wires"
SIZE = "Choosing sizes and fuses"
PRICES = "Pricing the parts"
FAULTS = "Breaking every part in turn"
CHECKS = "Checking"
STAGES = (READ, JOIN, LAY, SIZE, PRICES, FAULTS, CHECKS)


MOST_WIRES_TRIED = 150
"""Wires up to which a finding's cure is tried on the whole model: each trial is a check anew."""


def quiet(_what: str, _done: int, _total: int) -> None:
    """Progress for callers that want none."""


def untold(_what: str) -> None:
    """Stages for callers that need not know."""


def work_out(
    folder: Path,
    progress: Progress = quiet,
    variant: str | None = None,
    when_read: WhenRead | None = None,
    when_sized: Callable[[Sized], None] | None = None,
    begin_beside: Begin = here,
    keep: bool = False,
) -> tuple[Result | None, list[Problem]]:
    """Run every stage on `folder`; None with the problems where the description has any.

    `variant` is worked out in place of the one that the vehicle names; 'as written' for none.
    `when_sized` is shown the stage of the sizes as soon as it is there; `begin_beside` is how what
    follows from it may be worked out beside the rest. With `keep` sums are kept in the user's
    cache folder, and found there by what they follow from.
    """
    begin = _beginnings(progress, STAGES)
    with _packings_kept(keep):
        sized, problems = sized_of(folder, begin, variant, when_read, keep)
        if sized is None:
            return None, problems
        if when_sized is not None:
            when_sized(sized)
        return _worked_out(sized, begin, begin_beside, keep), []


@in_its_language
def _worked_out(sized: Sized, begin: Begun, begin_beside: Begin, keep: bool) -> Result:
    begin(PRICES)
    bill = _bill(sized, keep)
    tested = begin_beside(_tested, sized, bill.missing, bill.unserved, keep)
    begin(FAULTS)
    faultfinding = once(_kept_as(sized, "faults", keep), partial(_broken, sized, begin_beside))
    begin(CHECKS)
    checked, first_power, off = tested.result()
    return Result(
        **{**held_by(checked), **held_by(sized)},
        bill=bill,
        faultfinding=faultfinding,
        power_up=first_power,
        unplugged=off,
    )


def _bill(sized: Sized, keep: bool) -> Bill:
    """What to buy, of the vehicle without what no price follows from."""
    vehicle = plain(sized.vehicle, reading=OF_PRICES)
    work = partial(price, vehicle, sized.harness, sized.sizing, sized.finished_runs)
    return once(_kept_as(sized, "bill", keep, OF_PRICES), work)


def _broken(sized: Sized, begin_beside: Begin) -> Faultfinding:
    """Every fault, of the vehicle without what no fault follows from."""
    return find_faults(
        plain(sized.vehicle), sized.harness, sized.sizing, sized.solved, begin_beside
    )


@in_its_language
def _tested(
    sized: Sized, unpriced: tuple[str, ...], unserved: tuple[tuple[str, str], ...], keep: bool
) -> tuple[Checked, PowerUp, dict[str, Unplugged]]:
    """What the checks say, and what to measure as power comes on and with a plug off."""
    with _packings_kept(keep):
        checked = _checked(sized, unpriced, unserved, keep)
    work = partial(_first_tests, sized, checked.sensors)
    first_power, off = once(_kept_as(sized, "first tests", keep), work)
    return checked, first_power, off


def _first_tests(sized: Sized, sensors: Sensors) -> tuple[PowerUp, dict[str, Unplugged]]:
    vehicle, harness, solved = plain(sized.vehicle), sized.harness, sized.solved
    return (
        power_up(vehicle, harness, solved, sensors),
        unplugged(vehicle, harness, solved, sensors),
    )


def price_out(
    folder: Path, progress: Progress = quiet, variant: str | None = None, keep: bool = False
) -> tuple[Priced | None, list[Problem]]:
    """What a vehicle costs and what the checks say, without its faults; as `work_out`."""
    begin = _beginnings(progress, [stage for stage in STAGES if stage != FAULTS])
    with _packings_kept(keep):
        sized, problems = sized_of(folder, begin, variant, keep=keep)
        return (_priced(sized, begin, keep) if sized else None), problems


@in_its_language
def _priced(sized: Sized, begin: Begun, keep: bool) -> Priced:
    begin(PRICES)
    bill = _bill(sized, keep)
    begin(CHECKS)
    checked = _checked(sized, bill.missing, bill.unserved, keep)
    return Priced(**held_by(checked), bill=bill)


def look_over(
    folder: Path, progress: Progress = quiet, variant: str | None = None, keep: bool = False
) -> tuple[Checked | None, list[Problem]]:
    """What the checks say, without choosing what to buy and without faults; as `work_out`."""
    begin = _beginnings(progress, [stage for stage in STAGES if stage not in (PRICES, FAULTS)])
    with _packings_kept(keep):
        sized, problems = sized_of(folder, begin, variant, keep=keep)
        return (_looked_over(sized, begin, keep) if sized else None), problems


@in_its_language
def _looked_over(sized: Sized, begin: Begun, keep: bool) -> Checked:
    begin(CHECKS)
    return _checked(sized, *_lacking(sized), keep)


def _lacking(sized: Sized) -> tuple[tuple[str, ...], tuple[tuple[str, str], ...]]:
    wanted = needs(sized.vehicle, sized.harness, sized.sizing, sized.finished_runs)
    return lacking(wanted, sized.vehicle.description)


def fault_table_of(
    folder: Path, progress: Progress = quiet, variant: str | None = None, keep: bool = False
) -> tuple[FaultTable | None, list[Problem]]:
    """A vehicle with every fault worked out, to be asked in English; nothing priced or checked.

    With `keep` the broken vehicle is kept in the user's cache folder, and found there by the
    content of its description: then only the wires are laid anew.
    """
    stages = [stage for stage in STAGES if stage not in (PRICES, CHECKS)]
    begin = _beginnings(progress, stages)
    begin(READ)
    contents, as_built, problems = _read(folder, variant)
    if contents is None or problems:
        return None, problems
    key = key_of((contents.description, as_built)) if keep else ""
    if keep and (table := _fault_table_cached(key, contents, as_built)) is not None:
        return table, []
    sized, problems = _sized_from(contents, as_built, begin)
    if sized is None:
        return None, problems
    begin(FAULTS)
    swept = sweep(sized.vehicle, sized.harness, sized.sizing, sized.solved, everywhere=False)
    swept = for_diagnosis(sized.vehicle, sized.harness, swept)
    if keep:
        store(key, to_arrays(swept, written(sized.learned)))
    return fault_table(sized.vehicle, sized.harness, swept), []


def _fault_table_cached(
    key: str, contents: FolderContents, as_built: AsBuilt | None
) -> FaultTable | None:
    """The table of a description that was broken before; None where nothing fits."""
    arrays = cached(key)
    found = from_arrays(arrays) if arrays is not None else None
    learned = read_learned(found[1]) if found else None
    if found is None or learned is None:
        return None
    vehicle, problems = join(contents, as_built)
    if vehicle is None or problems:
        return None
    harness, problems = _laid_again(vehicle, learned)
    return fault_table(vehicle, harness, found[0]) if harness and not problems else None


def held_by(stage: Sized) -> dict[str, Any]:
    """Everything that a stage holds, by name, for the stage that extends it."""
    return {field.name: getattr(stage, field.name) for field in fields(stage)}


def assessed_of(
    sized: Sized, unpriced: tuple[str, ...], unserved: tuple[tuple[str, str], ...]
) -> Assessed:
    """What the rules ask, sensors and supply with it, given what cannot be bought."""
    vehicle, harness, solved = sized.vehicle, sized.harness, sized.solved
    sensors = sense(vehicle, harness, solved)
    shown = readings(vehicle, harness, solved, sensors)
    return Assessed(
        **held_by(sized),
        sensors=sensors,
        readings=shown,
        supply=supply_report(vehicle, solved, shown),
        unpriced=unpriced,
        unserved=unserved,
    )


def _checked(
    sized: Sized, unpriced: tuple[str, ...], unserved: tuple[tuple[str, str], ...], keep: bool
) -> Checked:
    assessed = assessed_of(sized, unpriced, unserved)
    found = run_checks(assessed)
    if len(sized.harness.wires) <= MOST_WIRES_TRIED:
        found = with_causes(found, partial(_found_with, sized, keep))
    else:
        found = with_explained(found)
    return Checked(**held_by(assessed), findings=found)


def _found_with(sized: Sized, keep: bool, edits: tuple[Edit, ...]) -> tuple[Finding, ...] | None:
    """What is found with something written otherwise; None where that makes no vehicle."""
    vehicle = sized.vehicle
    assert vehicle.positions is not None
    description = edited(vehicle.description, edits)
    contents = FolderContents(description, vehicle.positions, {})
    again, _ = _sized_from(contents, vehicle.as_built, untold, keep)
    return None if again is None else run_checks(assessed_of(again, *_lacking(again)))


def _beginnings(progress: Progress, stages: Sequence[str]) -> Begun:
    """Tells each of the stages with how many were before it."""

    def begin(what: str) -> None:
        progress(what, stages.index(what), len(stages))

    return begin


def _kept_as(sized: Sized, what: str, keep: bool, reading: Collection[str] = ()) -> str:
    """The name under which something that follows from the sizes is kept; '' for not at all.

    `reading` are keys of the description that it follows from besides.
    """
    key = sums_key(sized.vehicle, reading) if keep else ""
    return key and key_of((key, what))


@contextmanager
def _packings_kept(keep: bool) -> Iterator[None]:
    """Knows the packings of earlier runs in the block, and keeps those that it adds to them."""
    if not keep:
        yield
        return
    key = key_of(("packings",))
    before = find(key) or {}
    know(before)
    yield
    if known().keys() - before.keys():
        put(key, known())


def sized_of(
    folder: Path,
    begin: Begun,
    variant: str | None = None,
    when_read: WhenRead | None = None,
    keep: bool = False,
) -> tuple[Sized | None, list[Problem]]:
    """The vehicle with its wires laid, sized and finished."""
    begin(READ)
    contents, as_built, problems = _read(folder, variant)
    if contents is None or problems:
        return None, problems
    if when_read is not None:
        when_read(contents.description)
    with in_language(contents.description.vehicle.language):
        return _sized_from(contents, as_built, begin, keep)


def _read(
    folder: Path, variant: str | None
) -> tuple[FolderContents | None, AsBuilt | None, list[Problem]]:
    """The description of a vehicle folder and what was built of it."""
    contents, problems = read_folder(folder, variant)
    as_built, more = read_as_built(folder)
    return contents, as_built, sorted({*problems, *more})


def _sized_from(
    contents: FolderContents, as_built: AsBuilt | None, begin: Begun, keep: bool = False
) -> tuple[Sized | None, list[Problem]]:
    begin(JOIN)
    vehicle, problems = join(contents, as_built)
    if vehicle is None or problems:
        rejoin = partial(_joined_with, contents, as_built)
        return None, with_tried_hints(sorted(set(problems)), rejoin)
    if problems := first_look(vehicle):
        return None, problems
    key = sums_key(vehicle) if keep else ""
    laid, problems = once(key, partial(_laid_and_sized, plain(vehicle), begin))
    return (None if laid is None else Sized(vehicle=vehicle, **laid)), problems


def _laid_and_sized(vehicle: Vehicle, begin: Begun) -> tuple[dict[str, Any] | None, list[Problem]]:
    """What the stage of the sizes holds beside its vehicle."""
    begin(LAY)
    harness, problems = build_harness(vehicle)
    if harness is None or problems:
        return None, sorted(set(problems))
    begin(SIZE)
    sizing, solved = choose(vehicle, harness)
    learned = learn(harness, sizing, solved)
    harness, problems = _laid_again(vehicle, learned)
    if harness is None or problems:
        return None, sorted(set(problems))
    harness, sizing, solved = settle_lengths(vehicle, harness, sizing)
    return {
        "harness": harness,
        "learned": learned,
        "sizing": sizing,
        "solved": solved,
        "finished_runs": finished_runs(vehicle, harness, sizing),
        "joints": joints_of(vehicle, harness, sizing),
    }, []


def _joined_with(
    contents: FolderContents, as_built: AsBuilt | None, edits: tuple[Edit, ...]
) -> Vehicle | None:
    """The vehicle with something written otherwise; None where that makes none."""
    description = edited(contents.description, edits)
    vehicle, problems = join(replace(contents, description=description), as_built)
    return None if problems else vehicle


def _laid_again(vehicle: Vehicle, known: Learned) -> tuple[Harness | None, list[Problem]]:
    return build_harness(
        vehicle, known.current_a, known.area_mm2, known.legs, known.parallel, known.crossing_a
    )
