"""Which parts two loads have in common."""

from __future__ import annotations

from buildbook.book.shared_rows import unique
from buildbook.result import Result

EVERYWHERE = 0.6
"""Share of the devices from which a part is said once, for all."""
SOLID = ("fuse", "ground", "contact", "wire", "pin", "bus", "source", "load")
"""Order in which the parts of a device's way are listed."""


def shared_parts(
    result: Result,
) -> tuple[tuple[str, ...], list[tuple[tuple[str, ...], tuple[str, ...]]]]:
    """Parts that nearly everything needs; then the devices with what they share with others.

    Devices that share the same parts stand together.
    A part is needed by a device that it makes fail when it opens. Of parts that the same
    devices need one is named, the easiest to find: a fuse before a ground, relay or wire.
    """
    found = result.faultfinding
    of_load = {x.id: d.id for d in result.vehicle.devices.values() for x in d.loads}
    needed: dict[frozenset[str], list[tuple[int, str]]] = {}
    for name, effects in found.effects.items():
        fault = found.faults[name]
        hit = frozenset(of_load[effect.load] for effect in effects)
        if fault.mode == "open" and len(hit) > 1 and fault.kind in SOLID:
            ref = fault.branch.partition(":")[2].removesuffix(".coil")
            needed.setdefault(hit, []).append((SOLID.index(fault.kind), ref))
    every = len(set(of_load.values()))
    parts = {hit: min(refs)[1] for hit, refs in needed.items()}
    common = unique(part for hit, part in parts.items() if len(hit) >= EVERYWHERE * every)
    ways: dict[str, list[str]] = {}
    for hit, part in sorted(parts.items(), key=lambda item: (-len(item[0]), item[1])):
        if part not in common:
            for device in hit:
                ways.setdefault(device, []).append(part)
    titles = {d.id: d.title or d.id for d in result.vehicle.devices.values()}
    together: dict[tuple[str, ...], list[str]] = {}
    for title, names in sorted((titles[device], unique(names)) for device, names in ways.items()):
        together.setdefault(names, []).append(title)
    return common, [(tuple(shown), names) for names, shown in together.items()]
