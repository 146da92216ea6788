"""What gives current, state by state, and which post of it the body is joined to."""

from __future__ import annotations

import math
from collections.abc import Callable, Collection, Iterable, Mapping
from dataclasses import replace
from typing import Literal

import networkx as nx

from buildbook.description import models as written
from buildbook.problem import Where
from buildbook.vehicle.generators import ABSOLUTE_ZERO_C, generator_limit_a, hot_curve, hottest_c
from buildbook.vehicle.lead_acid import (
    OPEN_AT_C,
    capacity_share,
    ohms_at,
    open_circuit_v,
    warm_ohms,
)
from buildbook.vehicle.model import Circuit, Contact, Device, Run
from buildbook.vehicle.power_model import PowerSource, Supply

CHASSIS = "chassis"
BY_CIRCUIT, BY_CONTACT, BY_BATTERY = 1, 1000, 1_000_000
"""How far apart two nodes count: a way without contacts goes first, and one without batteries
before any with."""
SMALLEST_OHMS = 1e-6
NOMINAL_V = 12.0
"""Of six lead-acid cells."""


def supply_of(
    said: written.Supply,
    states: Mapping[str, written.State],
    devices: Mapping[str, Device],
    circuits: Collection[Circuit],
    runs: Iterable[Run],
    zones: Mapping[str, written.Zone],
    where: Callable[[str], Where],
) -> Supply:
    """Every source that the section `supply` has, its pins already looked up.

    `where` gives the place of a source's entry by its name.
    """
    batteries = batteries_of(said)
    volts_at = potentials(devices.values(), circuits, batteries)
    posts = [pin for battery in batteries.values() for pin in battery.between]
    earthed = [pin for pin in posts if abs(volts_at.get(pin, math.nan)) < 1e-9]
    first = next(iter(batteries.values()))
    earthed_pin = earthed[0] if earthed else first.between[1]
    if not earthed:
        volts_at = potentials(devices.values(), circuits, batteries, earthed_pin)
    live = max(posts, key=lambda pin: abs(volts_at.get(pin, 0.0)))
    points = {pin.id: device.point for device in devices.values() for pin in device.pins}
    hottest = {
        name: hottest_c(points.get(generator.between[0], ""), runs, zones)
        for name, generator in generators_of(said).items()
    }
    charging_v = _charging_v(said, volts_at)
    found = [
        _battery(name, battery, charging_v.get(name), states, where(name))
        for name, battery in batteries.items()
    ]
    found += [
        _generator(name, generator, hottest[name], states, where(name))
        for name, generator in generators_of(said).items()
    ]
    found += [_magneto(n, magneto, states, where(n)) for n, magneto in said.magnetos.items()]
    found += [_converter(n, given, states, where(n)) for n, given in said.converters.items()]
    earth: Literal["negative", "positive", "none"] = "none"
    if earthed:
        earth = "positive" if volts_at.get(live, 0.0) < 0 else "negative"
    at_body = _at_body(devices.values(), circuits, earthed_pin)
    ends = (pin for source in found for pin in (source.plus_pin, source.minus_pin))
    live_pins = tuple(dict.fromkeys(pin for pin in ends if pin not in at_body))
    string = _string(batteries, volts_at, live)
    return Supply(tuple(found), earthed_pin, live, earth, live_pins, string)


def _string(
    batteries: Mapping[str, written.Battery], volts_at: Mapping[str, float], live: str
) -> tuple[str, ...]:
    """Batteries on the way from the live post down to the earthed one, the live one first."""
    found: list[str] = []
    here = volts_at.get(live, 0.0)
    while abs(here) > 1e-9:
        step = next(
            (
                (name, other)
                for name, battery in batteries.items()
                for one, other in (battery.between, battery.between[::-1])
                if name not in found
                and one in volts_at
                and abs(volts_at[one] - here) < 1e-9
                and abs(volts_at[other]) < abs(here)
            ),
            None,
        )
        if step is None:
            break
        found.append(step[0])
        here = volts_at[step[1]]
    return tuple(found)


def _at_body(devices: Iterable[Device], circuits: Iterable[Circuit], earthed_pin: str) -> set[str]:
    """Pins that circuits join to the body or to the earthed post, whatever contacts do."""
    graph: nx.Graph[str] = nx.Graph([(CHASSIS, earthed_pin)])
    for circuit in circuits:
        graph.add_edges_from((circuit.pins[0].id, pin.id) for pin in circuit.pins[1:])
    for device in devices:
        graph.add_edges_from(
            (b.from_pin, b.to_pin) for b in device.bonds if b.kind in ("bus", "ground")
        )
    return set(nx.node_connected_component(graph, CHASSIS))


def with_cut_outs(
    devices: Mapping[str, Device],
    said: written.Supply,
    states: Iterable[str],
    circuits: Iterable[Circuit],
) -> dict[str, Device]:
    """The devices, with the contacts of the dynamos' cut-outs in those that hold them.

    From the end that a charging current enters: the dynamo's own, or where the cut-out stands at
    its negative end (a positive earth) the battery's.
    """
    found = dict(devices)
    joined = [{pin.id for pin in circuit.pins} for circuit in circuits]
    for dynamo in said.dynamos.values():
        one, other = dynamo.cut_out.between
        holder, name = other.rpartition(".")[0], one.rpartition(".")[2]
        if holder not in found:
            continue
        at_minus = any({one, dynamo.between[1]} <= pins for pins in joined)
        enters, leaves = (other, one) if at_minus else (one, other)
        contact = Contact(
            id=f"{holder}.{name}-{other.rpartition('.')[2]}",
            device=holder,
            from_pin=enters,
            to_pin=leaves,
            states=frozenset(states),
            control=dynamo.between,
            control_v=dynamo.cut_out.closes_at,
            kind="cut-out",
            one_way=True,
        )
        device = found[holder]
        found[holder] = replace(device, contacts=(*device.contacts, contact))
    return found


def batteries_of(said: written.Supply) -> dict[str, written.Battery]:
    """Batteries by name, that of the simple form first."""
    return ({"battery": said.battery} if said.battery else {}) | said.batteries


def generators_of(said: written.Supply) -> dict[str, written.Generator]:
    """Alternators and dynamos by name, the alternator of the simple form first."""
    found: dict[str, written.Generator] = {}
    if said.alternator:
        found["alternator"] = said.alternator
    found.update(said.alternators)
    found.update(said.dynamos)
    return found


def potentials(
    devices: Iterable[Device],
    circuits: Iterable[Circuit],
    batteries: Mapping[str, written.Battery],
    zero: str = CHASSIS,
) -> dict[str, float]:
    """Volts of every pin that batteries hold at one, against the body or another node.

    All contacts are closed and nothing is drawn; a pin that no battery, wire or contact joins to
    `zero` is not in it.
    """
    graph: nx.Graph[str] = nx.Graph()

    def joined(one: str, other: str, far: int, rise: tuple[str, float]) -> None:
        known = graph.get_edge_data(one, other)
        if known is None or far < known["far"]:
            graph.add_edge(one, other, far=far, rise=rise)

    for circuit in circuits:
        for pin in circuit.pins[1:]:
            joined(circuit.pins[0].id, pin.id, BY_CIRCUIT, (pin.id, 0.0))
    for device in devices:
        for bond in device.bonds:
            joined(bond.from_pin, bond.to_pin, BY_CIRCUIT, (bond.to_pin, 0.0))
        for contact in device.contacts:
            if contact.kind in ("switch", "relay", "cut-out"):
                joined(contact.from_pin, contact.to_pin, BY_CONTACT, (contact.to_pin, 0.0))
    for battery in batteries.values():
        plus, minus = battery.between
        joined(minus, plus, BY_BATTERY, (plus, battery.volts))
    if zero not in graph:
        return {}
    found = {}
    for node, way in nx.single_source_dijkstra_path(graph, zero, weight="far").items():
        volts = 0.0
        for here, there in zip(way, way[1:], strict=False):
            upper, rise = graph.edges[here, there]["rise"]
            volts += rise if upper == there else -rise
        found[node] = volts
    return found


def _charging_v(said: written.Supply, volts_at: Mapping[str, float]) -> dict[str, float]:
    """What stands across each full battery once it is charged, where anything charges it.

    A generator over several batteries in series shares its volts out as they have them.
    """
    batteries = batteries_of(said)
    found: dict[str, float] = {}
    chargers = [(g.between, g.volts) for g in generators_of(said).values()]
    chargers += [(c.between, c.volts) for c in said.converters.values()]
    if len(batteries) == 1 and chargers:
        return dict.fromkeys(batteries, max(volts for _, volts in chargers))
    for name, battery in batteries.items():
        inside = sorted(volts_at.get(pin, 0.0) for pin in battery.between)
        for (plus, minus), volts in chargers:
            low, high = sorted((volts_at.get(minus, 0.0), volts_at.get(plus, 0.0)))
            if high > low and low <= inside[0] + 1e-9 and inside[1] - 1e-9 <= high:
                share = volts * battery.volts / (high - low)
                found[name] = max(found.get(name, 0.0), share)
    return found


def _battery(
    name: str,
    battery: written.Battery,
    charging_v: float | None,
    states: Mapping[str, written.State],
    where: Where,
) -> PowerSource:
    """The full battery takes its `charge` current at the regulated voltage."""
    emf_v = {s: battery.volts * _volts_share(state) for s, state in states.items()}
    written_ohms = warm_ohms_of(battery)
    ohms = {s: max(_ohms(written_ohms, x), SMALLEST_OHMS) for s, x in states.items()}
    back = dict(ohms)
    if charging_v is not None:
        full = (charging_v - battery.volts) / max(battery.charge, 1e-3)
        back = {s: max(full, least) for s, least in ohms.items()}
    return PowerSource(
        name,
        "battery",
        *battery.between,
        emf_v,
        ohms,
        back,
        dict.fromkeys(states, math.inf),
        battery,
        where,
        highest_v=max(battery.volts, charging_v or 0.0),
        capacity_ah={s: battery.capacity * _capacity_share(x) for s, x in states.items()},
    )


def warm_ohms_of(battery: written.Battery) -> float:
    """Inner ohms, warm and full: as written, else from the cold cranking current."""
    if battery.cold_cranking and "resistance" not in battery.model_fields_set:
        return warm_ohms(battery.cold_cranking, NOMINAL_V * battery.volts / open_circuit_v(1.0))
    return battery.resistance


def _volts_share(state: written.State) -> float:
    """Open-circuit volts of those written, which are of a full battery that is warm."""
    celsius = OPEN_AT_C if state.battery_at is None else state.battery_at
    return open_circuit_v(state.charged, celsius) / open_circuit_v(1.0)


def _ohms(warm: float, state: written.State) -> float:
    celsius = OPEN_AT_C if state.battery_at is None else state.battery_at
    return ohms_at(warm, celsius, state.charged)


def _capacity_share(state: written.State) -> float:
    return 1.0 if state.battery_at is None else capacity_share(state.battery_at)


def _generator(
    name: str,
    generator: written.Generator,
    air_c: float,
    states: Mapping[str, written.State],
    where: Where,
) -> PowerSource:
    """A dynamo at rest is its armature; an alternator's diodes let nothing back."""
    curve = hot_curve(generator, air_c)
    limits = {s: generator_limit_a(curve, state.engine) for s, state in states.items()}
    ohms = max(generator.resistance, SMALLEST_OHMS)
    is_dynamo = isinstance(generator, written.Dynamo)
    return PowerSource(
        name,
        "dynamo" if is_dynamo else "alternator",
        *generator.between,
        {s: generator.volts if limit > 0 else 0.0 for s, limit in limits.items()},
        dict.fromkeys(states, ohms),
        dict.fromkeys(states, ohms if is_dynamo else math.inf),
        limits,
        generator,
        where,
        highest_v=generator.volts,
        curve=tuple(curve),
        air_c=None if air_c == ABSOLUTE_ZERO_C else air_c,
        sense_pin=generator.senses or "",
        excited_pin=generator.excited_at or "",
    )


def _magneto(
    name: str, magneto: written.Magneto, states: Mapping[str, written.State], where: Where
) -> PowerSource:
    ohms = dict.fromkeys(states, max(magneto.resistance, SMALLEST_OHMS))
    emf_v = {s: magneto.volts * state.engine / magneto.at for s, state in states.items()}
    return PowerSource(
        name,
        "magneto",
        *magneto.between,
        emf_v,
        ohms,
        ohms,
        dict.fromkeys(states, math.inf),
        magneto,
        where,
        highest_v=max(emf_v.values(), default=0.0),
    )


def _converter(
    name: str, converter: written.Converter, states: Mapping[str, written.State], where: Where
) -> PowerSource:
    return PowerSource(
        name,
        "converter",
        *converter.between,
        dict.fromkeys(states, converter.volts),
        dict.fromkeys(states, max(converter.resistance, SMALLEST_OHMS)),
        dict.fromkeys(states, math.inf),
        dict.fromkeys(states, converter.limit),
        converter,
        where,
        highest_v=converter.volts,
        input_pins=converter.from_,
    )
