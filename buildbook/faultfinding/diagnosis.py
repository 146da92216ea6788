"""From what somebody sees and measures to the suspects, and the next place to measure."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from buildbook.electrical.network import inside
from buildbook.faultfinding.access import probe_places
from buildbook.faultfinding.effects import SeenLoads, effects_in_state, seen_loads
from buildbook.faultfinding.faults import likeliest_first, likelihood
from buildbook.faultfinding.model import Effect, Fault
from buildbook.faultfinding.sensor_levels import Ends, ends
from buildbook.faultfinding.sweep import Sweep
from buildbook.faultfinding.tree import LEAST_GAP_V, TROUBLE_WEIGHT, Places, Split, best_split
from buildbook.harness.model import Harness
from buildbook.vehicle.model import Vehicle

AS_NEAR_V = LEAST_GAP_V / 2
"""A suspect stays while its reading is this near to that of the nearest suspect."""

FAR_V, FAR_SHARE = 1.0, 0.1
"""A reading further than this (volts, and share of it) from every suspect speaks against all.
Our choice: a battery at 11.9 V instead of 12.7 still passes."""


WRONG = "wrong reading"


@dataclass(frozen=True)
class DriverReport:
    """What somebody reports: device or load ids, the state, and readings (node -> volts)."""

    state: str
    dead: tuple[str, ...]
    weak: tuple[str, ...] = ()
    works: tuple[str, ...] = ()
    readings: Mapping[str, float] | None = None


@dataclass(frozen=True)
class Suspect:
    """A fault, how well it explains what was report, and what else it would do."""

    fault: Fault
    blows: tuple[str, ...]
    """Fuses that it opens in the state."""
    share: float
    """Of the likelihood of all suspects listed."""
    missed: tuple[str, ...]
    """What was told and this fault does not do."""
    also: tuple[str, ...]
    """Devices that it would upset too, of which nothing was report."""


@dataclass(frozen=True)
class Measurement:
    """A node to probe; a reading nearer `low_v` leaves `low`, nearer `high_v` leaves `high`."""

    node: str
    low_v: float
    high_v: float
    low: tuple[str, ...]
    high: tuple[str, ...]


@dataclass(frozen=True)
class Diagnosis:
    report: DriverReport
    suspects: tuple[Suspect, ...]
    explained: bool
    """False where no single fault does all that was report: then the best of them are listed."""
    shared: tuple[Fault, ...]
    """Parts whose loss kills everything told to be dead."""
    doubted: tuple[str, ...]
    """Nodes whose reading fits no suspect."""
    next: Measurement | None
    """None where no reading at a place that can be reached tells the suspects apart."""


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


def fault_table(vehicle: Vehicle, harness: Harness, swept: Sweep) -> FaultTable:
    """Prepare the answers that no report changes."""
    seen = seen_loads(vehicle, swept.nodes, swept.reference, swept.unsure)
    called: dict[str, tuple[str, ...]] = {}
    for load in seen.loads:
        called[load.device] = (*called.get(load.device, ()), load.id)
    called |= {load.id: (load.id,) for load in seen.loads if load.id != load.device}
    well = {state: _well(seen, state, swept.healthy[state]) for state in vehicle.states}
    return FaultTable(vehicle, harness, swept, seen, called, ends(vehicle, harness, swept), well)


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
    """Suspects of what was report, narrowed by the readings, and what to measure next.

    Swapped pins and plugs, which are made at the bench, are none. Those that explain all of
    it come alone; only where there are none do others follow.
    """
    state, swept = report.state, table.swept
    effects = effects_in_state(
        state, table.seen, swept.healthy[state], swept.faulted[state], swept.faults
    )
    well = table.well[state]
    asked = _asked(table, report)
    device = {load.id: load.device for load in table.seen.loads}
    judged = [
        _judge(asked, device, found) if found and fault.mode != "swap" else ((), (), False)
        for fault, found in zip(swept.faults, effects, strict=True)
    ]
    fewest = min((missed for missed, _, counts in judged if counts), key=len, default=())
    rows = [
        i for i, (missed, _, counts) in enumerate(judged) if counts and len(missed) == len(fewest)
    ]
    rows, doubted = _by_readings(table, report, rows)
    likely = np.array([likelihood(fault) for fault in swept.faults])
    weights = likely / np.array([1 + len(also) for _, also, _ in judged])
    rows.sort(key=lambda i: (-weights[i], swept.faults[i].id))
    total = sum(weights[i] for i in rows) or 1.0
    suspects = tuple(
        Suspect(
            swept.faults[i],
            _blows(table, swept.faults[i], state),
            float(weights[i] / total),
            judged[i][0],
            judged[i][1],
        )
        for i in rows
    )
    shared = _shared(table, report, well, effects)
    after = _next(table, report, np.array(sorted(rows), dtype=np.intp), weights)
    return Diagnosis(report, suspects, not fewest and bool(rows), shared, doubted, after)


def one_by_one(table: FaultTable, report: DriverReport) -> tuple[tuple[str, Diagnosis], ...]:
    """Each thing that fails with the diagnosis of it alone, in the order told.

    For where no single fault explains them together. What works still clears its parts;
    readings, which two faults together may have made, are left out.
    """
    state, works = report.state, report.works
    alone = [(name, DriverReport(state, (name,), (), works)) for name in report.dead]
    alone += [(name, DriverReport(state, (), (name,), works)) for name in report.weak]
    return tuple((name, diagnose(table, one)) for name, one in alone)


def _blows(table: FaultTable, fault: Fault, state: str) -> tuple[str, ...]:
    blown = table.swept.blown.get(fault.id, ())
    return tuple(dict.fromkeys(b.fuse for b in blown if b.state == state))


def _asked(table: FaultTable, report: DriverReport) -> list[tuple[str, str, tuple[str, ...]]]:
    """Each name told, what is told of it ('' that it works), and its loads that should work."""
    well = table.well[report.state]
    return [
        (name, wanted, tuple(load for load in loads_called(table, name) if load in well))
        for wanted, those in (
            ("dead", report.dead),
            ("weak", report.weak),
            ("", report.works),
        )
        for name in those
    ]


def _judge(
    asked: Sequence[tuple[str, str, tuple[str, ...]]],
    device: Mapping[str, str],
    effects: Sequence[Effect],
) -> tuple[tuple[str, ...], tuple[str, ...], bool]:
    """What of the report a fault does not do, what else it does, whether it does any of it."""
    of_load = {effect.load: effect.effect for effect in effects}
    missed = tuple(
        f"{name} {wanted or 'working'}"
        for name, wanted, loads in asked
        if not _is(wanted, [of_load.get(load, "") for load in loads])
    )
    named = {load for _, _, loads in asked for load in loads}
    complaint_of = {device[load] for load in named}
    also = dict.fromkeys(device[x] for x in of_load if device[x] not in complaint_of)
    upset = not named.isdisjoint(of_load)
    return missed, tuple(also), len(missed) < len(asked) and upset


def _is(wanted: str, found: Sequence[str]) -> bool:
    """True where a device's working loads are all dead, or some weak, or all well.

    A sensor is never dead to see: it reads wrong, which is told as dead or as weak.
    """
    if wanted == "dead":
        return bool(found) and all(effect in ("dead", WRONG) for effect in found)
    if wanted == "weak":
        return "weak" in found or WRONG in found
    return not any(effect in ("dead", "weak", WRONG) for effect in found)


def _by_readings(
    table: FaultTable, report: DriverReport, rows: list[int]
) -> tuple[list[int], tuple[str, ...]]:
    """The rows that each reading leaves, in turn; and the nodes that speak against all."""
    place = {node: i for i, node in enumerate(table.swept.nodes)}
    doubted = []
    for node, volts in (report.readings or {}).items():
        if not rows:
            break
        low, high = (end[rows, place[node]] for end in table.ends[report.state])
        away = np.maximum(0.0, np.maximum(low - volts, volts - high))
        if away.min() > FAR_V + FAR_SHARE * abs(volts):
            doubted.append(node)
        rows = [row for row, far in zip(rows, away, strict=True) if far <= away.min() + AS_NEAR_V]
    return rows, tuple(doubted)


def _shared(
    table: FaultTable,
    report: DriverReport,
    well: frozenset[str],
    effects: Sequence[Sequence[Effect]],
) -> tuple[Fault, ...]:
    wanted = {x for name in report.dead for x in loads_called(table, name) if x in well}
    return likeliest_first(
        fault
        for fault, found in zip(table.swept.faults, effects, strict=True)
        if wanted
        and fault.mode == "open"
        and wanted <= {effect.load for effect in found if effect.effect in ("dead", WRONG)}
    )


def _next(
    table: FaultTable, report: DriverReport, rows: np.ndarray, weights: np.ndarray
) -> Measurement | None:
    """The reading that shares the suspects most evenly for its trouble, none twice."""
    if len(rows) < 2:
        return None
    place = {node: i for i, node in enumerate(table.swept.nodes)}
    reach = probe_places(table.vehicle, table.harness).items()
    free = [(n, cost) for n, cost in reach if n in place and n not in (report.readings or {})]
    columns = [place[node] for node, _ in free]
    lowest, highest = (end[:, columns] for end in table.ends[report.state])
    nodes = tuple(node for node, _ in free)
    trouble = np.array([cost for _, cost in free])
    places = Places(nodes, (report.state,) * len(nodes), trouble, lowest, most=highest)
    split = best_split(places, rows, weights) or _widest(places, rows)
    if split is None:
        return None
    faults = table.swept.faults
    return Measurement(
        nodes[split.column],
        float(highest[split.low[np.argmax(weights[split.low])], split.column]),
        float(lowest[split.high[np.argmax(weights[split.high])], split.column]),
        tuple(faults[i].id for i in split.low),
        tuple(faults[i].id for i in split.high),
    )


def _widest(places: Places, rows: np.ndarray) -> Split | None:
    """Where no gap parts the suspects: the place with their readings furthest apart, in halves."""
    sure = np.all(places.readings[rows] == places.highest[rows], axis=0)
    spread = np.where(sure, np.ptp(places.readings[rows], axis=0), 0.0)
    worth = np.where(spread > LEAST_GAP_V, spread - TROUBLE_WEIGHT * places.trouble, -np.inf)
    if not len(worth) or not np.isfinite(worth).any():
        return None
    column = int(np.argmax(np.round(worth, 6)))
    values = places.readings[rows, column]
    middle = (values.min() + values.max()) / 2
    return Split(column, rows[values <= middle], rows[values > middle])


def best_state(table: FaultTable, names: Iterable[str]) -> str | None:
    """The state to look in: all that was named works there, the engine still where it can be."""
    sets = [set(working_in(table, name)) for name in names]
    both = set.intersection(*sets) if sets else set()
    states = [state for state in table.vehicle.states if state in both]
    engine = table.vehicle.description.states
    return min(states, key=lambda state: engine[state].engine, default=None)
