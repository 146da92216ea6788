"""What somebody found beside the car, held against what each fault would have made of it."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from buildbook.electrical.faults import SHORT_OHMS
from buildbook.electrical.network import inside
from buildbook.faultfinding.bolted import TELLS_OHM, ohms_to_body, pieces_of_nodes
from buildbook.faultfinding.bus import LEAST_OHMS
from buildbook.faultfinding.model import Effect, Fault
from buildbook.faultfinding.questions import Asking, is_inside
from buildbook.faultfinding.tree import LEAST_GAP_V, NO, YES

AS_NEAR_V = LEAST_GAP_V / 2
"""A suspect stays while its reading is this near to that of the nearest suspect."""

FAR_V, FAR_SHARE = 1.0, 0.1
"""A reading further than this (volts, and share of it) from every suspect speaks against all.
Our choice: a battery at 11.9 V instead of 12.7 still passes."""

FAR_A, FAR_A_SHARE = 0.5, 0.3
"""The same of amps at a fuse: a lamp or a motor is not as its sheet says. Our choice."""

NEAR_OCTAVES = 0.4
"""By how much ohms across a data bus may be off: 60 from 80. Our choice."""


@dataclass(frozen=True)
class Answer:
    """What was found at `node` in `state`: volts, ohms to the body, amps through a fuse, or the
    0 or 1 of a look, a click or a swap, as `model.Step` has them."""

    what: str
    node: str
    state: str
    value: float


def fitting(
    asking: Asking,
    faults: Sequence[Fault],
    effects: Mapping[str, Sequence[Effect]],
    answer: Answer,
) -> np.ndarray | None:
    """Which of the faults an answer leaves; None where it fits none of them.

    `effects` are those in the answer's state, by fault.
    """
    if answer.what == "look":
        works = [
            not any(e.load == answer.node and e.state == answer.state for e in effects[f.id])
            for f in faults
        ]
        return _some(np.array(works) == (answer.value == YES))
    if answer.what == "swap":
        own = np.array([is_inside(asking.vehicle, fault, answer.node) for fault in faults])
        return _some(own == (answer.value == YES))
    if answer.what == "ohms":
        return _by_ohms(asking, faults, answer)
    shown = _shown(asking, faults, answer)
    if shown is None:
        return np.ones(len(faults), dtype=bool)
    low, high = shown
    if answer.what == "click":
        return _some((low <= answer.value) & (answer.value <= high))
    value, near = answer.value, AS_NEAR_V
    far = FAR_V + FAR_SHARE * abs(value)
    if answer.what == "amps":
        far = near = FAR_A + FAR_A_SHARE * abs(value)
    elif answer.what.startswith("bus"):
        value, near, far = math.log2(max(value, LEAST_OHMS)), NEAR_OCTAVES, 2 * NEAR_OCTAVES
    away = np.maximum(0.0, np.maximum(low - value, value - high))
    if away.min() > far:
        return None
    fits: np.ndarray = away <= away.min() + near
    return fits


def _some(fits: np.ndarray) -> np.ndarray | None:
    return fits if fits.any() else None


def _shown(
    asking: Asking, faults: Sequence[Fault], answer: Answer
) -> tuple[np.ndarray, np.ndarray] | None:
    """Least and most that each fault makes of it; None where nobody can tell."""
    if answer.what == "amps":
        return _amps(asking, faults, answer)
    if answer.what == "click" or answer.what.startswith("bus"):
        questions = asking.about(faults, [answer.state])
        sought = (answer.node, answer.state, answer.what)
        for column in range(len(questions.nodes)):
            if questions.place(column) == sought:
                return questions.readings[:, column], questions.highest[:, column]
        return None
    place = {node: i for i, node in enumerate(asking.swept.nodes)}
    rows = asking.rows_of(faults)
    low, high = (end[rows, place[answer.node]] for end in asking.ends[answer.state])
    return low, high


def _amps(asking: Asking, faults: Sequence[Fault], answer: Answer) -> tuple[np.ndarray, np.ndarray]:
    """Amps through a fuse, by the volts across it; none where it is out."""
    place = {node: i for i, node in enumerate(asking.swept.nodes)}
    bond = next(b for b in asking.vehicle.devices[answer.node].bonds if b.kind == "fuse")
    rows = asking.rows_of(faults)
    volts = asking.swept.faulted[answer.state][rows]
    across = volts[:, place[inside(bond.from_pin)]] - volts[:, place[inside(bond.to_pin)]]
    blown = asking.swept.blown
    out = [
        f.branch == f"fuse:{answer.node}"
        or any(b.fuse == answer.node and b.state == answer.state for b in blown.get(f.id, ()))
        for f in faults
    ]
    amps = np.where(out, 0.0, np.abs(across) / asking.swept.fuse_ohms.get(answer.node, bond.ohms))
    return amps, amps


def _by_ohms(asking: Asking, faults: Sequence[Fault], answer: Answer) -> np.ndarray | None:
    """Ohms to the body with everything unplugged: wires of the same piece that touch it, or none.

    A piece that is on the body by itself, or nearly so through what is bolted to it, says nothing.
    """
    piece = pieces_of_nodes(asking.vehicle, asking.harness)
    here = piece.get(answer.node)
    if here is None or here == piece.get("chassis"):
        return np.ones(len(faults), dtype=bool)
    well_ohm = ohms_to_body(asking.vehicle, piece)[here]
    if well_ohm < TELLS_OHM:
        return np.ones(len(faults), dtype=bool)
    touches = np.array(
        [
            fault.mode == "short"
            and piece[asking.harness.wires[fault.branch.partition(":")[2]].a.node] == here
            for fault in faults
        ]
    )
    low = answer.value <= math.sqrt(SHORT_OHMS * well_ohm)
    return _some(touches if low else ~touches)


def yes(text: str) -> float | None:
    """What a typed yes or no is; None for neither."""
    return {"y": YES, "yes": YES, "n": NO, "no": NO}.get(text.strip().lower())
