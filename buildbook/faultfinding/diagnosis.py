"""From what somebody sees and measures to the suspects, and the next question."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from math import fsum

import numpy as np

from buildbook.electrical.network import inside
from buildbook.faultfinding.access import probe_places
from buildbook.faultfinding.answers import Answer, fitting
from buildbook.faultfinding.effects import SeenLoads, effects_in_state, seen_loads
from buildbook.faultfinding.entries import Said
from buildbook.faultfinding.faults import likeliest_first, weight
from buildbook.faultfinding.find import symptoms_of
from buildbook.faultfinding.model import ComplaintPatterns, Effect, Fault, Step, Symptom
from buildbook.faultfinding.questions import Asking
from buildbook.faultfinding.sensor_levels import Ends, ends
from buildbook.faultfinding.shorts import measure_ohms
from buildbook.faultfinding.sweep import Sweep
from buildbook.faultfinding.tree import LEAST_GAP_V, Questions, Split, best_split, step_of
from buildbook.harness.model import Harness
from buildbook.vehicle.model import Vehicle

WRONG = "wrong reading"
STUCK = "stuck on"

ONE_PURPOSE = ("ignition coil", "injector")
"""Kinds of device that do nothing once any of their loads is dead: a coil without its feed."""


@dataclass(frozen=True)
class DriverReport:
    """What somebody reports: device or load ids, the state, and readings (node -> volts)."""

    state: str
    dead: tuple[str, ...] = ()
    weak: tuple[str, ...] = ()
    works: tuple[str, ...] = ()
    readings: Mapping[str, float] | None = None
    """In that state."""
    stuck_on: tuple[str, ...] = ()
    reads_wrong: tuple[str, ...] = ()
    blows: tuple[str, ...] = ()
    """Fuses that open again."""
    trips: tuple[str, ...] = ()
    """Outputs that switch themselves off again, by contact."""
    answers: tuple[Answer, ...] = ()
    """What was found besides, in any state."""
    among: Mapping[str, float] = field(default_factory=dict)
    """Where a symptom was named, the ids of the faults that are meant and how likely each is."""
    skipped: tuple[tuple[str, str, str], ...] = ()
    """Node, state and kind of questions that are not to be asked again."""

    @property
    def named(self) -> tuple[str, ...]:
        """All devices and loads of which something is told."""
        return (*self.dead, *self.weak, *self.works, *self.stuck_on, *self.reads_wrong)


@dataclass(frozen=True)
class Opened:
    """What a fault opens in a state: fuses, outputs that trip; `burns` where nothing stops it."""

    blows: tuple[str, ...]
    trips: tuple[str, ...]
    burns: bool


@dataclass(frozen=True)
class Suspect:
    """A fault, how well it explains what was report, and what else it would do."""

    fault: Fault
    opened: Opened
    """In the state."""
    share: float
    """Of the likelihood of all suspects listed."""
    missed: tuple[str, ...]
    """What was told and this fault does not do."""
    also: tuple[str, ...]
    """Devices that it would upset too, of which nothing was report."""


@dataclass(frozen=True)
class Diagnosis:
    report: DriverReport
    suspects: tuple[Suspect, ...]
    explained: bool
    """False where no single fault does all that was report: then the best of them are listed."""
    shared: tuple[Fault, ...]
    """Parts whose loss kills everything told to be dead."""
    doubted: tuple[str, ...]
    """Places whose reading or answer fits no suspect: nothing was concluded from it."""
    next: Step | None
    """None where nothing that can be asked tells the suspects apart."""


@dataclass(frozen=True)
class FaultTable:
    """A vehicle with all its faults worked out: ask it any number of times."""

    vehicle: Vehicle
    harness: Harness
    swept: Sweep
    seen: SeenLoads
    called: Mapping[str, tuple[str, ...]]
    """Device or load id -> ids of the loads that it stands for."""
    ends: Mapping[str, Ends]
    """State -> lowest and highest volts of each fault, as sensors may stand."""
    well: Mapping[str, frozenset[str]]
    """State -> loads that work in it while all is well."""
    asking: Asking = field(repr=False)

    @cached_property
    def told(
        self,
    ) -> tuple[tuple[Symptom, ...], tuple[ComplaintPatterns, ...], tuple[Said, ...]]:
        """The book's symptoms, what drivers say, and the lines of the trackside page."""
        return symptoms_of(self.vehicle, self.harness, self.swept)


def fault_table(vehicle: Vehicle, harness: Harness, swept: Sweep) -> FaultTable:
    """Prepare the answers that no report changes."""
    seen = seen_loads(vehicle, swept.nodes, swept.reference, swept.unsure)
    called: dict[str, tuple[str, ...]] = {}
    for load in seen.loads:
        called[load.device] = (*called.get(load.device, ()), load.id)
    called |= {load.id: (load.id,) for load in seen.loads if load.id != load.device}
    well = {state: _well(seen, state, swept.healthy[state]) for state in vehicle.states}
    held = ends(vehicle, harness, swept)
    asking = Asking(vehicle, harness, swept, held)
    return FaultTable(vehicle, harness, swept, seen, called, held, well, asking)


def loads_called(table: FaultTable, name: str) -> tuple[str, ...]:
    """Ids of the loads that a device or load id stands for; none where it is not known."""
    return table.called.get(name, ())


def working_in(table: FaultTable, name: str) -> tuple[str, ...]:
    """States in which a device or load works while all is well."""
    wanted = set(loads_called(table, name))
    return tuple(state for state in table.vehicle.states if wanted & table.well[state])


def _well(seen: SeenLoads, state: str, healthy: np.ndarray) -> frozenset[str]:
    """Loads that work in a state: those that a network without any volts would leave dead."""
    none = [Fault("", "", "", "")]
    found = effects_in_state(state, seen, healthy, np.zeros((1, len(healthy))), none)
    return frozenset(effect.load for effect in found[0])


def probes(table: FaultTable) -> dict[str, str]:
    """What a probe's place is called -> its node: 'F4' and 'F4.out', 'K3.87', 'X1.5/engine'."""
    found: dict[str, str] = {}
    for node in probe_places(table.vehicle, table.harness):
        found[node.removesuffix("~")] = node
    for device in table.vehicle.devices.values():
        if device.kind == "fuse":
            found[device.id] = inside(next(b.to_pin for b in device.bonds if b.kind == "fuse"))
        elif len(device.pins) == 1 and device.pins[0].id in found:
            found[device.id] = found[device.pins[0].id]
    return {name: node for name, node in found.items() if node in table.swept.nodes}


def diagnose(table: FaultTable, report: DriverReport) -> Diagnosis:
    """Suspects of what was report, narrowed by what was found, and what to ask next.

    Swapped pins and plugs, which are made at the bench, are none. Those that explain all of
    it come alone; only where there are none do others follow.
    """
    swept = table.swept
    effects = effects_of(table, report.state)
    asked = _asked(table, report)
    device = {load.id: load.device for load in table.seen.loads}
    among = report.among
    judged = [
        _judge(table, asked, device, found, _opened(table, fault, report.state), report)
        if fault.mode != "swap" and not among
        else ((), (), fault.id in among)
        for fault, found in zip(swept.faults, effects, strict=True)
    ]
    fewest = min((missed for missed, _, counts in judged if counts), key=len, default=())
    rows = [
        i for i, (missed, _, counts) in enumerate(judged) if counts and len(missed) == len(fewest)
    ]
    rows, doubted = _narrowed(table, report, rows)
    weights = np.array(
        [
            among.get(fault.id) or weight(fault, len(also))
            for fault, (_, also, _) in zip(swept.faults, judged, strict=True)
        ]
    )
    rows.sort(key=lambda i: (-weights[i], swept.faults[i].id))
    total = fsum(weights[i] for i in rows) or 1.0
    suspects = tuple(
        Suspect(
            swept.faults[i],
            _opened(table, swept.faults[i], report.state),
            float(weights[i] / total),
            judged[i][0],
            judged[i][1],
        )
        for i in rows
    )
    shared = _shared(table, report, table.well[report.state], effects)
    after = _next(table, report, sorted(rows), weights)
    return Diagnosis(report, suspects, not fewest and bool(rows), shared, doubted, after)


def effects_of(table: FaultTable, state: str) -> list[list[Effect]]:
    """What each fault does in a state."""
    swept = table.swept
    return effects_in_state(
        state, table.seen, swept.healthy[state], swept.faulted[state], swept.faults
    )


def one_by_one(table: FaultTable, report: DriverReport) -> tuple[tuple[str, Diagnosis], ...]:
    """Each thing that fails with the diagnosis of it alone, in the order told.

    For where no single fault explains them together. What works still clears its parts;
    readings, which two faults together may have made, are left out.
    """
    state, works = report.state, report.works
    alone = [(name, DriverReport(state, (name,), (), works)) for name in report.dead]
    alone += [(name, DriverReport(state, (), (name,), works)) for name in report.weak]
    return tuple((name, diagnose(table, one)) for name, one in alone)


def _opened(table: FaultTable, fault: Fault, state: str) -> Opened:
    blown = table.swept.blown.get(fault.id, ())
    names = dict.fromkeys(b.fuse for b in blown if b.state == state)
    return Opened(
        tuple(name for name in names if name in table.vehicle.devices),
        tuple(name for name in names if name and name not in table.vehicle.devices),
        "" in names,
    )


def _asked(table: FaultTable, report: DriverReport) -> list[tuple[str, str, tuple[str, ...]]]:
    """Each name told, what is told of it ('' that it works), and its loads that should work."""
    well = table.well[report.state]
    told = (
        ("dead", report.dead),
        ("weak", report.weak),
        (WRONG, report.reads_wrong),
        ("", report.works),
    )
    found = [
        (name, wanted, tuple(load for load in loads_called(table, name) if load in well))
        for wanted, those in told
        for name in those
    ]
    return [*found, *((name, STUCK, loads_called(table, name)) for name in report.stuck_on)]


def _judge(
    table: FaultTable,
    asked: Sequence[tuple[str, str, tuple[str, ...]]],
    device: Mapping[str, str],
    effects: Sequence[Effect],
    opened: Opened,
    report: DriverReport,
) -> tuple[tuple[str, ...], tuple[str, ...], bool]:
    """What of the report a fault does not do, what else it does, whether it does any of it."""
    of_load = {effect.load: effect.effect for effect in effects}
    missed = [
        f"{name} {wanted or 'working'}"
        for name, wanted, loads in asked
        if not _is(wanted, [of_load.get(load, "") for load in loads], _one_purpose(table, name))
    ]
    missed += [f"{fuse} blows" for fuse in report.blows if fuse not in opened.blows]
    missed += [f"{output} trips" for output in report.trips if output not in opened.trips]
    named = {load for _, _, loads in asked for load in loads}
    complaint_of = {device[load] for load in named}
    also = dict.fromkeys(device[x] for x in of_load if device[x] not in complaint_of)
    told = (*report.blows, *report.trips)
    upset = not named.isdisjoint(of_load) or not {*opened.blows, *opened.trips}.isdisjoint(told)
    total = len(asked) + len(told)
    return tuple(missed), () if told else tuple(also), len(missed) < total and upset


def _one_purpose(table: FaultTable, name: str) -> bool:
    return name in table.vehicle.devices and table.vehicle.devices[name].kind in ONE_PURPOSE


def _is(wanted: str, found: Sequence[str], one_purpose: bool = False) -> bool:
    """True where a device's working loads are all dead, or some weak, or all well.

    A sensor is never dead to see: it reads wrong, which is told as dead or as weak. A device of
    one purpose is dead as soon as its feed is.
    """
    if wanted == "dead":
        dead = [effect in ("dead", WRONG) for effect in found]
        return any(dead) if one_purpose else bool(found) and all(dead)
    if wanted == "weak":
        return "weak" in found or WRONG in found
    if wanted in (STUCK, WRONG):
        return wanted in found
    return not any(effect in ("dead", "weak", WRONG) for effect in found)


def answers_of(report: DriverReport) -> tuple[Answer, ...]:
    """All that was found, the volts of the report's own state first."""
    volts = (report.readings or {}).items()
    return (*(Answer("volts", node, report.state, v) for node, v in volts), *report.answers)


def _narrowed(
    table: FaultTable, report: DriverReport, rows: list[int]
) -> tuple[list[int], tuple[str, ...]]:
    """The rows that each answer leaves, in turn; and the places of those that fit none."""
    doubted = []
    for answer in answers_of(report):
        if not rows:
            break
        faults = [table.swept.faults[row] for row in rows]
        seen = effects_of(table, answer.state) if answer.what == "look" else []
        effects = {table.swept.faults[row].id: seen[row] for row in rows} if seen else {}
        fits = fitting(table.asking, faults, effects, answer)
        if fits is None:
            doubted.append(answer.node)
        else:
            rows = [row for row, fit in zip(rows, fits, strict=True) if fit]
    return rows, tuple(doubted)


def _shared(
    table: FaultTable,
    report: DriverReport,
    well: frozenset[str],
    effects: Sequence[Sequence[Effect]],
) -> tuple[Fault, ...]:
    """Parts whose opening kills all that is dead."""
    wanted = [
        ([x for x in loads_called(table, name) if x in well], _one_purpose(table, name))
        for name in report.dead
    ]
    return likeliest_first(
        fault
        for fault, found in zip(table.swept.faults, effects, strict=True)
        if wanted and fault.mode == "open" and _kills(wanted, found)
    )


def _kills(wanted: Iterable[tuple[list[str], bool]], effects: Iterable[Effect]) -> bool:
    of_load = {effect.load: effect.effect for effect in effects}
    return all(_is("dead", [of_load.get(x, "") for x in loads], one) for loads, one in wanted)


def _next(
    table: FaultTable, report: DriverReport, rows: list[int], weights: np.ndarray
) -> Step | None:
    """What tells most of the suspects for the time that it takes, none twice."""
    faults = [table.swept.faults[row] for row in rows]
    if len({fault.branch for fault in faults}) < 2:
        return None
    known = {(a.node, a.state, a.what) for a in answers_of(report)} | {*report.skipped}
    if all(fault.mode == "short" for fault in faults):
        ohms = measure_ohms(table.vehicle, table.harness, likeliest_first(faults))
        return next((s for s in ohms if (s.node, s.state, s.what) not in known), None)
    found = effects_of(table, report.state)
    effects = {table.swept.faults[row].id: found[row] for row in rows}
    questions = table.asking.about(
        faults, {report.state}, LEAST_GAP_V, lambda fault: effects[fault.id]
    )
    asked = [c for c in range(len(questions.nodes)) if questions.place(c) in known]
    every, own = np.arange(len(rows)), weights[rows]
    split = best_split(questions, every, own, asked) or _widest(questions, every, asked)
    return step_of(split, [f.id for f in faults], own, questions) if split else None


def _widest(questions: Questions, rows: np.ndarray, asked: Sequence[int]) -> Split | None:
    """Where no gap parts the suspects: the place with their readings furthest apart, in halves."""
    if not len(questions.nodes):
        return None
    sure = np.all(questions.readings == questions.highest, axis=0)
    sure &= np.array([questions.kind(c) == "volts" for c in range(len(questions.nodes))])
    sure[list(asked)] = False
    spread = np.where(sure, np.ptp(questions.readings, axis=0), 0.0)
    worth = np.where(spread > LEAST_GAP_V, spread / (1 + questions.seconds), -np.inf)
    if not np.isfinite(worth).any():
        return None
    column = int(np.argmax(np.round(worth, 9)))
    values = questions.readings[:, column]
    middle = (values.min() + values.max()) / 2
    return Split(column, rows[values <= middle], rows[values > middle])
