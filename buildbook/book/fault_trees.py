"""Measurement trees as they are printed: one line a reading, and alike trees once with letters."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from string import ascii_uppercase

from buildbook.book.fault_wording import briefly, how_read, probe_place, thing_words
from buildbook.book.formats import number, ohms, ohms_or_open, ranging
from buildbook.electrical.reading import WITHIN_SHARE, WITHIN_V
from buildbook.faultfinding.diagnosis import FaultTable
from buildbook.faultfinding.entries import SIDES
from buildbook.faultfinding.model import METERLESS, Step, Symptom
from buildbook.result import Result
from buildbook.words.say import say

TOKEN = re.compile(r"[\w.~/\-–]*\w|[^\w\s]|\s+")
"""A name such as X1/engine or K1.87, a sign, or a gap."""
MOST_LETTERS = 14
"""Names that alike trees may differ in; more are easier read one by one."""

FIRST = 5
"""Suspects that stand before the lines that part them all."""

MOST_FELT = 4
"""Devices that are named one by one; of more the first and the last."""

WIDE_V = 2.5
"""A range of volts from here on is told by the end that faces the other answer. Our choice."""

MOST_BESIDE = 6
"""Letters of a tree that have room beside each other."""


@dataclass(frozen=True)
class PrintedStep:
    """A measurement: where, in which state, and where each of its two readings leads."""

    where: str
    state: str
    """'' in the state of the line above it."""
    low: str
    low_then: str
    high: str
    high_then: str


@dataclass(frozen=True)
class PrintedTree:
    """What is seen, the likeliest first, and the lines; `letters` of the trees it stands for.

    `likely` names all suspects where there are no lines, else the first of them.
    """

    heading: str
    anchors: tuple[str, ...]
    likely: str
    lines: tuple[PrintedStep, ...]
    state: str
    names: tuple[tuple[str, ...], ...] = ()
    """A row a heading that it stands for, in the order of `letters`."""
    letters: tuple[str, ...] = ()
    headings: tuple[str, ...] = ()

    @property
    def letters_below(self) -> bool:
        """Whether its letters stand below each other: beside, more would run off the paper."""
        return len(self.letters) > MOST_BESIDE

    @property
    def several(self) -> bool:
        """Whether more than one part is suspected."""
        return "," in self.likely or ";" in self.likely


def tree_of(result: Result, symptom: Symptom, heading: str) -> PrintedTree:
    """The tree of a symptom in words."""
    state = next((step.state for step in symptom.steps if not off(step)), symptom.state)

    def to(at: int, left: tuple[str, ...]) -> str:
        return outcome(result, symptom, at, left)

    lines = lines_of(result, symptom.steps, state, to)
    likely = briefly(result, symptom.suspects[: FIRST if lines else None])
    return PrintedTree(heading, (symptom.id,), likely, lines, state, headings=(heading,))


def lines_of(
    result: Result, steps: Sequence[Step], state: str, to: Callable[[int, tuple[str, ...]], str]
) -> tuple[PrintedStep, ...]:
    """Steps as printed; `to(step's place, suspects left)` says where a reading leads."""
    lines, before = [], state
    for at, step in enumerate(steps):
        low, high = reading_words(step)
        lines.append(
            PrintedStep(
                where_asked(result, step),
                "" if step.state == before or off(step) else step.state,
                low,
                to(at, step.low),
                high,
                to(at, step.high),
            )
        )
        before = before if off(step) else step.state
    return tuple(lines)


def off(step: Step) -> bool:
    """Whether the battery is off while it is measured."""
    return "ohms" in step.what


def where_asked(result: Result | FaultTable, step: Step) -> str:
    """Where to hold the probe, or what to look at, hear, feel or change."""
    devices = result.vehicle.devices
    if step.what == "look":
        return say("does {thing} work?", thing=thing_words(result, (step.node,)))
    if step.what == "click":
        return say("finger on {relay}, from {state}", relay=step.node, state=step.other)
    if step.what == "swap":
        return _changed(devices[step.node].kind, step.node, step.other)
    if step.what == "feel":
        return _felt(step)
    if step.by_meter and step.what == "volts":
        return probe_place(result, step.node) + how_read(step)
    return across(step) if step.other else probe_place(result, step.node)


def _changed(kind: str, name: str, other: str) -> str:
    """A fuse or a relay changed for another, or for a spare."""
    if kind == "relay":
        if other:
            return say("relay {name} changed for {other}", name=name, other=other)
        return say("relay {name} changed for a like one", name=name)
    if other:
        return say("fuse {name} changed for {other}", name=name, other=other)
    return say("fuse {name} changed for a like one", name=name)


def _felt(step: Step) -> str:
    """Devices that are felt for heat: each, the first and the last, or all of a zone."""
    if step.other:
        return say("hot at anything in zone {zone}?", zone=step.other)
    names = step.node.split(",")
    if len(names) > MOST_FELT:
        return say("hot at {first} to {last}?", first=names[0], last=names[-1])
    return say("hot at {names}?", names=", ".join(names))


def across(step: Step) -> str:
    """Where an ohmmeter goes across a data bus."""
    one, other, device = step.node, step.other, step.node.rpartition(".")[0]
    if "unplugged" in step.what:
        return say(
            "Ω {one} to {other}, battery off, {device} unplugged, on the harness",
            one=one,
            other=other,
            device=device,
        )
    return say("Ω {one} to {other}, battery off, all plugged in", one=one, other=other)


def _without_meter(what: str) -> tuple[str, str]:
    """What no and yes are called."""
    if what == "click":
        return say("silent", context="relay"), say("clicks", context="relay")
    if what == "swap":
        return say("as before"), say("well again")
    return say("no"), say("yes")


def reading_words(step: Step) -> tuple[str, str]:
    """The two answers of a step: volts to a tenth (closer ones to a hundredth), ohms, no or yes.

    Where suspects of one side make a meter show different volts, from the least to the most; where
    these lie far apart only the end that faces the other answer: '4.2 V or more' decides at once.
    """
    if step.what in METERLESS:
        return _without_meter(step.what)
    if step.what.startswith("bus"):
        return ohms_or_open(step.low_v, 2), ohms_or_open(step.high_v, 2)
    if step.what == "ohms":
        return ohms(step.low_v, 2), ohms_or_open(step.high_v, 2)
    lows, highs = step.low_range or (step.low_v,) * 2, step.high_range or (step.high_v,) * 2
    digits = 1 if highs[0] - lows[1] >= 1 else 2
    if highs[0] > lows[1]:
        low, high = number(lows[1], digits), number(highs[0], digits)
        return (
            say("{volts} V or less", volts=low)
            if _is_wide(lows)
            else volts_words(step.low_v, lows, digits),
            say("{volts} V or more", volts=high)
            if _is_wide(highs)
            else volts_words(step.high_v, highs, digits),
        )
    return volts_words(step.low_v, lows, digits), volts_words(step.high_v, highs, digits)


def _is_wide(of: tuple[float, float]) -> bool:
    return of[1] - of[0] > WIDE_V


def volts_words(likeliest_v: float, of: tuple[float, float], digits: int) -> str:
    """'12.5 V', or '0.0–1.2 V' where suspects differ by more than a meter's reading does."""
    if of[1] - of[0] <= max(WITHIN_V, WITHIN_SHARE * abs(of[1])):
        return f"{number(likeliest_v, digits)} V"
    return f"{ranging(number(of[0], digits), number(of[1], digits))} V"


def outcome(result: Result, symptom: Symptom, at: int, left: tuple[str, ...]) -> str:
    """Where a reading leads: the next measurement of these suspects, or the suspects."""
    return onward(symptom.steps, at, left) or briefly(result, left) or say("none of these")


def onward(steps: Sequence[Step], at: int, left: tuple[str, ...]) -> str:
    """'» 4' where a later step parts these suspects, '' where none does."""
    for later, step in enumerate(steps[at + 1 :], start=at + 1):
        if {*step.low, *step.high} == {*left}:
            return f"» {later + 1}"
    return ""


def merge_alike(trees: Iterable[PrintedTree]) -> tuple[PrintedTree, ...]:
    """The trees, those alike but for names put together where the first of them stands."""
    groups: dict[tuple[str, ...], list[list[PrintedTree]]] = {}
    order: list[list[PrintedTree]] = []
    for tree in trees:
        words = _words(tree)
        shape = tuple("" if _names(word) else word for word in words)
        for group in groups.setdefault(shape, []):
            if _letters([*group, tree]) is not None:
                group.append(tree)
                break
        else:
            groups[shape].append([tree])
            order.append(groups[shape][-1])
    return tuple(_lettered(group) for group in order)


def _names(word: str) -> bool:
    """True for a word that can differ between alike trees: a name has a digit or a dot in it."""
    return bool(re.search(rf"\d|\w\.\w|^({SIDES})$", word, re.IGNORECASE))


def _words(tree: PrintedTree) -> list[str]:
    """Every word of the tree in order, with ends of lines; readings are words too."""
    parts = [tree.heading, tree.likely, tree.state]
    for line in tree.lines:
        parts += [line.where, line.state, line.low, line.low_then, line.high, line.high_then]
    return [word for part in parts for word in (*TOKEN.findall(part), "\n")]


def _letters(group: Sequence[PrintedTree]) -> dict[tuple[str, ...], str] | None:
    """Letter of each tuple of names that differ; None where a tree of letters reads worse.

    Readings and the numbers of lines must be the same.
    """
    found: dict[tuple[str, ...], str] = {}
    for words in zip(*map(_words, group), strict=True):
        if len({*words}) > 1:
            found.setdefault(words, "")
    fixed = [_numbers(tree) for tree in group]
    if len(found) > MOST_LETTERS or any(other != fixed[0] for other in fixed):
        return None
    return dict(zip(found, ascii_uppercase, strict=False))


def _numbers(tree: PrintedTree) -> list[tuple[str, ...]]:
    """What alike trees have to share: readings and where they lead on."""
    leads = [[t for t in (x.low_then, x.high_then) if t.startswith("»")] for x in tree.lines]
    return [
        (line.state, line.low, line.high, *to) for line, to in zip(tree.lines, leads, strict=True)
    ]


def _lettered(group: list[PrintedTree]) -> PrintedTree:
    """One tree for the group, with letters where its members differ."""
    if len(group) == 1:
        return group[0]
    letters = _letters(group) or {}
    columns = iter(list(zip(*map(_words, group), strict=True)))

    def put(text: str) -> str:
        said = []
        while (words := next(columns))[0] != "\n":
            said.append(f"‹{letters[words]}›" if words in letters else words[0])
        return "".join(said)

    first = group[0]
    heading, likely, state = put(first.heading), put(first.likely), put(first.state)
    lines = []
    for x in first.lines:
        parts = (x.where, x.state, x.low, x.low_then, x.high, x.high_then)
        lines.append(PrintedStep(*(put(part) for part in parts)))
    return PrintedTree(
        heading,
        tuple(a for tree in group for a in tree.anchors),
        likely,
        tuple(lines),
        state,
        tuple(zip(*letters, strict=True)),
        tuple(letters.values()),
        tuple(tree.heading for tree in group),
    )
