"""Finds the pin that is meant where a device's part names it by its use: `from: feed`."""

from __future__ import annotations

from collections.abc import Callable

from buildbook.description.models.devices import Contact, Draw
from buildbook.description.models.sensors import Pair
from buildbook.description.tree import at, entries, fits, mapping, word
from buildbook.description.yaml_reader import Node

BY_PIN = ("gives", "drivers", "inputs", "sources")
"""Sections of a device whose entries are named by a pin."""
DRAW_KEYS = frozenset(field.alias or name for name, field in Draw.model_fields.items())
CONTACT_KEYS = frozenset(field.alias or name for name, field in Contact.model_fields.items())
PAIR_KEYS = frozenset(Pair.model_fields)
NAMED = {"draws": DRAW_KEYS, "contacts": CONTACT_KEYS}
"""Sections whose items have names in a kind, and the keys of one item."""


def with_pins_found(device: Node, find: Finder) -> Node:
    """What names a pin by its use names the pin itself, but for the ends of draws and contacts:
    `supply: 5 V supply` is `supply: 3`."""
    values = dict(entries(device))
    for key in BY_PIN:
        if isinstance(values[key].value if key in values else None, dict):
            section = values[key]
            named = {find(name): entry for name, entry in entries(section).items()}
            places = {find(name): section.keys[name] for name in entries(section)}
            if key == "gives":
                named = {n: pins_in(e, find, ("return", "supply")) for n, e in named.items()}
            else:
                named = {
                    n: pins_in(e, find, ("ground", "through", "bridge")) for n, e in named.items()
                }
            values[key] = Node(named, section.where, places, section.added)
    if "power" in values:
        values["power"] = pins_in(values["power"], find, ("feeds", "grounds"))
    if "pairs" in values:
        values["pairs"] = _each_item(
            values["pairs"], PAIR_KEYS, lambda n: pins_in(n, find, ("tracks",))
        )
    if "readings" in values:
        values["readings"] = _each_item(
            values["readings"], frozenset(), lambda n: pins_in(n, find, ("pin",))
        )
    if "unused" in values:
        values["unused"] = _each_pin(values["unused"], find)
    return mapping(values, device)


def with_ends_found(device: Node, find: Finder) -> Node:
    """The same for draws and contacts: `from: feed` is `from: 1`."""
    values = dict(entries(device))
    for key, keys in NAMED.items():
        if key in values:
            values[key] = _each_item(values[key], keys, lambda n: pins_in(n, find, ("from", "to")))
    return mapping(values, device)


class Finder:
    """Turns what a pin of a device is for into the pin; what names none is left as it is."""

    def __init__(self, device: Node) -> None:
        self.pins = entries(at(device, "pins"))
        self.uses: dict[str, list[str]] = {}
        for name, pin in self.pins.items():
            use = word(pin, "use") if isinstance(pin.value, dict) else str(pin.value)
            self.uses.setdefault(use, []).append(name)

    def __call__(self, text: str) -> str:
        """The pin that is meant, the first of several."""
        return self.every(text)[0]

    def use_of(self, pin: str) -> str:
        """What a pin is for; '' where that is not said."""
        return next((use for use, pins in self.uses.items() if pin in pins), "")

    def every(self, text: str) -> list[str]:
        """All pins that are for the first use that fits."""
        if text in self.pins:
            return [text]
        for way in text.split("|"):
            named = self.uses.get(way.strip()) or next(
                (self.uses[use] for use in self.uses if "*" in way and fits(way.strip(), use)), []
            )
            if named:
                return named
        return [text]


def _each_pin(pins: Node, find: Finder) -> Node:
    """A list of pins in which a use stands for all pins that are for it."""
    if not isinstance(pins.value, list):
        return pins
    items = [
        one
        for node in pins.value
        for one in (
            [node]
            if node.value is None or isinstance(node.value, (dict, list))
            else [Node(pin, node.where, {}, node.added) for pin in find.every(str(node.value))]
        )
    ]
    return Node(items, pins.where, {}, pins.added)


def pins_in(entry: Node, find: Finder, keys: tuple[str, ...]) -> Node:
    """An entry whose keys that name pins name them by their own names."""
    if not isinstance(entry.value, dict):
        return entry
    values = dict(entry.value)
    for key in keys:
        node = values.get(key)
        if node is None:
            continue
        if isinstance(node.value, list):
            items = [Node(find(str(n.value)), n.where, {}, n.added) for n in node.value]
            values[key] = Node(items, node.where, {}, node.added)
        elif not isinstance(node.value, dict) and node.value is not None:
            values[key] = Node(find(str(node.value)), node.where, {}, node.added)
    return mapping(values, entry)


def _each_item(section: Node, keys: frozenset[str], change: Callable[[Node], Node]) -> Node:
    if isinstance(section.value, list):
        return Node([change(n) for n in section.value], section.where, {}, section.added)
    if not isinstance(section.value, dict) or keys >= section.value.keys():
        return change(section)
    return mapping({name: change(n) for name, n in section.value.items()}, section)
