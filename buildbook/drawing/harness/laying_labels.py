"""The laying order at full size: at every change its steps, and the section of what follows."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any

from buildbook.bench.laying_order import laying_orders, steps_of
from buildbook.bench.model import LayerWork, LayingOrder, LayingStation
from buildbook.bench.on_bench import HarnessOnBench
from buildbook.drawing.harness.board import along, line_mm
from buildbook.drawing.harness.label_placing import Label, Labelling
from buildbook.drawing.harness.plot import Plot
from buildbook.drawing.harness.section import Section, cut_through, draw_section, layer_title
from buildbook.drawing.shared.box import Box
from buildbook.drawing.shared.clear import Point
from buildbook.drawing.shared.lettering import wrapped
from buildbook.figures import Units
from buildbook.harness.places import FLAT
from buildbook.vehicle.model import Run
from buildbook.words.say import say

STEP_EM = 26.0
"""Widest line of a step over its letter size."""
EDGE_MM = 1.5
"""Kept free round a section."""
ALONG = (0.2, 0.35, 0.5, 0.65, 0.8)
"""Shares of a run from which a leader to its label is tried, the nearest first."""


@dataclass(frozen=True, eq=False, kw_only=True)
class LayingLabel(Label):
    """The steps at a change, and the section of the run that begins there."""

    seen: Section | None
    """None where the line ends, or goes on as one strand."""

    @property
    def scale(self) -> float:
        return self.seen.scale_for_names() if self.seen else 0.0

    @property
    def across_mm(self) -> float:
        return 2 * (self.seen.radius * self.scale + EDGE_MM) if self.seen else 0.0

    def size(self, text_mm: float) -> tuple[float, float]:
        wide, high = super().size(text_mm)
        return max(wide, self.across_mm), high + self.across_mm


def laying_labels(plot: Plot) -> list[Label]:
    """At every point where a layer begins or changes, the shortest runs first."""
    result = plot.result
    bench = HarnessOnBench(
        result.vehicle, result.harness, result.sizing, result.finished_runs, plot.harness
    )
    found: list[tuple[float, Label]] = []
    for number, order in enumerate(laying_orders(bench)):
        line = f"{order.points[0][0]} – {order.points[-1][0]}" if number else say("Trunk")
        found += _of_line(plot, order, line)
    return [label for _, label in sorted(found, key=lambda pair: pair[0])]


def _of_line(plot: Plot, order: LayingOrder, line: str) -> Iterator[tuple[float, Label]]:
    """(length of the run that follows, label) of every change along a line."""
    said: dict[str, list[str]] = {}
    for point, words in _steps(order, plot.result.vehicle.measures):
        said.setdefault(point, []).extend(wrapped(words, plot.text_mm, STEP_EM * plot.text_mm))
    points = [point for point, _ in order.points]
    for point, lines in said.items():
        n = points.index(point)
        run = _run(plot, point, points[n + 1]) if n + 1 < len(points) else None
        places = _along(plot, run, point) if run else (plot.paper(plot.formboard.places[point]),)
        seen = _section(plot, run) if run and order.layers else None
        title = say("{line}, at {point}", line=line, point=point) if n else line
        label = LayingLabel((title, *lines), tuple(places), bold=True, seen=seen)
        yield run.length_m if run else 0.0, label


def _run(plot: Plot, one: str, other: str) -> Run:
    return next(r for r in plot.runs if {r.from_point, r.to_point} == {one, other})


def _along(plot: Plot, run: Run, point: str) -> Iterator[Point]:
    """Places along a run, those near one of its points first."""
    path = plot.path(run)
    path = path if run.from_point == point else path[::-1]
    for share in ALONG:
        yield along(path, line_mm(path) * share)[0]


def _section(plot: Plot, run: Run) -> Section | None:
    piece = plot.result.finished_runs.get(run.id)
    alone = not piece or len(piece.strands) < 2
    return None if alone or piece is None else cut_through(plot.result, piece)


def _steps(order: LayingOrder, units: Units) -> Iterator[tuple[str, str]]:
    """(point, number and words) of every step of a line."""
    if not order.layers:
        yield order.points[0][0], say("1: lay flat, side by side")
    for number, layer, station, begins in steps_of(order):
        told = _begun(layer, station, units) if begins else _changed(station)
        yield station.point, f"{number} {layer_title(layer.name)}: {told}"


def _begun(layer: LayerWork, station: LayingStation, units: Units) -> str:
    if layer.name == FLAT or not layer.hand:
        return say("lead straight {wires}", wires=_named(station.into))
    values: dict[str, Any] = {
        "n": len(station.into),
        "length": units.along(layer.lay_mm),
        "wires": _named(station.into),
    }
    if layer.hand == "left":
        return say("lay {n} left, {length} lay: {wires}", **values)
    return say("lay {n} right, {length} lay: {wires}", **values)


def _changed(station: LayingStation) -> str:
    said = []
    if station.out:
        said.append(say("out {wires}", wires=_named(station.out)))
    if station.into:
        said.append(say("in {wires}", wires=_named(station.into)))
    return "; ".join(said) or say("fillers change")


def _named(strands: Iterable[tuple[str, ...]]) -> str:
    return ", ".join("+".join(wires) for wires in strands)


def draw_sections(plot: Plot, labels: Labelling) -> None:
    """The sections below their words, where these were placed."""
    for placed in labels.placed:
        label = placed.label
        if isinstance(label, LayingLabel) and label.seen:
            half = label.across_mm / 2
            middle = placed.box.x + half, placed.box.bottom - half
            draw_section(plot.canvas, plot.result, label.seen, middle, label.scale)
            plot.canvas.block(Box(placed.box.x, middle[1] - half, 2 * half, 2 * half))
