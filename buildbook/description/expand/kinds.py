"""Fills a device with what its kind knows: pins, draws, contacts, what it gives."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from itertools import takewhile
from pathlib import Path

from buildbook.description.expand.items import items_over, one_over, with_places_told
from buildbook.description.expand.pins_by_use import (
    BY_PIN,
    NAMED,
    Finder,
    with_ends_found,
    with_pins_found,
)
from buildbook.description.models.devices import BASE_KINDS, Device
from buildbook.description.suggest import did_you_mean
from buildbook.description.tree import (
    at,
    check_keys,
    entries,
    less,
    listed,
    mapping,
    moved,
    scalars,
    word,
)
from buildbook.description.yaml_reader import Node, read_yaml
from buildbook.problem import Problem, Where
from buildbook.words.catalogues import LANGUAGES
from buildbook.words.say import ENGLISH, in_language, language, worded

FOLDER = Path(__file__).parents[1] / "kinds"
ABOUT_ITSELF = ("about", "source", "kind")
OF_OURS = (*ABOUT_ITSELF, "title")
"""Keys of a kind that are not its devices': of the author's kinds, and of the program's."""
BY_KIND = "kind "  # and its name: how a node says what wrote it
KIND_KEYS = [field.alias or name for name, field in Device.model_fields.items()]
ONE_BY_ONE = ("coil", "power", "uses", *BY_PIN)
"""Sections whose entries are laid over those of the kind one by one; others take their place."""
NAMED_BY = {"part": "parts", "plug": "plugs", "system": "systems"}
"""Keys by which a kind names an entry of another section."""
PRINTED = ("what", "position", "when", "expect")
"""Keys of a kind whose words the book prints as they stand."""
CONTEXT, USE = "kind", "use"
"""What tells such words and the names of kinds, and what pins are for, from alike ones in a
catalogue."""
DEEPEST = 20


@dataclass(frozen=True)
class Kind:
    """What stands below a device of a kind, laid over what its own kind says."""

    name: str
    base: str
    """One of the kinds that the program knows by itself."""
    given: Node
    source: str


class Kinds:
    """The kinds of the program and of the author by name; each is worked out once."""

    def __init__(self, own: Mapping[str, Node], problems: list[Problem]) -> None:
        self.own = own
        self.problems = problems
        self.found: dict[str, Kind | None] = {}

    def named(self, name: str, depth: int = 0) -> Kind | None:
        """The kind of that name; None where it is none but a base that knows nothing."""
        if name not in self.found:
            self.found[name] = self._work_out(name, depth)
        return self.found[name]

    def _work_out(self, name: str, depth: int) -> Kind | None:
        mine, ours = self.own.get(name), built_in().get(name)
        layers = [node for node in (ours, mine) if node is not None]
        if not layers:
            return None
        parent = next((word(n, "kind") for n in reversed(layers) if word(n, "kind")), name)
        source = next((word(n, "source") for n in reversed(layers) if word(n, "source")), "")
        below = None
        if parent != name and depth < DEEPEST:
            below = self.named(parent, depth + 1)
        elif parent != name:
            what, hint = f"the kind `{name}` leads back to itself", "end it at a base kind"
            self.problems.append(Problem(layers[-1].where, what, "", hint))
        given = below.given if below else Node({}, layers[0].where)
        for layer in layers:
            given = laid(given, layer)
        return Kind(name, below.base if below else parent, given, source)


@cache
def built_in() -> dict[str, Node]:
    """The kinds that come with the program, by name."""
    found: dict[str, Node] = {}
    for path in sorted(FOLDER.glob("*.yaml")):
        tree, problems = read_yaml(path, path.name)
        assert tree is not None and not problems, problems
        found |= entries(at(tree, "kinds"))
    return found


@cache
def printed_words() -> tuple[str, ...]:
    """What our kinds say of their draws, contacts and sensors, and the book prints."""
    return tuple(dict.fromkeys(w for kind in built_in().values() for w in _printed(kind)))


def _printed(node: Node, key: str = "", above: str = "") -> Iterator[str]:
    if isinstance(node.value, dict):
        for name, child in node.value.items():
            yield from _printed(child, name, key)
    elif isinstance(node.value, list):
        for child in node.value:
            yield from _printed(child, key, above)
    elif isinstance(node.value, str) and (key in PRINTED or above == "hall"):
        yield node.value


@cache
def known_uses() -> tuple[str, ...]:
    """What our kinds say that their pins are for."""
    found: list[str] = []
    for kind in built_in().values():
        pins = entries(at(kind, "pins")).values()
        found += [
            word(pin, "use") if isinstance(pin.value, dict) else str(pin.value) for pin in pins
        ]
        found += [use for use in entries(at(kind, "uses")) if "*" not in use]
    return tuple(dict.fromkeys(use for use in found if use))


def said_use(use: str) -> str:
    """What a pin is for, as it is printed: one of our words in the language of now."""
    return worded(use, USE) if use in known_uses() else use


def laid(under: Node, over: Node, find: Finder | None = None) -> Node:
    """What a device or kind says over what its kind says; `find` knows the pins of a device."""
    values = dict(entries(under))
    for key, node in entries(over).items():
        below = values.get(key)
        if key in OF_OURS:
            continue
        if node.value is None:
            values.pop(key, None)
        elif below is None:
            values[key] = node
        elif key in NAMED:
            values[key] = items_over(below, node, NAMED[key], find)
        elif key in ONE_BY_ONE:
            values[key] = _entries_over(below, node, key == "uses")
        else:
            values[key] = node
    keys = {**under.keys, **over.keys}
    return mapping({k: n for k, n in values.items() if n.value is not None}, over, keys)


def _entries_over(below: Node, node: Node, is_uses: bool = False) -> Node:
    if not (isinstance(below.value, dict) and isinstance(node.value, dict)):
        return node
    values = dict(below.value)
    for name, entry in node.value.items():
        under = values.get(name)
        if entry.value is None:
            values.pop(name, None)
        elif under is not None and isinstance(under.value, dict) and isinstance(entry.value, dict):
            over = _entries_over if is_uses else one_over
            values[name] = over(under, entry)
        else:
            values[name] = entry
    return mapping(values, node, below.keys)


def written_out(tree: Node, problems: list[Problem]) -> Node:
    """The tree with each device filled with what its kind knows; `kinds` say the rest of them."""
    sections = dict(entries(tree))
    own = sections.get("kinds")
    kinds = Kinds(entries(own), problems)
    for name, kind in entries(own).items():
        _check(name, kind, own.keys[name] if own else kind.where, kinds, problems)
        _check_named(kind, sections, problems)
    devices = sections.get("devices")
    if devices is not None and isinstance(devices.value, dict):
        points = _points(sections.get("rope"))
        told = word(sections.get("vehicle"), "language")
        with in_language(told if told in LANGUAGES else ENGLISH):
            filled = {
                name: _filled(name, device, kinds, points, problems)
                for name, device in devices.value.items()
            }
        sections["devices"] = mapping(filled, devices)
    return mapping(sections, tree)


def _check(name: str, kind: Node, where: Where, kinds: Kinds, problems: list[Problem]) -> None:
    """An author's kind is made of another, or changes one of the program's."""
    if not isinstance(kind.value, dict):
        what = f"the kind `{name}` must be written as settings with names"
        problems.append(Problem(where, what, "", "write for example `{kind: sensor, plug: …}`"))
    elif not word(kind, "kind") and name not in built_in() and name not in BASE_KINDS:
        what = f"the kind `{name}` does not say what kind of thing it is"
        hint = "write `kind:` and one that is known; `buildbook explain kinds` lists them"
        problems.append(Problem(where, what, "", hint))
    kinds.named(name)
    check_keys(kind, [*KIND_KEYS, *ABOUT_ITSELF], f"`kinds` `{name}`", problems)


def _check_named(kind: Node, sections: Mapping[str, Node], problems: list[Problem]) -> None:
    """What a kind names is there: told once where it stands, not at each of its devices."""
    for key, section in NAMED_BY.items():
        said, known = at(kind, key), entries(sections.get(section))
        if said is None or not isinstance(said.value, str) or said.value in known:
            continue
        hint = did_you_mean(said.value, known)
        hint = hint or f"write `{said.value}` under `{section}`, or take it out"
        problems.append(Problem(said.where, f"no {key} `{said.value}`", "", hint))


def _points(rope: Node | None) -> set[str]:
    found = set()
    for harness in entries(rope).values():
        for run in listed(at(harness, "runs")):
            found |= {word(run, "from"), word(run, "to")}
        for tape in listed(at(harness, "tapes")):
            found |= {word(mark, "at") for mark in listed(at(tape, "marks"))}
    return found


def _filled(
    name: str, device: Node, kinds: Kinds, points: set[str], problems: list[Problem]
) -> Node:
    if not isinstance(device.value, dict):
        return device
    said = at(device, "kind")
    kind = kinds.named(word(device, "kind")) if said is not None else None
    if said is not None and kind is None and word(device, "kind") not in BASE_KINDS:
        known = [*built_in(), *kinds.own, *BASE_KINDS]
        what = f"no kind `{said.value}`"
        problems.append(Problem(said.where, what, "", did_you_mean(str(said.value), known)))
    full = with_ends_found(with_pins_found(device, Finder(device)), Finder(device))
    if kind is not None and said is not None:
        by = f"{BY_KIND}{kind.name}"
        given = moved(kind.given, said.where, by)
        find = Finder(device if at(device, "pins") else given)
        full = laid(with_pins_found(given, find), with_pins_found(device, find), find)
        full = with_places_told(with_ends_found(full, find), with_ends_found(given, find))
        base = Node(kind.base, said.where, {}, by if kind.base != kind.name else said.added)
        full = mapping({"kind": base, **entries(full)}, device, {**full.keys, **device.keys})
        full = Node(full.value, device.where, full.keys, device.added)
    values = dict(entries(full))
    if "at" not in values and "on" not in values and name in points:
        values["at"] = Node(name, device.where, {}, "its name, a point of the rope")
    full = mapping(values, full)
    full = _without_missing_pins(name, full, kind, problems)
    return _listed_draws(_in_its_words(name, full))


def _without_missing_pins(
    name: str, device: Node, kind: Kind | None, problems: list[Problem]
) -> Node:
    """Without those named draws and contacts of a kind whose pins this device has not got."""
    pins = entries(at(device, "pins"))
    values = dict(entries(device))
    if kind is None or not pins:
        return device
    for key, keys in NAMED.items():
        node = values.get(key)
        if node is None or not isinstance(node.value, dict):
            continue
        every = {"": node} if keys >= node.value.keys() else node.value
        items = {item: n for item, n in every.items() if n.added == f"{BY_KIND}{kind.name}"}
        lacking = {
            item: [end for end in (word(n, "from"), word(n, "to")) if end and end not in pins]
            for item, n in items.items()
        }
        missing = {item for item, ends in lacking.items() if ends}
        if missing and missing == every.keys():
            ends = dict.fromkeys(end for ends in lacking.values() for end in ends)
            said = " and ".join(f"`{end.partition('|')[0].strip()}`" for end in ends)
            what = f"`{name}` is of the kind {kind.name} and no pin of it is called {said}"
            hint = "say what its pins are for, or write its own `draws`"
            problems.append(Problem(device.where, what, "its draw is between those", hint))
        values[key] = less(node, missing)
    return mapping(values, device)


def _listed_draws(device: Node) -> Node:
    """Draws and contacts that have names become a list, as everywhere else."""
    values = dict(entries(device))
    for key, keys in NAMED.items():
        node = values.get(key)
        if node is None or not isinstance(node.value, dict) or keys >= node.value.keys():
            continue
        if any(not isinstance(n.value, dict) for n in node.value.values()):
            continue  # a misspelt key: told where the draws are read
        items = [Node(n.value, node.keys[name], n.keys, n.added) for name, n in node.value.items()]
        values[key] = Node(items, node.where, {}, node.added)
    return mapping(values, device)


SIDES = frozenset(["left", "right", "front", "rear", "inner", "outer", "upper", "lower"])


def _in_its_words(name: str, device: Node) -> Node:
    """A kind's words with what the device is called: `<name>` is 'left fan', `<which>` 'the left '.

    `<which>` is nothing where the name does not begin by telling one of several from the others,
    and in other languages, which have the name as it is written.
    """
    is_english = language() == ENGLISH
    added = (n.value for n in scalars(device) if n.added and isinstance(n.value, str))
    if not any(not is_english or "<" in text for text in added):
        return device
    title = word(device, "name") or name
    called, which = title, ""
    if is_english:
        called = title if title[1:2].isupper() else title[:1].lower() + title[1:]
        sides = list(takewhile(lambda side: side in SIDES, called.split()))
        which = f"the {' '.join(sides)} " if sides else ""
    called_with_the = called if called[-1:].isdigit() else f"the {called}"

    def fill(node: Node) -> Node:
        if isinstance(node.value, dict):
            return mapping({key: fill(child) for key, child in node.value.items()}, node)
        if isinstance(node.value, list):
            return Node([fill(child) for child in node.value], node.where, {}, node.added)
        if node.added and isinstance(node.value, str):
            ours = not is_english and node.value in printed_words()
            text = worded(node.value, CONTEXT) if ours else node.value
            text = text.replace("the <name>", called_with_the).replace("<name>", called)
            text = text.replace("<which>", which)
            return Node(text, node.where, {}, node.added)
        return node

    return fill(device)
