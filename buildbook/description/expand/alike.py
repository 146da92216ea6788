"""Writes out things that are alike: `count` or `each` makes several entries of one."""

from __future__ import annotations

import re

from buildbook.description.suggest import did_you_mean
from buildbook.description.tree import at, entries, less, listed, mapping
from buildbook.description.yaml_reader import Node, WrittenInt, scalar
from buildbook.problem import Problem, Where

SECTIONS = ("feeds", "devices", "circuits", "cables", "plugs", "parts")
"""Sections whose entries may be alike, with what sets a number apart from their names."""
JOINED_BY = {"devices": "-", "plugs": "-", "parts": "-"}
MOST = 500
"""Things that one entry may stand for; a slip of the pen is not to fill the memory."""
PLACE = re.compile(r"<([A-Za-z]\w*)([+-]\d+)?>")
PIN_RANGE = re.compile(r"([A-Za-z]*)(\d+) to ([A-Za-z]*)(\d+)")

Values = dict[str, Node]
"""Name of a place such as `<n>` -> what stands there."""


def written_out(tree: Node, problems: list[Problem]) -> Node:
    """The tree with every entry that stands for several in their place; each keeps its place."""
    sections = dict(entries(tree))
    for name in SECTIONS:
        if entries(sections.get(name)):
            sections[name] = _section(sections[name], JOINED_BY.get(name, " "), problems)
    if entries(sections.get("devices")):
        devices = entries(sections["devices"])
        ranged = {name: _with_pins(device, problems) for name, device in devices.items()}
        sections["devices"] = mapping(ranged, sections["devices"])
    if entries(sections.get("plugs")):
        plugs = entries(sections["plugs"])
        ranged = {name: _with_cavities(plug, problems) for name, plug in plugs.items()}
        sections["plugs"] = mapping(ranged, sections["plugs"])
    return mapping(sections, tree)


def _section(section: Node, sign: str, problems: list[Problem]) -> Node:
    values: dict[str, Node] = {}
    keys: dict[str, Where] = {}
    for key, entry in entries(section).items():
        sets = _sets(entry, problems)
        if sets is None:
            made = [(key, entry)]
        else:
            template = less(entry, {"count", "each"})
            pattern = key if PLACE.search(key) else f"{key}{sign}<n>"
            made = [
                (_text(pattern, one, section.keys[key], problems), _filled(template, one, problems))
                for one in sets
            ]
        for name, node in made:
            if name in values or (sets is not None and name in entries(section)):
                problems.append(_twice(name, section.keys[key], keys.get(name)))
                continue
            values[name], keys[name] = node, section.keys[key]
            if sets is not None:
                values[name] = Node(node.value, node.where, node.keys, f"{key}, one of {len(sets)}")
    return Node(values, section.where, keys, section.added)


def _twice(name: str, here: Where, other: Where | None) -> Problem:
    return Problem(
        here,
        f"`{name}` is made here and written " + ("beside it" if other is None else f"at {other}"),
        "only one of the two could be used",
        "give one of them another name; `<n>` in a name says where the number goes",
    )


def _sets(entry: Node, problems: list[Problem]) -> list[Values] | None:
    """What differs, one set for each thing that is made; None where an entry stands for itself."""
    count, each = at(entry, "count"), at(entry, "each")
    if count is None and each is None:
        return None
    if count is not None and each is not None:
        what = "`count` and `each` say the same thing twice"
        problems.append(Problem(count.where, what, "", "keep one of them"))
        return []
    if count is not None:
        return _counted(count, problems)
    assert each is not None
    columns = each.value if isinstance(each.value, dict) else {"n": each}
    lengths = {name: len(listed(column)) for name, column in columns.items()}
    if not columns or 0 in lengths.values():
        problems.append(
            Problem(
                each.where,
                "`each` is not a list",
                "it says what differs, one value for each thing",
                "write for example [left, right], or {side: [left, right], pin: [3, 4]}",
            )
        )
        return []
    if len(set(lengths.values())) > 1:
        said = ", ".join(f"{number} of `{name}`" for name, number in lengths.items())
        problems.append(
            Problem(each.where, f"`each` has lists of different lengths: {said}", "", "fill them")
        )
        return []
    rows = zip(*(listed(column) for column in columns.values()), strict=True)
    made = [dict(zip(columns, row, strict=True)) for row in rows]
    if "n" not in columns:
        made = [
            {**row, "n": Node(_number(place), each.where)}
            for place, row in enumerate(made, start=1)
        ]
    return _few(made, each.where, problems)


def _counted(count: Node, problems: list[Problem]) -> list[Values]:
    if not isinstance(count.value, WrittenInt) or count.value < 1:
        problems.append(
            Problem(count.where, f"`count` is `{count.value}`", "", "write a whole number, above 0")
        )
        return []
    if count.value > MOST:
        return _few([{}] * (MOST + 1), count.where, problems)
    return [{"n": Node(_number(place), count.where)} for place in range(1, count.value + 1)]


def _few(made: list[Values], where: Where, problems: list[Problem]) -> list[Values]:
    if len(made) <= MOST:
        return made
    problems.append(Problem(where, f"more than {MOST} things of one entry", "", "write fewer"))
    return []


def _number(place: int) -> object:
    return scalar(str(place))


def _filled(node: Node, values: Values, problems: list[Problem]) -> Node:
    """A part of a template with every `<name>` filled in; it keeps the template's places."""
    if isinstance(node.value, dict):
        inside, keys = {}, {}
        for key, child in node.value.items():
            name = _text(key, values, node.keys[key], problems)
            inside[name], keys[name] = _filled(child, values, problems), node.keys[key]
        return Node(inside, node.where, keys, node.added)
    if isinstance(node.value, list):
        items = [_filled(child, values, problems) for child in node.value]
        return Node(items, node.where, {}, node.added)
    if not isinstance(node.value, str):
        return node
    whole = PLACE.fullmatch(node.value)
    if whole and not whole[2] and whole[1] in values:
        return Node(values[whole[1]].value, node.where, {}, node.added)
    return Node(_text(node.value, values, node.where, problems), node.where, {}, node.added)


def _text(text: str, values: Values, where: Where, problems: list[Problem]) -> str:
    """`Coil <n>` is 'Coil 3', `A<n+13>` 'A16', `<Side>` 'Left' where `side` is 'left'."""

    def fill(found: re.Match[str]) -> str:
        name, step = found[1], found[2]
        value = values.get(name) or values.get(name[0].lower() + name[1:])
        if value is None:
            what = f"nothing is said of `<{name}>` here"
            problems.append(Problem(where, what, "", did_you_mean(name, values)))
            return found[0]
        said = str(value.value)
        if step and isinstance(value.value, WrittenInt):
            return str(int(value.value) + int(step))
        if step:
            what = f"`{said}` is not a number that `{found[0]}` could go on from"
            problems.append(Problem(where, what, "", "give the values in a list of their own"))
        return said if name in values else said[:1].upper() + said[1:]

    return PLACE.sub(fill, text)


def _with_pins(device: Node, problems: list[Problem]) -> Node:
    """A device with `A3 to A7: injector <n>` as five pins; `unused` and lists of pins too."""
    pins, unused = at(device, "pins"), at(device, "unused")
    inside = dict(entries(device))
    if any(PIN_RANGE.fullmatch(name) for name in entries(pins)):
        assert pins is not None
        inside["pins"] = _pins(pins, problems)
    if unused is not None and any(PIN_RANGE.fullmatch(str(n.value)) for n in listed(unused)):
        named = [
            Node(name, item.where)
            for item in listed(unused)
            for name in _range(str(item.value)) or [str(item.value)]
        ]
        inside["unused"] = Node(named, unused.where, {}, unused.added)
    return mapping(inside, device)


def _with_cavities(plug: Node, problems: list[Problem]) -> Node:
    """A plug whose rows, rings and odd contacts name each cavity: `A1 to A4` is four."""
    if not isinstance(plug.value, dict):
        return plug
    inside = dict(plug.value)
    for key in ("rows", "rings"):
        if listed(at(plug, key)):
            rows = [_row(row, problems) for row in listed(inside[key])]
            inside[key] = Node(rows, inside[key].where, {}, inside[key].added)
    if any(PIN_RANGE.fullmatch(name) for name in entries(at(plug, "contacts"))):
        inside["contacts"] = _pins(inside["contacts"], problems)
    return mapping(inside, plug)


def _row(row: Node, problems: list[Problem]) -> Node:
    if not any(PIN_RANGE.fullmatch(str(item.value)) for item in listed(row)):
        return row
    cavities: list[Node] = []
    for item in listed(row):
        named = _range(str(item.value))
        if PIN_RANGE.fullmatch(str(item.value)) and not named:
            problems.append(_no_range(str(item.value), item.where))
        cavities += [Node(name, item.where, {}, item.added) for name in named] or [item]
    return Node(cavities, row.where, {}, row.added)


def _no_range(text: str, where: Where) -> Problem:
    hint = f"name one plug and no more than {MOST} pins"
    return Problem(where, f"`{text}` is no range of pins", "", hint)


def _pins(pins: Node, problems: list[Problem]) -> Node:
    values: dict[str, Node] = {}
    keys: dict[str, Where] = {}
    for key, node in entries(pins).items():
        where = pins.keys[key]
        named = _range(key)
        if PIN_RANGE.fullmatch(key) and not named:
            problems.append(_no_range(key, where))
        for number, name in enumerate(named or [key], start=1):
            counted = {"n": Node(_number(number), node.where)}
            if name in values:
                problems.append(_twice(name, where, keys[name]))
                continue
            values[name] = _filled(node, counted, problems) if named else node
            keys[name] = where
    return Node(values, pins.where, keys, pins.added)


def _range(text: str) -> list[str]:
    """`A3 to A7` as its pins, upwards or downwards; nothing where it is none."""
    found = PIN_RANGE.fullmatch(text)
    if not found or found[3] not in ("", found[1]):
        return []
    first, last = int(found[2]), int(found[4])
    if abs(last - first) >= MOST:
        return []
    step = 1 if last >= first else -1
    digits = len(found[2]) if found[2].startswith("0") else 1
    return [f"{found[1]}{number:0{digits}d}" for number in range(first, last + step, step)]
