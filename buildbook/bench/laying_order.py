"""The order in which a twisted harness is laid: layer by layer, along every line of rope."""

from __future__ import annotations

from collections import Counter

from buildbook.bench.model import LayerWork, LayingOrder, LayingStation
from buildbook.bench.on_bench import HarnessOnBench
from buildbook.harness.laid_lines import LaidLine, laid_lines
from buildbook.harness.lay_up import Layer
from buildbook.harness.places import LaidLayer, lay_up_at
from buildbook.sizing.finished_runs import outside_mm


def laying_orders(bench: HarnessOnBench) -> tuple[LayingOrder, ...]:
    """Every line of two strands and more, the trunk first; none where nothing is twisted."""
    if not any(run.concentric for run in bench.runs):
        return ()
    widths = outside_mm(bench.vehicle, bench.sizing)
    lines = laid_lines(bench.vehicle, bench.harness, widths, bench.name)
    return tuple(_order(line) for line in lines if len(line.stays) > 1)


def steps_of(order: LayingOrder) -> list[tuple[int, LayerWork, LayingStation, bool]]:
    """(number, layer, where, whether the layer begins here) of every step, in the order of work."""
    steps = [
        (layer, station, station is layer.stations[0])
        for layer in order.layers
        for station in layer.stations
        if station.into or station.point != order.points[-1][0]
    ]
    return [(number, *step) for number, step in enumerate(steps, start=1)]


def _order(line: LaidLine) -> LayingOrder:
    points = tuple((p, 1000 * line.line.at_m(n)) for n, p in enumerate(line.line.points))
    strands = tuple(stay.strand.wires for stay in line.stays)
    layers = line.laying.layers
    merged = [[layer for layer in layers if layer.ring.name == name] for name in _names(layers)]
    return LayingOrder(points, strands, tuple(_work(line, same) for same in merged))


def _names(layers: tuple[LaidLayer, ...]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(layer.ring.name for layer in layers))


def _work(line: LaidLine, same: list[LaidLayer]) -> LayerWork:
    ring = same[-1].ring
    return LayerWork(
        name=ring.name,
        hand=ring.hand,
        lay_mm=ring.lay_mm,
        angle_deg=ring.angle_deg,
        extra=ring.take_up - 1.0,
        outside_mm=ring.outside_mm,
        bunched=ring.bunched,
        stations=tuple(_stations(line, same)),
    )


def _stations(line: LaidLine, same: list[LaidLayer]) -> list[LayingStation]:
    """Where the layer begins, and every point at which something of it changes."""
    name = same[0].ring.name
    places = [place for layer in same for place in layer.places]
    found = []
    before: Counter[float] = Counter()
    for station, point in enumerate(line.line.points):
        out = tuple(s.strand.wires for p in places for s in p.stays if s.leaves == station)
        into = tuple(s.strand.wires for p in places for s in p.stays if s.enters == station)
        fillers = _fillers(line, name, station)
        if out or into or fillers != before:
            more, less = fillers - before, before - fillers
            at = 1000 * line.line.at_m(station)
            found.append(LayingStation(point, at, into, out, _counted(more), _counted(less)))
        before = fillers
    return found


def _fillers(line: LaidLine, name: str, section: int) -> Counter[float]:
    """Diameters of a layer's fillers in the stretch that begins at a point."""
    if section == len(line.line.runs):
        return Counter()
    layers: tuple[Layer, ...] = lay_up_at(line.laying, section).layers
    return Counter(
        round(mm, 1) for layer in layers if layer.name == name for mm in layer.fillers_mm
    )


def _counted(fillers: Counter[float]) -> tuple[tuple[float, int], ...]:
    return tuple(sorted(fillers.items()))
