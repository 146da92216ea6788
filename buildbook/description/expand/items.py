"""Draws and contacts of a device over those of its kind: which stay, and which give way."""

from __future__ import annotations

from buildbook.description.expand.pins_by_use import NAMED, Finder
from buildbook.description.tree import at, entries, fits, listed, mapping, word
from buildbook.description.yaml_reader import Node

HOW_MUCH = ("amps", "watts", "ohms")
GOES_WITH_IT = ("at", "cold", "stall", "inrush")
"""Keys of a draw that hold for the current that its kind says, and for no other."""
CHARACTERISTICS = ("ntc", "platinum", "ohms", "volts", "current", "hall", "inductive", "switch")
OF_THE_KIND = "of the kind"
"""What the one draw or contact of a kind is called beside named ones of the author."""
WITHOUT = "without the kind's "
"""Begins what `show` tells of draws and contacts of a kind that gave way."""


def items_over(below: Node, node: Node, keys: frozenset[str], find: Finder | None) -> Node:
    """Draws or contacts: a list takes the place of the kind's, names are laid over its names.

    A name that the kind has not, at the pins of one of the kind's that is not named as well, is
    that one as the author has it: both at once would draw twice. What lies elsewhere is something
    else in the device, and must not make the kind's vanish. `find` knows the device's pins.
    """
    if not isinstance(node.value, dict):
        return node
    if not isinstance(below.value, dict):  # the author's own kind has a list
        return node
    if keys >= node.value.keys():
        if keys >= below.value.keys():
            return one_over(below, node)
        first = next(iter(below.value))
        return mapping({**below.value, first: one_over(below.value[first], node)}, node, below.keys)
    if not keys >= below.value.keys():
        return _names_over(below, node, find)
    items = [item for item in node.value.values() if isinstance(item.value, dict)]
    if len(items) == 1 and not any(word(items[0], end) for end in ("from", "to")):
        return one_over(below, items[0])
    if any("" in ends for ends in (_ends(below), *map(_ends, items))):
        return node  # its pins go without saying: it may be the kind's own
    if any(_may_be(below, item, find) for item in items):
        return node
    values = {OF_THE_KIND: below, **entries(node)}
    return mapping(values, node, {OF_THE_KIND: below.where, **node.keys})


def _names_over(below: Node, node: Node, find: Finder | None) -> Node:
    """Named ones over those of the kind; null takes one of the kind's out."""
    values = dict(entries(below))
    new = [item for name, item in entries(node).items() if name not in values]
    for name in [name for name in values if name not in entries(node)]:
        if any(_may_be(values[name], item, find) for item in new):
            del values[name]
    for name, item in entries(node).items():
        under = values.get(name)
        if item.value is None:
            values.pop(name, None)
        elif under is not None and isinstance(under.value, dict) and isinstance(item.value, dict):
            values[name] = one_over(under, item)
        else:
            values[name] = item
    return mapping(values, node, below.keys)


def _ends(item: Node) -> tuple[str, str]:
    return word(item, "from"), word(item, "to")


def _may_be(theirs: Node, item: Node, find: Finder | None) -> bool:
    """Whether an item lies between the pins that the kind means, which it may name by patterns."""
    if "" in (*_ends(theirs), *_ends(item)):
        return False
    pairs = (_ends(item), _ends(item)[::-1])
    return any(
        all(_is_pin(way, pin, find) for way, pin in zip(_ends(theirs), pair, strict=True))
        for pair in pairs
    )


def _is_pin(meant: str, pin: str, find: Finder | None) -> bool:
    """Whether `feed* | supply` means a pin, which is named by itself or by what it is for."""
    names = {name.strip() for name in pin.split("|")}
    names |= {other for n in names for other in (find(n), find.use_of(n))} if find else set()
    return any(fits(way.strip(), name) for way in meant.split("|") for name in names if name)


def one_over(below: Node, node: Node) -> Node:
    """One draw, contact or signal over that of the kind: of several ways to say it one is left."""
    values = dict(entries(below))
    for ways in (HOW_MUCH, CHARACTERISTICS):
        if any(way in entries(node) for way in ways):
            values = {key: child for key, child in values.items() if key not in ways}
            if ways is HOW_MUCH:
                values = {key: n for key, n in values.items() if key not in GOES_WITH_IT}
    values |= entries(node)
    left = {key: child for key, child in values.items() if child.value is not None}
    return mapping(left, node, below.keys)


def with_places_told(device: Node, given: Node) -> Node:
    """A device whose draws and contacts tell which of its kind's gave way to them."""
    values = dict(entries(device))
    for key, keys in NAMED.items():
        below, node = at(given, key), values.get(key)
        if below is None or node is None or not isinstance(below.value, (dict, list)):
            continue
        gone = [told for item in _gone(below, node, keys) if (told := _told(item))]
        if gone:
            values[key] = Node(node.value, node.where, node.keys, WITHOUT + ", ".join(gone))
    return mapping(values, device)


def _gone(below: Node, node: Node, keys: frozenset[str]) -> list[Node]:
    """What a kind has and the device has not."""
    if isinstance(below.value, list):
        return [] if node.added else listed(below)
    one = keys >= entries(below).keys()
    theirs = {OF_THE_KIND: below} if one else entries(below)
    if isinstance(node.value, dict):
        stays = theirs if keys >= node.value.keys() else node.value
        return [item for name, item in theirs.items() if name not in stays]
    return list(theirs.values())


def _told(item: Node) -> str:
    """'900 mA from 1 to 3'."""
    much = next((word(item, key) for key in HOW_MUCH if word(item, key)), "")
    ends = " ".join(f"{end} {word(item, end)}" for end in ("from", "to") if word(item, end))
    return f"{much} {ends}".strip()
