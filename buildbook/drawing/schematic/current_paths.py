"""Current paths: what links join; where one is cut in two, and two are joined again."""

from __future__ import annotations

from collections.abc import Set
from dataclasses import replace
from itertools import accumulate

import networkx

from buildbook.drawing.schematic.layout_model import (
    PIN,
    CurrentPath,
    Footprint,
    Layout,
    Link,
    Port,
)

LEAST_SHARE = 1 / 3
"""Of a path's elements, in the smaller of its two parts."""


def current_paths(
    footprints: dict[str, Footprint],
    links: list[Link],
    together: list[tuple[str, str]],
    late: set[str],
) -> list[CurrentPath]:
    """What links, or pairs to keep together, join; elements of `late` last."""
    graph: networkx.Graph[str] = networkx.Graph()
    graph.add_nodes_from(footprints)
    graph.add_edges_from([*((link.a.element, link.b.element) for link in links), *together])
    paths = []
    for mine in networkx.connected_components(graph):
        keys = sorted((k for k in footprints if k in mine), key=lambda k: k in late)
        inner = [link for link in links if link.a.element in mine]
        paths.append(CurrentPath({k: footprints[k] for k in keys}, inner))
    return paths


def unlinked(path: CurrentPath, together: list[tuple[str, str]]) -> list[CurrentPath]:
    """A path in the pieces that a cut left with no link between them."""
    pairs = [pair for pair in together if path.footprints.keys() >= set(pair)]
    return current_paths(path.footprints, path.links, pairs, set())


def joined_again(paths: list[CurrentPath], flag: str) -> list[CurrentPath]:
    """The paths with those on the two sides of a cut in one, its flags gone."""
    flags = {flag, f"{flag}~"}
    cut = [path for path in paths if flags & path.footprints.keys()]
    footprints = {k: f for path in cut for k, f in path.footprints.items() if k not in flags}
    links = [link for path in cut for link in path.links]
    sides = [link for link in links if {link.a.element, link.b.element} & flags]
    a, b = (port for link in sides for port in (link.a, link.b) if port.element not in flags)
    whole = [link for link in links if link not in sides]
    whole.append(Link(flag.removeprefix("flag:"), a, b))
    others = [path for path in paths if path not in cut]
    return [*others, CurrentPath(footprints, whole)]


def cut_in_two(
    path: CurrentPath, layout: Layout, by_row: bool, flag: Footprint, share: float = LEAST_SHARE
) -> list[CurrentPath]:
    """Two parts cut where the fewest links cross, flags put on both sides of each link cut.

    Each part has at least that share of the elements; they are cut between two rows of the
    layout (`by_row`) or two places across. A path of a single element stays as it is.

    In the part of the upper end the link keeps its id and label; in the other it is
    '<id>~', unlabelled. The flags' keys are 'flag:<id>' and 'flag:<id>~'.
    """
    hosts = _hosts(path)
    ordered = sorted(
        (key for key in path.footprints if key not in hosts),
        key=lambda k: (layout.ranks[k] if by_row else 0, layout.at[k][0], k),
    )
    if len(ordered) < 2:
        return [path]
    least = int(len(ordered) * share)
    low, high = max(1, least), max(2, len(ordered) - least)
    crossing = _links_cut(path.links, ordered)
    best = min(range(low, high), key=lambda n: (crossing[n], abs(2 * n - len(ordered))))
    first = set(ordered[:best])
    return _with_flags(path, first | {key for key, host in hosts.items() if host in first}, flag)


def _hosts(path: CurrentPath) -> dict[str, str]:
    """What stays with its neighbour (flags, returns, pins of blocks) -> that neighbour."""
    return {
        mine.element: other.element
        for link in path.links
        for mine, other in ((link.a, link.b), (link.b, link.a))
        if path.footprints[mine.element].kind in ("flag", PIN, "return")
    }


def _links_cut(links: list[Link], ordered: list[str]) -> list[int]:
    """[n]: links that have one end among the first n elements and one among the others."""
    place = {key: n for n, key in enumerate(ordered)}
    change = [0] * (len(ordered) + 1)
    for link in links:
        if link.a.element in place and link.b.element in place:
            first, last = sorted((place[link.a.element], place[link.b.element]))
            change[first + 1] += 1
            change[last + 1] -= 1
    return list(accumulate(change))


def _with_flags(path: CurrentPath, first: Set[str], flag: Footprint) -> list[CurrentPath]:
    """The part of the elements in `first` and that of the others."""
    parts = [
        CurrentPath({k: f for k, f in path.footprints.items() if (k in first) == mine}, [])
        for mine in (True, False)
    ]
    for link in path.links:
        in_a, in_b = link.a.element not in first, link.b.element not in first
        if in_a == in_b:
            parts[in_a].links.append(link)
            continue
        main, other = (link.b, link.a) if link.a.top and not link.b.top else (link.a, link.b)
        for port, id_, labelled in ((main, link.id, True), (other, link.id + "~", False)):
            part = parts[port.element not in first]
            key = f"flag:{id_}"
            part.footprints[key] = replace(flag, key=key)
            part.links.append(Link(id_, port, Port(key, not port.top, 0), labelled))
    return parts
