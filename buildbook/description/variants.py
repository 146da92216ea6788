"""Lays a variant over the description: what it leaves out, and what it writes otherwise."""

from __future__ import annotations

from collections.abc import Callable

from buildbook.description.suggest import did_you_mean
from buildbook.description.tree import at, device_of, entries, less, listed, mapping, matching, word
from buildbook.description.yaml_reader import Node
from buildbook.problem import Problem, Where

AS_WRITTEN = "as written"
"""Name of the description without any variant."""

LEFT_OUT = {"systems": "system", "devices": "device", "circuits": "circuit"}


def chosen_name(tree: Node, asked: str | None) -> tuple[str, Where]:
    """The variant to build: the one asked for, else the vehicle's own, and where it is said."""
    said = at(at(tree, "vehicle"), "variant")
    where = said.where if said else tree.where
    if asked is not None:
        return asked, where
    return (str(said.value) if said and said.value is not None else AS_WRITTEN), where


def chosen(tree: Node, asked: str | None) -> tuple[Node | None, list[Problem]]:
    """The variant that is built, None for the description as written; one that is not there."""
    name, where = chosen_name(tree, asked)
    if name == AS_WRITTEN:
        return None, []
    variants = entries(at(tree, "variants"))
    if name not in variants:
        known = [*variants, AS_WRITTEN]
        return None, [Problem(where, f"no variant `{name}`", "", did_you_mean(name, known))]
    return variants[name], []


def built_as(tree: Node, asked: str | None) -> Node:
    """The tree whose vehicle names the variant that was asked for, as all that is made of it."""
    vehicle = at(tree, "vehicle")
    if asked is None or vehicle is None or not isinstance(vehicle.value, dict):
        return tree
    values = {name: node for name, node in entries(vehicle).items() if name != "variant"}
    if asked != AS_WRITTEN:
        values["variant"] = Node(asked, vehicle.where)
    return mapping({**entries(tree), "vehicle": mapping(values, vehicle)}, tree)


def laid_over(under: Node, over: Node, problems: list[Problem]) -> Node:
    """Entries of `over` in place of those of `under`; an empty one takes the other out."""
    values, keys = dict(entries(under)), dict(under.keys)
    for name, node in entries(over).items():
        below = values.get(name)
        if node.value is None:
            if below is None:
                problems.append(
                    Problem(
                        over.keys[name],
                        f"there is no `{name}` here to take out",
                        "",
                        did_you_mean(name, values),
                    )
                )
            values.pop(name, None)
            continue
        if below is not None and isinstance(below.value, dict) and isinstance(node.value, dict):
            node = laid_over(below, node, problems)
        values[name] = node
        keys[name] = over.keys[name]
    return Node(values, under.where, {name: keys[name] for name in values})


def without(tree: Node, leave: Node | None, problems: list[Problem]) -> Node:
    """Take out systems with their circuits and devices, single circuits and devices.

    A device that only the circuits left out joined goes with them; the wires to a device that
    goes are taken out of the circuits that stay, and what is left with one end goes too.
    """
    named = {section: _names(leave, section, tree, problems) for section in LEFT_OUT}
    if not any(named.values()) or not all(entries(at(tree, s)) for s in LEFT_OUT):
        return tree
    circuits, devices = entries(at(tree, "circuits")), entries(at(tree, "devices"))
    gone_circuits = named["circuits"] | {
        name for name, node in circuits.items() if word(node, "system") in named["systems"]
    }
    gone_devices = named["devices"] | {
        name for name, node in devices.items() if word(node, "system") in named["systems"]
    }
    kept = {name: node for name, node in circuits.items() if name not in gone_circuits}
    joined = {d for node in circuits.values() for d in _joined(node, devices)}
    still = {d for node in kept.values() for d in _joined(node, devices)}
    gone_devices |= joined - still
    trimmed = {name: _trimmed(node, gone_devices, devices) for name, node in kept.items()}
    gone_circuits |= {
        name for name, node in trimmed.items() if node is not kept[name] and not _has_two_ends(node)
    }
    sections = {"systems": named["systems"], "devices": gone_devices, "circuits": gone_circuits}
    values = {**entries(tree), "circuits": _only(tree, "circuits", trimmed)}
    for section, gone in sections.items():
        values[section] = less(values[section], gone)
    gone_all = set().union(*sections.values())
    return _forget(Node(values, tree.where, tree.keys), sections, gone_all)


def _forget(tree: Node, gone: dict[str, set[str]], gone_all: set[str]) -> Node:
    """Take out notes, waivers, cables, cavities and signs that speak of what is gone."""
    values = dict(entries(tree))
    with_ = {f"system {name}" for name in gone["systems"]}
    values = _filtered(values, "notes", lambda n: word(n, "with") not in with_)
    values = _filtered(
        values, "waivers", lambda n: device_of(word(n, "about"), gone_all) not in gone_all
    )
    for name, cable in entries(values.get("cables")).items():
        if any(str(core.value) in gone["circuits"] for core in listed(at(cable, "cores"))):
            values["cables"] = less(values["cables"], {name})
    devices = values["devices"]
    changed = {}
    for name, device in entries(devices).items():
        carries = at(device, "carries")
        if carries and isinstance(carries.value, dict):
            free = {c for c, n in carries.value.items() if str(n.value) in gone["circuits"]}
            inside = {**entries(device), "carries": less(carries, free)}
            changed[name] = Node(inside, device.where, device.keys)
    values["devices"] = Node({**entries(devices), **changed}, devices.where, devices.keys)
    if entries(values.get("symptoms")):
        values["symptoms"] = _still_seen(values["symptoms"], gone["devices"])
    return Node(values, tree.where, tree.keys)


def _still_seen(symptoms: Node, gone: set[str]) -> Node:
    """The symptoms without signs that name a device that is gone; without both, none."""

    def stays(sign: Node) -> bool:
        words = [w for n in entries(sign).values() for w in (listed(n) or [n])]
        return not any(device_of(str(word.value), gone) in gone for word in words)

    values: dict[str, Node] = {}
    lost: set[str] = set()
    for name, symptom in entries(symptoms).items():
        seen = at(symptom, "seen")
        signs = listed(seen) or ([] if seen is None else [seen])
        left = [sign for sign in signs if stays(sign)]
        if seen is not None and len(left) < len(signs):
            inside = {**entries(symptom), "seen": Node(left, seen.where)}
            symptom = Node(inside, symptom.where, symptom.keys)
            lost |= {name} if not left and "causes" not in entries(symptom) else set()
        values[name] = symptom
    return less(Node(values, symptoms.where, symptoms.keys), lost)


def _filtered(
    values: dict[str, Node], section: str, keep: Callable[[Node], bool]
) -> dict[str, Node]:
    node = values.get(section)
    if node is None or not isinstance(node.value, list):
        return values
    return {**values, section: Node([n for n in node.value if keep(n)], node.where)}


def _names(leave: Node | None, section: str, tree: Node, problems: list[Problem]) -> set[str]:
    """Names that a variant leaves out of a section; those that are not there are problems."""
    known = entries(at(tree, section))
    found = set()
    for node in listed(at(leave, section)):
        named = matching(str(node.value), known)
        found |= set(named)
        if not named:
            problems.append(
                Problem(
                    node.where,
                    f"no {LEFT_OUT[section]} `{node.value}` to leave out",
                    "",
                    did_you_mean(str(node.value), known),
                )
            )
    return found


def _joined(circuit: Node, devices: dict[str, Node]) -> set[str]:
    return {device_of(str(pin.value), devices) for pin in listed(at(circuit, "join"))}


def _trimmed(circuit: Node, gone: set[str], devices: dict[str, Node]) -> Node:
    pins = at(circuit, "join")
    if pins is None or not isinstance(pins.value, list):
        return circuit
    left = [p for p in pins.value if device_of(str(p.value), devices) not in gone]
    if len(left) == len(pins.value):
        return circuit
    inside = {**entries(circuit), "join": Node(left, pins.where)}
    return Node(inside, circuit.where, circuit.keys)


def _has_two_ends(circuit: Node) -> bool:
    pins = at(circuit, "join")
    capped = at(circuit, "capped at") is not None
    return pins is None or not isinstance(pins.value, list) or len(pins.value) + capped >= 2


def _only(tree: Node, section: str, values: dict[str, Node]) -> Node:
    node = entries(tree)[section]
    return Node(values, node.where, {name: node.keys[name] for name in values})
