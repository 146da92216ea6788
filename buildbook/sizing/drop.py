"""Voltage drop: enlarges the wires of a path until each load has what it is allowed."""

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
            free = [w for w in drops if _can_grow(places[w], grown[w])]
            worth = _let_be_v(path.wire_allowance_v, drops, free)
            able = [w for w in free if drops[w] > worth]
            if not able:
                break
            best = max(able, key=lambda w: (_gain(places[w], grown[w], drops[w]), w))
            grown[best] += 1
    return grown


def _let_be_v(allowance_v: float, drops: Mapping[str, float], free: list[str]) -> float:
    """Drop at which a wire is left alone: its even part of what the fixed wires leave over.

    Where thin terminals leave next to nothing, copper elsewhere would be wasted on a path that
    fails all the same: there an even part of the whole is enough.
    """
    even = allowance_v / len(drops)
    rest = allowance_v - sum(v for w, v in drops.items() if w not in free)
    part = rest / max(len(free), 1)
    return part if part > even / 2 else even


def _gain(place: Place, size: int, drop_v: float) -> float:
    """Volts won by the next size for each cubic centimetre of copper that it adds."""
    now, then = place.candidates[size].conductor, place.candidates[size + 1].conductor
    won = drop_v * (1 - then.ohm_per_m_20c / now.ohm_per_m_20c)
    return won / max((then.area_mm2 - now.area_mm2) * place.wire.cut_m, 1e-9)


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
