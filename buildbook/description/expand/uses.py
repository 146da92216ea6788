"""Follows from what a controller's pins are for: outputs, inputs, sources, feeds and grounds."""

from __future__ import annotations

from buildbook.description.expand.pins_by_use import Finder, pins_in
from buildbook.description.expand.references import joined_to, uses_of
from buildbook.description.tree import at, entries, fits, less, made, mapping, word
from buildbook.description.yaml_reader import Node

SECTION_OF = {"driver": "drivers", "input": "inputs", "source": "sources"}
POWER = {"feed": "feeds", "ground": "grounds"}
OWN_GROUND = "its own"
"""Of an input: the ground that the sensor at the pin is returned to."""


def written_out(tree: Node) -> Node:
    """The tree with what follows from the uses of pins, below what the author says of a pin."""
    sections = dict(entries(tree))
    devices, circuits = sections.get("devices"), entries(sections.get("circuits"))
    if devices is None or not isinstance(devices.value, dict):
        return tree
    filled = dict(devices.value)
    for name, device in devices.value.items():
        uses = at(device, "uses")
        if uses is None or not isinstance(uses.value, dict):
            continue
        filled[name] = _with_uses(name, device, uses, entries(devices), circuits)
    sections["devices"] = mapping(filled, devices)
    return mapping(sections, tree)


def _with_uses(
    name: str,
    device: Node,
    uses: Node,
    devices: dict[str, Node],
    circuits: dict[str, Node],
) -> Node:
    values = dict(entries(less(device, {"uses"})))
    found: dict[str, dict[str, Node]] = {section: {} for section in SECTION_OF.values()}
    power: dict[str, list[tuple[int, Node]]] = {"feeds": [], "grounds": []}
    pins = at(device, "pins")
    find = Finder(device)
    unused = {str(n.value) for n in _unused(device)}
    for pin, use in uses_of(device).items():
        follows = _of(use, uses)
        if follows is None or pin in unused or pins is None:
            continue
        where = pins.keys[pin]
        for key, section in SECTION_OF.items():
            if (entry := at(follows, key)) is not None:
                node = made(_plain(entry), where, f"use `{use}`")
                found[section][pin] = pins_in(node, find, ("through", "ground", "bridge"))
        for key, section in POWER.items():
            if (rank := word(follows, key)) and rank != "no":
                node = Node(pin, where, {}, f"use `{use}`")
                power[section].append((0 if rank == "main" else 1, node))
    for section, entries_of in found.items():
        if entries_of:
            values[section] = _below(entries_of, values.get(section), device)
    if any(power.values()):
        values["power"] = _power(power, values.get("power"), device)
    grounds = [str(node.value) for _, node in power["grounds"]]
    for section in ("inputs", "sources"):
        if section in values:
            values[section] = _grounded(name, values[section], grounds, devices, circuits)
    return mapping(values, device)


def _of(use: str, uses: Node) -> Node | None:
    """What follows from a use: of the patterns that fit, that with most letters."""
    fitting = [pattern for pattern in entries(uses) if fits(pattern, use)]
    return entries(uses)[max(fitting, key=lambda p: len(p.replace("*", "")))] if fitting else None


def _unused(device: Node) -> list[Node]:
    node = at(device, "unused")
    return node.value if node is not None and isinstance(node.value, list) else []


def _plain(node: Node) -> object:
    if isinstance(node.value, dict):
        return {key: _plain(child) for key, child in node.value.items()}
    if isinstance(node.value, list):
        return [_plain(child) for child in node.value]
    return node.value


def _below(found: dict[str, Node], said: Node | None, device: Node) -> Node:
    """What follows from uses, with what the author says of the same pins on top."""
    values, keys = dict(found), {pin: node.where for pin, node in found.items()}
    for pin, entry in entries(said).items():
        assert said is not None
        keys[pin] = said.keys[pin]
        if entry.value is None:
            values.pop(pin, None)
        elif pin in found and isinstance(entry.value, dict):
            inside = {**entries(found[pin]), **entry.value}
            kept = {key: node for key, node in inside.items() if node.value is not None}
            values[pin] = mapping(kept, entry, found[pin].keys)
        else:
            values[pin] = entry
    where = said.where if said is not None else device.where
    return Node(values, where, {pin: keys[pin] for pin in values}, said.added if said else "uses")


def _power(found: dict[str, list[tuple[int, Node]]], said: Node | None, device: Node) -> Node:
    values = {
        section: Node([node for _, node in sorted(nodes, key=lambda n: n[0])], device.where)
        for section, nodes in found.items()
        if nodes
    }
    values |= entries(said)
    return mapping(values, said or device)


def _grounded(
    name: str,
    inputs: Node,
    grounds: list[str],
    devices: dict[str, Node],
    circuits: dict[str, Node],
) -> Node:
    """Inputs and sources with the ground that the sensor at each is returned to, where one is."""
    values = {}
    for pin, entry in entries(inputs).items():
        if word(entry, "ground") != OWN_GROUND:
            values[pin] = entry
            continue
        ground = next(
            (
                other.removeprefix(f"{name}.")
                for sensor in joined_to(circuits, f"{name}.{pin}")
                for back in _returns(sensor, devices)
                for other in joined_to(circuits, back)
                if other.removeprefix(f"{name}.") in grounds and other.startswith(f"{name}.")
            ),
            None,
        )
        inside = dict(entries(less(entry, {"ground"})))
        if ground is not None:
            inside["ground"] = Node(ground, entry.where, {}, "where its sensor is returned")
        values[pin] = mapping(inside, entry)
    return mapping(values, inputs)


def _returns(sensor: str, devices: dict[str, Node]) -> list[str]:
    """The pins that a sensor's signal, or the sensor fed at a pin, is measured against."""
    device, _, pin = sensor.rpartition(".")
    entry = devices.get(device)
    if entry is None:
        return []
    for name, signal in entries(at(entry, "gives")).items():
        if pin in (name, word(signal, "supply")) and (back := word(signal, "return")):
            return [f"{device}.{back}"]
    others = [name for name in entries(at(entry, "pins")) if name != pin]
    return [f"{device}.{others[0]}"] if len(others) == 1 else []
