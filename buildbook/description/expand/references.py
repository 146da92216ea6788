"""Finds what circuits and lists of devices mean: `coil-*.1`, `ecu.injector 1`, a feed's pin."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from buildbook.description.expand.feeds import FED, RETURNED
from buildbook.description.expand.pins_by_use import Finder
from buildbook.description.suggest import did_you_mean
from buildbook.description.tree import at, entries, listed, mapping, matching, one_or_more, word
from buildbook.description.yaml_reader import Node
from buildbook.problem import Problem, Where

FED_BY_USE = ("feed", "switched feed", "supply", "5 V supply", "battery")
RETURNED_BY_USE = ("ground", "return", "body", "sensor ground", "power ground", "earth")
LOST = ("dead", "stuck on")
SEEN = ("dead", "weak", "stuck on", "reads wrong", "works")


def written_out(tree: Node, problems: list[Problem]) -> Node:
    """The tree with whole names in circuits, in what is dead when lost, and in symptoms."""
    sections = dict(entries(tree))
    devices = entries(sections.get("devices"))
    changes: dict[str, Callable[[Node], Node]] = {
        "circuits": lambda node: _with_wires(
            _with(node, ("join",), devices, problems), devices, problems
        ),
        "devices": lambda node: _on_its_bus(
            _inside(node, "when lost", LOST, devices, problems), devices
        ),
        "symptoms": lambda node: _inside(node, "seen", SEEN, devices, problems),
    }
    for section, change in changes.items():
        node = sections.get(section)
        if node is not None and isinstance(node.value, dict):
            values = {name: change(child) for name, child in node.value.items()}
            sections[section] = mapping(values, node)
    return mapping(sections, tree)


def _on_its_bus(fuse: Node, devices: dict[str, Node]) -> Node:
    """A fuse whose bus bar is named by the stud of its panel, not by what the stud is for."""
    bus, panel = at(fuse, "bus"), devices.get(word(fuse, "on"))
    if bus is None or panel is None or isinstance(bus.value, (dict, list, type(None))):
        return fuse
    stud = Finder(panel)(str(bus.value))
    return mapping({**entries(fuse), "bus": Node(stud, bus.where, {}, bus.added)}, fuse)


def _inside(
    node: Node, key: str, keys: tuple[str, ...], devices: dict[str, Node], problems: list[Problem]
) -> Node:
    """One or a list of entries under `key`, with the lists that they hold written out."""
    below = at(node, key)
    if below is None:
        return node
    if isinstance(below.value, list):
        items = [_with(item, keys, devices, problems) for item in below.value]
        changed = Node(items, below.where, {}, below.added)
    else:
        changed = _with(below, keys, devices, problems)
    return mapping({**entries(node), key: changed}, node)


def _with(
    node: Node, keys: tuple[str, ...], devices: dict[str, Node], problems: list[Problem]
) -> Node:
    changed = {}
    for key in keys:
        below = at(node, key)
        if below is None or below.value is None or isinstance(below.value, dict):
            continue
        items = [one for item in one_or_more(below) for one in _meant(item, devices, problems)]
        if isinstance(below.value, list) or len(items) != 1:
            changed[key] = Node(items, below.where, {}, below.added)
        else:
            changed[key] = items[0]
    return mapping({**entries(node), **changed}, node) if changed else node


def _with_wires(circuit: Node, devices: dict[str, Node], problems: list[Problem]) -> Node:
    """A circuit whose single wires are named by whole pins; what names one goes before a `*`."""
    wires = at(circuit, "wires")
    if wires is None or not isinstance(wires.value, dict):
        return circuit
    values: dict[str, Node] = {}
    keys: dict[str, Where] = {}
    joined = {str(item.value) for item in listed(at(circuit, "join"))}
    for key in sorted(wires.value, key=lambda name: "*" in name):
        where = wires.keys[key]
        named = [str(pin.value) for pin in _meant(Node(key, where), devices, problems)]
        if "*" in key:  # of all that fit, those that are here
            named = [name for name in named if name in joined] or [key]
        for name in named:
            if name not in values:
                values[name], keys[name] = wires.value[key], where
            elif "*" not in key:
                what = f"`{key}` is `{name}`, which is written at {keys[name]}"
                why = "only one of the two could be used"
                problems.append(Problem(where, what, why, "write both in one"))
    found = Node(values, wires.where, keys, wires.added)
    return mapping({**entries(circuit), "wires": found}, circuit)


def _meant(item: Node, devices: dict[str, Node], problems: list[Problem]) -> Iterator[Node]:
    text = str(item.value)
    if isinstance(item.value, (list, dict)) or text in devices:
        yield item
        return
    device, dot, rest = _parts(text, devices)
    if "*" in device:
        named = matching(device, devices)
        if not named:
            hint = did_you_mean(device.replace("*", ""), devices)
            problems.append(Problem(item.where, f"no device is called like `{device}`", "", hint))
        for name in named:
            yield from _pin(
                Node(f"{name}{dot}{rest}", item.where, {}, item.added), devices, problems
            )
    else:
        yield from _pin(item, devices, problems)


def _parts(text: str, devices: dict[str, Node]) -> tuple[str, str, str]:
    """Device, dot, pin of `device.pin`; the names of devices and pins may hold dots."""
    parts = text.split(".")
    for count in range(len(parts) - 1, 0, -1):
        name = ".".join(parts[:count])
        if name in devices or ("*" in name and matching(name, devices)):
            return name, ".", ".".join(parts[count:])
    device, dot, rest = text.partition(".")
    return device, dot, rest


def _pin(item: Node, devices: dict[str, Node], problems: list[Problem]) -> Iterator[Node]:
    name, dot, rest = _parts(str(item.value), devices)
    device = devices.get(name)
    if device is None or not dot:
        yield item
        return
    if rest not in (FED, RETURNED):
        pin = Finder(device)(rest)
        yield item if pin == rest else Node(f"{name}.{pin}", item.where, {}, item.added)
        return
    pins = entries(at(device, "pins"))
    wanted = FED_BY_USE if rest == FED else RETURNED_BY_USE
    found = Finder(device)("|".join(wanted))
    if found in pins:
        yield Node(f"{name}.{found}", item.where, {}, item.added)
    elif len(pins) < 2 or not (at(device, "plug") or at(device, "plugs") or pins):
        yield Node(name, item.where, {}, item.added)
    else:
        side = "is fed" if rest == FED else "goes to ground"
        what = f"which pin of `{name}` {side} is not said"
        hint = f"write `{name}.` and the pin, or call one of its pins `{wanted[0]}`"
        problems.append(Problem(item.where, what, "", hint))


def uses_of(device: Node) -> dict[str, str]:
    """Pin -> what it is for."""
    found = {}
    for name, pin in entries(at(device, "pins")).items():
        found[name] = word(pin, "use") if isinstance(pin.value, dict) else str(pin.value)
    return found


def joined_to(circuits: dict[str, Node], pin: str) -> list[str]:
    """Everything that circuits join with a pin."""
    found = []
    for circuit in circuits.values():
        names = [str(item.value) for item in listed(at(circuit, "join"))]
        if pin in names:
            found += [name for name in names if name != pin]
    return found
