"""Which devices a variant moves, from where and where to; what cannot be moved is a problem."""

from __future__ import annotations

from dataclasses import dataclass

from pydantic import ValidationError

from buildbook.description.models import Move
from buildbook.description.move.layout import Layout
from buildbook.description.suggest import did_you_mean
from buildbook.description.tree import at, entries, mapping, matching
from buildbook.description.yaml_reader import Node, plain
from buildbook.problem import Problem, Where


@dataclass(frozen=True)
class Going:
    """A device that goes to another place, and what it carries with it."""

    device: str
    old: str
    new: str
    group: tuple[str, ...]
    """The device itself, and what stands on it."""
    said: Move
    node: Node
    """As the variant writes it."""
    key: Where

    @property
    def where(self) -> Where:
        """Where its new place is written."""
        return self.place("to")

    def place(self, key: str) -> Where:
        """Where a word of the move is written."""
        inner = at(self.node, key)
        if inner is None:
            return self.node.where if not isinstance(self.node.value, dict) else self.key
        return self.node.keys[key] if isinstance(inner.value, (dict, list)) else inner.where


def goings(move: Node | None, layout: Layout, problems: list[Problem]) -> list[Going]:
    """What the moves of a variant mean; whoever names one goes before a `*`."""
    found: dict[str, Going] = {}
    written = entries(move)
    for key in sorted(written, key=lambda name: "*" in name):
        node = written[key]
        where = move.keys[key] if move else node.where
        said = _said(node)
        if said is None:
            continue
        named = matching(key, layout.points)
        if not named:
            hint = did_you_mean(key.replace("*", ""), layout.points)
            problems.append(Problem(where, f"no device `{key}` to move", "", hint))
        for device in named:
            if "*" in key and (device in written or layout.carriers.get(device) in named):
                continue
            going = _going(device, said, node, where, layout)
            problem = _why_not(going, layout, found.get(device))
            if problem is None:
                found[device] = going
            else:
                problems.append(problem)
    return list(found.values())


def _said(node: Node) -> Move | None:
    """The move as it is meant; None where it is not well formed, which is told elsewhere."""
    value = plain(node)
    try:
        return Move.model_validate(value if isinstance(value, dict) else {"to": value})
    except ValidationError:
        return None


def _going(device: str, said: Move, node: Node, key: Where, layout: Layout) -> Going:
    old = layout.points[device]
    carried = (
        name
        for name, carrier in layout.carriers.items()
        if carrier == device and layout.points[name] in (old, "")
    )
    return Going(device, old, said.to, (device, *carried), said, node, key)


def _why_not(going: Going, layout: Layout, other: Going | None) -> Problem | None:
    """What stands against a move, `other` being one of the same device; None for nothing."""
    device, new = going.device, going.new
    if other is not None:
        return Problem(
            going.key,
            f"`{device}` is moved twice: it is moved at {other.key}, too",
            "it can be at one place only",
            f"write a line `{device}: {new}` of its own, which goes before a `*`",
        )
    if carrier := layout.carriers.get(device):
        return Problem(
            going.key,
            f"`{device}` is on `{carrier}` and cannot be moved by itself",
            "it stands where its panel stands",
            f"move `{carrier}`, or take it off with `change: {{devices: {{{device}: "
            f"{{on: , at: {new}}}}}}}`",
        )
    if not going.old:
        return Problem(
            going.key,
            f"nothing says where `{device}` is, so it cannot be moved",
            "what its wires need now and then cannot be compared",
            "add `at`, a point of the rope, to the device",
        )
    if going.old == new:
        return Problem(
            going.where,
            f"`{device}` is at `{new}` already",
            "the variant would change nothing",
            "name another place, or take it out",
        )
    return _nowhere(going, layout)


def _nowhere(going: Going, layout: Layout) -> Problem | None:
    """The problem of a place that is not there; None where it is."""
    new = going.new
    spots = [end for s in layout.stretches for end in s.ends]
    known = dict.fromkeys([*spots, *layout.places, *layout.points.values()])
    if new in known:
        return None
    point = layout.points.get(new)
    if point:
        hint = f"`{new}` is a device, at `{point}`: write that point"
    else:
        hint = did_you_mean(new, [name for name in known if name])
        if not hint.startswith("did you mean"):
            hint = f"write where it is under `plan: places`, or name a point of the rope; {hint}"
    return Problem(
        going.where,
        f"no place `{new}` to move `{going.device}` to",
        "it is no point of the rope and no place of the plan",
        hint,
    )


def put(tree: Node, moves: list[Going]) -> Node:
    """The tree with every device that moves, and what it carries, at its new place."""
    devices = at(tree, "devices")
    if devices is None:
        return tree
    values = dict(entries(devices))
    for going in moves:
        for name in going.group:
            device = values[name]
            if name != going.device and at(device, "at") is None:
                continue  # it is where its panel is
            by = f"move of {going.device}"
            inside = {**entries(device), "at": Node(going.new, going.where, {}, by)}
            values[name] = mapping(inside, device, {"at": going.key})
    return mapping({**entries(tree), "devices": mapping(values, devices)}, tree)
