"""Layout of current paths: elements in rows, each link an orthogonal line of its own."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, field

from buildbook.drawing.schematic.layout_model import (
    DEFAULT_OPTIONS,
    Footprint,
    Grid,
    Layout,
    LayoutOptions,
    Link,
    Port,
)
from buildbook.drawing.schematic.rows import Rows
from buildbook.drawing.schematic.tracks import Span, Uprights, fewest_crossings, left_edge_tracks

TRACK_MM = 1.8
"""Distance between horizontal lines in a channel."""
SHORT_MM = 2.4
"""Least length of an upright line that no label stands beside."""


def lay_out(
    footprints: dict[str, Footprint],
    links: list[Link],
    grid: Grid,
    options: LayoutOptions = DEFAULT_OPTIONS,
) -> Layout:
    """Places elements and draws links; any input gives a layout without overlaps."""
    rows = Rows(footprints, links, grid, options)
    rows.start_at_zero()
    tracks = _tracks_by_channel(rows, options)
    label_ports = {}
    for link in links:
        if link.labelled:
            first, last = rows.chains[link.id][0], rows.chains[link.id][-1]
            label_ports[link.id] = first if first.top else last
    heights = _heights(rows, tracks, label_ports)
    lines = {id_: _line(id_, rows, heights, tracks) for id_ in rows.chains}
    labels = {}
    for id_, port in label_ports.items():
        edge = heights.rows[rows.ranks[port.element]]
        height = rows.footprints[port.element].height
        edge += -grid.label_h - 0.3 if port.top else height + 0.6
        labels[id_] = (rows.port_x(port) + 0.7, edge)
    return Layout(
        at={key: (rows.x[key], heights.rows[rows.ranks[key]]) for key in footprints},
        lines=lines,
        labels=labels,
        ranks=rows.ranks,
        columns=rows.columns,
        width=max(rows.x[key] + rows.reach(key)[1] for key in rows.x),
        height=heights.foot,
        strip_heights=tuple(heights.strips),
    )


def _tracks_by_channel(rows: Rows, options: LayoutOptions) -> dict[int, dict[str, int]]:
    """Channel -> link -> track of its level part, for the links that have one there."""
    spans: dict[int, list[Span]] = defaultdict(list)
    uprights: dict[int, Uprights] = defaultdict(dict)
    for stretch in rows.stretches():
        ends = (stretch.a, stretch.b)
        uprights[stretch.channel][stretch.link] = [(rows.port_x(p), not p.top) for p in ends]
        x0, x1 = sorted(rows.port_x(port) for port in ends)
        if x1 - x0 > 1e-6 or stretch.a.top == stretch.b.top:
            spans[stretch.channel].append((x0, x1, stretch.link))
    if not options.ordered:
        return {channel: left_edge_tracks(found) for channel, found in spans.items()}
    return {
        channel: fewest_crossings(found, uprights[channel], options.low)
        for channel, found in spans.items()
    }


@dataclass
class _Heights:
    """Places from above, mm: rows, the first track of each channel, strips, and the foot."""

    rows: list[float] = field(default_factory=list)
    tracks: dict[int, float] = field(default_factory=dict)
    strips: list[float] = field(default_factory=list)
    foot: float = 0.0


def _heights(
    rows: Rows, tracks: dict[int, dict[str, int]], label_ports: dict[str, Port]
) -> _Heights:
    """Rows and channels below each other, with room for tracks and labels in every channel."""
    upper = {rows.channel(p) for p in label_ports.values() if not p.top}
    lower = {rows.channel(p) for p in label_ports.values() if p.top}
    label_mm = rows.grid.label_h + 0.6
    found, y = _Heights(), 0.0
    for channel in range(rows.depth + 1):
        used = len(set(tracks.get(channel, {}).values()))
        y += label_mm if channel in upper else 0.0
        found.tracks[channel] = y + TRACK_MM * 0.7
        if 0 < channel < rows.depth or used:
            found.strips += [y + TRACK_MM * (n + 0.2) for n in range(used + 1)]
        plain = 0.5 if channel in upper | lower | {0, rows.depth} else SHORT_MM
        y += TRACK_MM * (used + 0.4) if used else plain
        y += label_mm if channel in lower else 0.0
        if channel < rows.depth:
            found.rows.append(y)
            y += max(rows.footprints[key].height for key in rows.rows[channel])
    found.foot = y
    return found


def _line(
    id_: str, rows: Rows, heights: _Heights, tracks: dict[int, dict[str, int]]
) -> list[tuple[float, float]]:
    """The corners of a link, from end to end."""

    def end(port: Port) -> tuple[float, float]:
        y = heights.rows[rows.ranks[port.element]]
        height = rows.footprints[port.element].height
        return rows.port_x(port), y if port.top else y + height

    points: list[tuple[float, float]] = []
    chain, first = rows.chains[id_], rows.channel_of[id_]
    for step in range(0, len(chain), 2):
        channel = first + step // 2
        a, b = end(chain[step]), end(chain[step + 1])
        points.append(a)
        if id_ in tracks.get(channel, {}):
            y = heights.tracks[channel] + TRACK_MM * tracks[channel][id_]
            points += [(a[0], y), (b[0], y)]
        points.append(b)
    return points
