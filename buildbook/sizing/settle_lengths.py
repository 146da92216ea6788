"""Sizes and lengths of twisted harnesses: each follows from the other, so they take turns."""

from __future__ import annotations

from buildbook.electrical.model import Solved
from buildbook.harness.model import Harness
from buildbook.sizing.choose import choose
from buildbook.sizing.finished_runs import with_layer_lengths
from buildbook.sizing.model import Sizing
from buildbook.vehicle.model import Vehicle


def settle_lengths(
    vehicle: Vehicle, harness: Harness, first: Sizing
) -> tuple[Harness, Sizing, Solved]:
    """Sizes for a harness, and its lengths for the layers that wires of these sizes make.

    `first` are sizes of a harness much like it. The first time, lengths may fall below the guess
    that they were laid with; from then on lengths and sizes only grow, and lengths follow from
    sizes alone. There are finitely many sizes, so it ends: where no size grows, the next lengths
    are the same.
    """
    sizing, solved = choose(vehicle, harness, first, only_up_after=1)
    laid = with_layer_lengths(vehicle, harness, sizing)
    while laid != harness:
        harness = laid
        sizing, solved = choose(vehicle, harness, sizing, only_up_after=0)
        laid = with_layer_lengths(vehicle, harness, sizing, at_least=True)
    return harness, sizing, solved
