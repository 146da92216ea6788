"""In which row each element stands: current flows down, from supply to return."""

from __future__ import annotations

import networkx

from buildbook.drawing.schematic.layout_model import (
    Footprint,
    Link,
)


def row_numbers(footprints: dict[str, Footprint], links: list[Link]) -> dict[str, int]:
    """Row of every element: below what feeds it, as far as that has no circle."""
    fed_by = _without_circles(_feeds(footprints, links))
    rows = {
        key: row
        for row, keys in enumerate(networkx.topological_generations(fed_by))
        for key in keys
    }
    return _settled(footprints, fed_by, {key: rows[key] for key in footprints})


def _feeds(footprints: dict[str, Footprint], links: list[Link]) -> networkx.DiGraph[str]:
    """From each element to those below it that it feeds; what nothing feeds comes first."""
    pairs = []
    for link in links:
        if link.a.top != link.b.top and link.a.element != link.b.element:
            upper, lower = (link.b, link.a) if link.a.top else (link.a, link.b)
            pairs.append((upper.element, lower.element))
    fed = {lower for _, lower in pairs}
    graph: networkx.DiGraph[str] = networkx.DiGraph()
    graph.add_nodes_from(sorted(footprints, key=lambda key: key in fed))
    graph.add_edges_from(pairs)
    return graph


def _without_circles(graph: networkx.DiGraph[str]) -> networkx.DiGraph[str]:
    """The graph without the edges that lead back to where a walk in depth came from."""
    under_way: set[str] = set()
    back = []
    for upper, lower, step in networkx.dfs_labeled_edges(graph):
        if step == "forward":
            under_way.add(lower)
        elif step == "reverse":
            under_way.discard(lower)
        elif lower in under_way:
            back.append((upper, lower))
    graph.remove_edges_from(back)
    return graph


def _settled(
    footprints: dict[str, Footprint], feeds: networkx.DiGraph[str], rows: dict[str, int]
) -> dict[str, int]:
    """Returns go to the last row; what nothing feeds, unless supply, sits just above its load."""
    last = max(rows.values())
    for key, footprint in footprints.items():
        if footprint.kind == "return" and not feeds.out_degree(key):
            rows[key] = last
    for key, footprint in footprints.items():
        if not feeds.in_degree(key) and footprint.kind != "supply" and feeds.out_degree(key):
            rows[key] = min(rows[below] for below in feeds.successors(key)) - 1
    return rows
