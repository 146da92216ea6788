"""Writes out states that are meant by what the engine does: `in: engine turning`."""

from __future__ import annotations

from collections.abc import Callable

from buildbook.description.quantities import parse
from buildbook.description.tree import at, entries, mapping, word
from buildbook.description.yaml_reader import Node

CRANKED_RPM = 500.0
"""An engine below this is turned by its starter: 150 to 300 rpm, idling from 600 (from memory)."""

WORDS: dict[str, Callable[[str, float], bool]] = {
    "awake": lambda name, rpm: name != "off",
    "engine turning": lambda name, rpm: rpm > 0,
    "engine running": lambda name, rpm: rpm >= CRANKED_RPM,
    "engine not running": lambda name, rpm: rpm < CRANKED_RPM,
    "cranking by the starter": lambda name, rpm: 0 < rpm < CRANKED_RPM,
}
"""What may stand for a list of states."""


def written_out(tree: Node) -> Node:
    """The tree with lists of states in place of such words, wherever a device says when."""
    sections = dict(entries(tree))
    devices, states = sections.get("devices"), entries(sections.get("states"))
    if devices is None or not isinstance(devices.value, dict) or not states:
        return tree
    speeds = {name: _rpm(state) for name, state in states.items()}
    filled = {name: _device(device, speeds) for name, device in devices.value.items()}
    sections["devices"] = mapping(filled, devices)
    return mapping(sections, tree)


def _rpm(state: Node) -> float:
    try:
        return parse(word(state, "engine"), "rpm") if word(state, "engine") else 0.0
    except ValueError:  # told where the states are read
        return 0.0


def _device(device: Node, speeds: dict[str, float]) -> Node:
    values = dict(entries(device))
    for key, inner in (("draws", "in"), ("contacts", "closed"), ("when lost", "in")):
        node = values.get(key)
        if node is not None and isinstance(node.value, list):
            items = [_entry(item, inner, speeds) for item in node.value]
            values[key] = Node(items, node.where, {}, node.added)
        elif node is not None:
            values[key] = _entry(node, inner, speeds)
    drivers = values.get("drivers")
    if drivers is not None and isinstance(drivers.value, dict):
        inside = {
            pin: _entry(_entry(driver, "on", speeds), "released", speeds)
            for pin, driver in drivers.value.items()
        }
        values["drivers"] = mapping(inside, drivers)
    return mapping(values, device)


def _entry(entry: Node, key: str, speeds: dict[str, float]) -> Node:
    said = at(entry, key)
    if said is None or str(said.value) not in WORDS or str(said.value) in speeds:
        return entry
    holds = WORDS[str(said.value)]
    others = [Node(name, said.where) for name, rpm in speeds.items() if not holds(name, rpm)]
    inside = {"except": Node(others, said.where)}
    when = Node(inside, said.where, {"except": said.where}, said.added)
    return mapping({**entries(entry), key: when}, entry)
