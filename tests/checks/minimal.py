"""Parts of small vehicles made by hand, with only what a test says about them."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from buildbook.catalogue.load import contact_families, wire_families
from buildbook.checks.stages import Assessed
from buildbook.description import models as written
from buildbook.electrical.model import Branch, Sensors, Solution, Solved, SupplyReport
from buildbook.harness.model import Addend, Bundle, End, Harness, Splice, Wire
from buildbook.problem import Where
from buildbook.sizing.first_pass import Learned
from buildbook.sizing.model import FuseSizing, Limit, OutputSizing, Sizing, WireSizing
from buildbook.vehicle.model import (
    Bond,
    Circuit,
    Connector,
    Contact,
    Device,
    Load,
    Pin,
    Run,
    Source,
    Vehicle,
)
from buildbook.vehicle.power import supply_of

HERE = Where("vehicle.yaml", 7, 3)
STATES = ("off", "on", "cranking")


def description(**sections: Any) -> written.Description:
    """A description with two zones, three states and no devices, and sections replaced."""
    base: dict[str, Any] = {
        "vehicle": {"name": "Bench", "date": "2026-03-01", "tax": "20 %"},
        "supply": {"battery": {"between": ["battery.+", "battery.-"]}},
        "states": {"off": {}, "on": {}, "cranking": {}},
        "zones": {"cabin": {"ambient": "40 degC"}},
        "systems": {"main": {"title": "Main"}},
        "devices": {},
        "circuits": {},
        "rope": {},
    }
    return written.Description.model_validate({**base, **sections})


def pin(device: str, name: str, contact: str = "blade-6.3", **fields: Any) -> Pin:
    family = contact_families()[contact]
    use = fields.pop("use", "")
    return Pin(f"{device}.{name}", device, name, use, family, family.stud, **fields)


def device(
    id_: str, kind: str, pins: str, contact: str = "blade-6.3", point: str = "P", **parts: Any
) -> Device:
    """`pins` are names separated by spaces; `written` holds keys of the description."""
    keys = {"kind": kind, **parts.pop("written", {})}
    found = tuple(pin(id_, name, contact) for name in pins.split())
    empty: dict[str, Any] = {
        "connectors": (),
        "loads": (),
        "contacts": (),
        "sources": (),
        "bonds": (),
    }
    return Device(
        id_,
        id_.replace("-", " ").capitalize(),
        kind,
        point,
        "main",
        found,
        written=written.Device.model_validate(keys),
        where=HERE,
        **{**empty, **parts},
    )


BATTERY = device("battery", "battery", "+ -", "ring-M8")


def load(id_: str, from_pin: str, to_pin: str, ohms: float, **fields: Any) -> Load:
    states = frozenset(fields.pop("states", STATES))
    return Load(
        id_,
        id_.partition(".")[0],
        f"{from_pin}",
        f"{to_pin}",
        ohms,
        fields.pop("duty", 1.0),
        states,
        fields.pop("works_from_v", 0.0),
        **fields,
    )


def switch(id_: str, from_pin: str, to_pin: str, **fields: Any) -> Contact:
    states = frozenset(fields.pop("states", STATES))
    return Contact(id_, id_.partition(".")[0], from_pin, to_pin, states, **fields)


def fuse(id_: str, **keys: Any) -> Device:
    bond = Bond(id_, id_, f"{id_}.in", f"{id_}.out", 0.005, "fuse")
    return device(id_, "fuse", "in out", bonds=(bond,), written=keys)


def source(id_: str, plus: str, minus: str, **fields: Any) -> Source:
    return Source(id_, id_.partition(".")[0], plus, minus, **fields)


def circuit(id_: str, number: int, joined: tuple[str, ...], devices: dict[str, Device], **fields):
    pins = {p.id: p for d in devices.values() for p in d.pins}
    keys = {"join": list(joined), **fields.pop("written", {})}
    return Circuit(
        id_,
        number,
        tuple(pins[j] for j in joined),
        "main",
        written.Circuit.model_validate(keys),
        HERE,
        **fields,
    )


def vehicle(
    devices: tuple[Device, ...] = (),
    circuits: dict[str, tuple[str, ...]] | None = None,
    runs: tuple[Run, ...] = (),
    told: dict[str, dict[str, Any]] | None = None,
    **sections: Any,
) -> Vehicle:
    """`circuits` are pin ids by circuit; `told` holds fields of single circuits."""
    by_id = {d.id: d for d in devices}
    made = {
        name: circuit(name, 101 + n, joined, by_id, **(told or {}).get(name, {}))
        for n, (name, joined) in enumerate((circuits or {}).items())
    }
    of_pin: dict[str, tuple[str, ...]] = {}
    for name, found in made.items():
        for p in found.pins:
            of_pin[p.id] = (*of_pin.get(p.id, ()), name)
    told_of = description(**sections)
    return Vehicle(
        told_of,
        by_id,
        {p.id: p for d in devices for p in d.pins},
        {},
        made,
        of_pin,
        runs,
        (),
        wire_families(),
        STATES,
        supply_of(
            told_of.supply,
            told_of.states,
            by_id,
            made.values(),
            runs,
            told_of.zones,
            lambda _: HERE,
        ),
    )


def run(id_: str, a: str, b: str, length_m: float = 1.0, zone: str = "cabin", **fields) -> Run:
    return Run(
        id_,
        fields.pop("harness", "h"),
        a,
        b,
        length_m,
        zone,
        False,
        fields.pop("clamps", 0),
        HERE,
        **fields,
    )


def end(node: str, kind: str = "pin", **fields: Any) -> End:
    return End(kind, node, fields.pop("point", "P"), **fields)


def wire(id_: str, circuit_id: str, a: End, b: End, length_m: float = 1.0, **fields: Any) -> Wire:
    return Wire(
        id_,
        circuit_id,
        fields.pop("harness", "h"),
        a,
        b,
        fields.pop("runs", ()),
        fields.pop("points", ()),
        (Addend("rope", length_m),),
        fields.pop("colour", "RD"),
        "thin-wall",
        **fields,
    )


def harness(
    wires: tuple[Wire, ...] = (),
    splices: tuple[Splice, ...] = (),
    connectors: tuple[Connector, ...] = (),
    bundles: tuple[Bundle, ...] = (),
    pass_pins: tuple = (),
) -> Harness:
    at: dict[str, tuple[str, ...]] = {}
    for w in wires:
        for e in (w.a, w.b):
            at[e.node] = (*at.get(e.node, ()), w.id)
    return Harness(
        {w.id: w for w in wires},
        {s.id: s for s in splices},
        pass_pins,
        {c.id: c for c in connectors},
        {b.run: b for b in bundles},
        at,
    )


def plug(**keys: Any) -> written.Plug:
    return written.Plug.model_validate({"contact": "pin-1.5", **keys})


def connector(id_: str, type_: str = "two", point: str = "P", pins=(), **keys: Any) -> Connector:
    home = keys.pop("harness", "")
    of = keys.pop("device", id_)
    return Connector(id_, of, id_, type_, plug(**keys), point, tuple(pins), home, HERE)


def sized(wire_id: str, label: str = "0.5 mm2", **fields: Any) -> WireSizing:
    base: dict[str, Any] = {
        "family": "thin-wall",
        "area_mm2": float(label.split()[0]),
        "current_a": 1.0,
        "state": "on",
        "drop_v": 0.0,
        "conductor_c": 50.0,
        "ambient_c": 40.0,
        "bundle_count": 1,
        "limits": (),
        "governing": "smallest",
        "fuse": "",
    }
    return WireSizing(wire=wire_id, label=label, **{**base, **fields})


def rated(fuse_id: str, rating_a: float, load_a: float, **fields: Any) -> FuseSizing:
    base: dict[str, Any] = {
        "state": "on",
        "weakest_wire": "101",
        "weakest_a": 100.0,
        "limits": (),
        "governing": "load",
        "colour": "",
        "feeds": (),
    }
    return FuseSizing(fuse=fuse_id, rating_a=rating_a, load_a=load_a, **{**base, **fields})


def output(name: str, trips_a: float, load_a: float, **fields: Any) -> OutputSizing:
    """One that trips within a second, and carries four fifths of that for ever."""
    base: dict[str, Any] = {
        "state": "on",
        "weakest_wire": "101",
        "weakest_trip_a": 100.0,
        "limits": (),
        "feeds": (),
        "short_a": 300.0,
    }
    device_id, limit_a = name.partition(".")[0], 0.8 * trips_a
    given = {**base, **fields}
    return OutputSizing(name, device_id, limit_a, ((trips_a, 1.0),), load_a, **given)


def sizing(*items: WireSizing | FuseSizing | OutputSizing) -> Sizing:
    return Sizing(
        {x.wire: x for x in items if isinstance(x, WireSizing)},
        {x.fuse: x for x in items if isinstance(x, FuseSizing)},
        1,
        outputs={x.output: x for x in items if isinstance(x, OutputSizing)},
    )


def unmet_drop() -> Limit:
    return Limit("drop", 0.9, 0.4, "V", "6 mm2", "here")


def solution(
    state: str,
    volts: dict[str, float] | None = None,
    amps: dict[str, float] | None = None,
    branches: tuple[Branch, ...] = (),
    charging_a: float = 0.0,
) -> Solution:
    return Solution(
        state,
        volts or {},
        amps or {},
        {b.id: b for b in branches},
        frozenset(),
        charging_a,
        0.0,
        0.0,
    )


def solved(*solutions: Solution) -> Solved:
    by_state = {s: solution(s) for s in STATES} | {s.state: s for s in solutions}
    return Solved(by_state, by_state)


def assessed(
    vehicle_: Vehicle,
    harness_: Harness | None = None,
    solved_: Solved | None = None,
    sizing_: Sizing | None = None,
    unpriced: tuple[str, ...] = (),
) -> Assessed:
    made = harness_ or harness()
    return Assessed(
        vehicle=replace(vehicle_, connectors=made.connectors),
        harness=made,
        learned=Learned(),
        sizing=sizing_ or sizing(),
        solved=solved_ or solved(),
        finished_runs={},
        joints={},
        sensors=Sensors(),
        readings={},
        supply=SupplyReport(),
        unpriced=unpriced,
        unserved=(),
    )
