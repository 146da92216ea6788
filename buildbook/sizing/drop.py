"""Voltage drop: enlarges the wire that loses most until each load has what it is allowed."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from buildbook.sizing.path import LoadPath
from buildbook.sizing.place import Place


@dataclass(frozen=True)
class Worst:
    """The load on a wire's path that comes nearest its allowance."""

    load: str
    state: str
    drop_v: float
    allowed_v: float


def wire_drop_v(place: Place, size: int, current_a: float, ratio: float) -> float:
    """Volts along one wire; `ratio` is its resistance against that at 20 degC."""
    ohm_per_m = place.candidates[size].conductor.ohm_per_m_20c
    return abs(current_a) * ohm_per_m * place.wire.cut_m * ratio


def enlarge_for_drop(
    paths: Iterable[LoadPath],
    places: Mapping[str, Place],
    sizes: Mapping[str, int],
    currents: Mapping[str, Mapping[str, float]],
    ratios: Mapping[str, float],
) -> dict[str, int]:
    """Sizes with which every path keeps its allowance, as far as terminals and author let it.

    `currents` is state -> wire -> amps; sizes are places in each wire's candidates.
    """
    grown = dict(sizes)
    for path in paths:
        if path.signal:
            continue
        amps = currents[path.state]
        while True:
            drops = {
                w: _drop(places[w], grown[w], amps[w], ratios[w]) for w in dict.fromkeys(path.wires)
            }
            if sum(drops.values()) <= path.wire_allowance_v:
                break
            able = [w for w in drops if _can_grow(places[w], grown[w])]
            if not able:
                break
            widest = max(able, key=lambda w: (drops[w], w))
            grown[widest] += 1
    return grown


def _drop(place: Place, size: int, current_a: float, ratio: float) -> float:
    if place.pinned is None:
        return wire_drop_v(place, size, current_a, ratio)
    ohm_per_m = place.pinned.conductor.ohm_per_m_20c
    return abs(current_a) * ohm_per_m * place.wire.cut_m * ratio


def _can_grow(place: Place, size: int) -> bool:
    if place.pinned is not None or place.signal or size + 1 >= len(place.candidates):
        return False
    return place.candidates[size + 1].area_mm2 <= place.most_mm2


def worst_paths(
    paths: Iterable[LoadPath], voltages: Mapping[str, Mapping[str, float]]
) -> dict[str, Worst]:
    """For each wire the path through it that uses most of its allowance.

    `voltages` is state -> wire -> volts along it.
    """
    found: dict[str, Worst] = {}
    for path in paths:
        if path.signal:
            continue
        drop = sum(abs(voltages[path.state][w]) for w in dict.fromkeys(path.wires))
        worst = Worst(path.load.id, path.state, drop, path.wire_allowance_v)
        for wire in path.wires:
            known = found.get(wire)
            if known is None or drop / worst.allowed_v > known.drop_v / known.allowed_v:
                found[wire] = worst
    return found
