"""What the labels of a harness layout say: runs, points and splices."""

from __future__ import annotations

from buildbook.drawing.harness.board import along, line_mm
from buildbook.drawing.harness.label_placing import Label
from buildbook.drawing.harness.plot import (
    Plot,
    diamond_mm,
    point_scale,
    splice_place,
    splice_places,
    splices_of,
)
from buildbook.drawing.harness.rope_tree import fixtures
from buildbook.drawing.shared.clear import Point
from buildbook.drawing.shared.lettering import fitted, wrapped
from buildbook.figures import estimated
from buildbook.harness.model import Splice
from buildbook.words.say import say

TAG_EM = 13.0
"""Widest line of a label over its letter size."""


def run_labels(plot: Plot) -> list[Label]:
    """The length of every run beside it, with its cover."""
    found, units = [], plot.result.vehicle.measures
    for run in sorted(plot.runs, key=lambda run: run.length_m):
        path = plot.path(run)
        text = estimated(units.bare_m(run.length_m), run.estimated)
        piece = plot.result.finished_runs.get(run.id)
        cover = (piece.sleeve.id,) if piece and piece.sleeve else ()
        middle = tuple(along(path, line_mm(path) * t)[0] for t in (0.5, 0.35, 0.65, 0.8))
        found.append(Label((text, *cover), middle))
    return found


def point_labels(plot: Plot) -> list[Label]:
    """Names of points with what sits at them, and how far they are from the datum."""
    held = fixtures(plot.result, plot.harness)
    width = TAG_EM * plot.text_mm
    found, units = [], plot.result.vehicle.measures
    for point, spot in plot.formboard.places.items():
        devices = [d for d in held.get(point, []) if d != point]
        away = plot.formboard.from_datum_mm[point]
        if point == plot.formboard.datum:
            where = say("datum, 0")
        else:
            where = say("at {length}", length=units.bare(away))
        lines = [fitted(point, plot.text_mm, width, True), where]
        lines += wrapped(", ".join(devices), plot.text_mm, width) if devices else []
        reach = 1.3 * point_scale(plot, plot.paper(spot))
        found.append(Label(tuple(lines), (plot.paper(spot),), bold=True, reach=reach))
    return found


def splice_labels(plot: Plot) -> list[Label]:
    """Names of splices; those that lie in one place share a label."""
    width = TAG_EM * plot.text_mm
    by_spot: dict[Point, list[Splice]] = {}
    for splice in splices_of(plot):
        x, y = plot.paper(splice_place(plot.formboard, splice))
        key = (round(x / 3) * 3.0, round(y / 3) * 3.0)
        by_spot.setdefault(key, []).append(splice)
    spots, labels = splice_places(plot), []
    for found in by_spot.values():
        names = wrapped(" ".join(sorted(s.id for s in found)), plot.text_mm, width)
        spot = plot.paper(splice_place(plot.formboard, found[0]))
        labels.append(Label(tuple(names), (spot,), reach=diamond_mm(plot, spot, spots)))
    return labels
