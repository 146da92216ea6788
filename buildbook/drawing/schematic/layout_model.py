"""A layout of current paths: elements with ports in rows, links between them, and their places."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import NamedTuple

CLEAR_MM = 1.8
"""Least distance between two vertical lines that must not be taken for one."""
GAP_MM = 1.0
PIN = "pin"
"""Kind of an element that stands for one pin of a block until its sheet is known."""


class Port(NamedTuple):
    """Where a link meets an element: on its upper or lower edge, in a column."""

    element: str
    top: bool
    column: float


@dataclass(frozen=True)
class Link:
    """A wire, or its part on one side of a cut, from port to port."""

    id: str
    a: Port
    b: Port
    labelled: bool = True


class Stretch(NamedTuple):
    """The part of a link within one channel: between two rows, or from a row back to it."""

    link: str
    channel: int
    """The channel below row n is n + 1."""
    a: Port
    b: Port


@dataclass(frozen=True)
class Footprint:
    """The room that an element takes, mm; `left` and `right` reach from column 0."""

    key: str
    left: float
    right: float
    height: float
    kind: str = ""
    """'supply' is held at the top, 'return' at the bottom, 'flag' follows its neighbour."""
    free: bool = False
    """Its links may change places along an edge."""
    spread: bool = False
    """Its links may also stand as far apart as what they go to."""


class CurrentPath(NamedTuple):
    """Elements joined without going through a controller's block, and the links between them.

    Each pin of a block has an element of its own.
    """

    footprints: dict[str, Footprint]
    links: list[Link]


@dataclass(frozen=True)
class Grid:
    """Column pitch, and height and width of a wire label, in mm."""

    pitch: float
    label_h: float
    label_w: float
    gap: float = GAP_MM
    """Least distance between neighbours in a row."""
    wider: float = 1.0
    """So much wider may a layout become where that takes bends out of it, mm."""


@dataclass(frozen=True)
class LayoutOptions:
    """How a layout is searched for."""

    ordered: bool = True
    """False: rows and tracks stay as they are given, to be compared with."""
    spread: bool = True
    low: bool = False
    """True: no track is added to save a crossing."""


DEFAULT_OPTIONS = LayoutOptions()


@dataclass(frozen=True)
class Layout:
    """Where everything is, mm from the upper left corner."""

    at: dict[str, tuple[float, float]]
    """Element -> column 0 and top."""
    lines: dict[str, list[tuple[float, float]]]
    labels: dict[str, tuple[float, float]]
    """Link -> left and top of its label's place, right of a vertical stretch."""
    ranks: dict[str, int]
    columns: dict[Port, float]
    """Port of a free element -> the column that it was given."""
    width: float
    height: float
    strip_heights: tuple[float, ...] = ()
    """Heights where a level strip may be let in: above, between and below the level lines."""


def heightened(layout: Layout, mm: float) -> Layout:
    """The layout with a strip of `mm` let in at each of its cuts."""
    if mm <= 0:
        return layout

    def down(y: float) -> float:
        return y + mm * sum(cut <= y for cut in layout.strip_heights)

    return replace(
        layout,
        at={key: (x, down(y)) for key, (x, y) in layout.at.items()},
        lines={id_: [(x, down(y)) for x, y in line] for id_, line in layout.lines.items()},
        labels={id_: (x, down(y)) for id_, (x, y) in layout.labels.items()},
        height=down(layout.height),
    )
