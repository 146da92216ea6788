"""The point from which a harness is measured, and how far its other points are from it."""

from __future__ import annotations

from collections.abc import Sequence

import networkx

from buildbook.vehicle.model import Run


def datum_of(runs: Sequence[Run]) -> str:
    """The point that the author measured from first."""
    return runs[0].from_point


def from_datum_mm(runs: Sequence[Run]) -> dict[str, float]:
    """Point -> rope in mm between it and the datum."""
    rope: networkx.Graph[str] = networkx.Graph()
    for run in runs:
        rope.add_edge(run.from_point, run.to_point, mm=1000 * run.length_m)
    away = networkx.single_source_dijkstra_path_length(rope, datum_of(runs), weight="mm")
    return {point: float(mm) for point, mm in away.items()}
