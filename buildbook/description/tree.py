"""What every step that works on a written tree asks of it, and how it makes new parts."""

from __future__ import annotations

import re
from collections.abc import Container, Iterable, Iterator
from itertools import takewhile

from buildbook.description.suggest import did_you_mean
from buildbook.description.yaml_reader import Node
from buildbook.problem import Problem, Where


def at(node: Node | None, name: str) -> Node | None:
    """What stands under a key; None where nothing does."""
    return entries(node).get(name)


def entries(node: Node | None) -> dict[str, Node]:
    """Key -> value of a mapping; nothing for anything else."""
    return node.value if node is not None and isinstance(node.value, dict) else {}


def listed(node: Node | None) -> list[Node]:
    """The items of a list; nothing for anything else."""
    return node.value if node is not None and isinstance(node.value, list) else []


def one_or_more(node: Node | None) -> list[Node]:
    """The items of a list, or what stands alone as a list of one."""
    if node is None or node.value is None:
        return []
    return node.value if isinstance(node.value, list) else [node]


def word(node: Node | None, name: str) -> str:
    """What stands under a key, as text; nothing where nothing does."""
    found = at(node, name)
    return "" if found is None or found.value is None else str(found.value)


def less(node: Node, gone: set[str]) -> Node:
    """A mapping without some of its entries."""
    values = {name: child for name, child in entries(node).items() if name not in gone}
    return mapping(values, node)


def mapping(values: dict[str, Node], like: Node, keys: dict[str, Where] | None = None) -> Node:
    """A mapping at the place of `like`; a key that stood nowhere has the place of its value."""
    known = {**like.keys, **(keys or {})}
    places = {name: known.get(name, child.where) for name, child in values.items()}
    return Node(values, like.where, places, like.added)


def made(value: object, where: Where, by: str = "") -> Node:
    """Plain text, lists and dicts as a tree that stands at one place, written by `by`."""
    if isinstance(value, Node):
        return value
    if isinstance(value, dict):
        inside = {name: made(child, where, by) for name, child in value.items()}
        return Node(inside, where, dict.fromkeys(inside, where), by)
    if isinstance(value, list):
        return Node([made(child, where, by) for child in value], where, {}, by)
    return Node(value, where, {}, by)


def moved(node: Node, where: Where, by: str) -> Node:
    """The same as if all of it stood at one place and was written by `by`."""
    if isinstance(node.value, dict):
        inside = {name: moved(child, where, by) for name, child in node.value.items()}
        return Node(inside, where, dict.fromkeys(inside, where), by)
    if isinstance(node.value, list):
        return Node([moved(child, where, by) for child in node.value], where, {}, by)
    return Node(node.value, where, {}, by)


def scalars(node: Node) -> Iterator[Node]:
    """Every word of a tree."""
    if isinstance(node.value, dict):
        for child in node.value.values():
            yield from scalars(child)
    elif isinstance(node.value, list):
        for child in node.value:
            yield from scalars(child)
    else:
        yield node


def matching(pattern: str, names: Iterable[str]) -> list[str]:
    """The names that a pattern with `*` fits, in their order; a name that is there is itself."""
    known = list(names)
    return [pattern] if pattern in known else [n for n in known if fits(pattern, n)]


def device_of(reference: str, devices: Container[str]) -> str:
    """The device of `device.pin`; the device's own name may hold dots."""
    name = reference
    while name not in devices and "." in name:
        name = name.rpartition(".")[0]
    return name


def check_keys(node: Node, known: Iterable[str], place: str, problems: list[Problem]) -> None:
    """Note every key of an entry that is none of those known."""
    for key in entries(node).keys() - set(known):
        problems.append(
            Problem(
                node.keys[key],
                f"no setting `{key}` in {place}",
                "it would be ignored, so it is probably misspelt",
                cut_by_comma(node, key) or did_you_mean(key, known),
            )
        )


def cut_by_comma(node: Node, key: str) -> str:
    """A hint where a key is the rest of a text: in braces a comma ends one that has no quotes."""
    names, values = list(entries(node)), entries(node)
    if key not in values or values[key].value is not None:
        return ""
    place = names.index(key)
    first = next((n for n in reversed(names[:place]) if values[n].value is not None), None)
    if first is None or isinstance(values[first].value, (dict, list)):
        return ""
    here, there = node.keys[key], node.keys[first]
    if here.line != there.line and here.column == there.column:  # no braces: a line for each
        return ""
    start = names.index(first) + 1
    rest = takewhile(lambda n: values[n].value is None, names[start:])
    text = ", ".join([str(values[first].value), *rest])
    return f'put quotes around a text that holds a comma: `{first}: "{text}"`'


def fits(pattern: str, name: str) -> bool:
    """Whether a name fits a pattern in which `*` stands for anything."""
    return re.fullmatch(".*".join(map(re.escape, pattern.split("*"))), name) is not None
