"""Rope that only a moved device needed: runs that now lead to nothing are taken out."""

from __future__ import annotations

from collections.abc import Collection, Iterable

from buildbook.description.move.layout import Layout, Stretch
from buildbook.description.tree import at, entries, less, listed, mapping, word
from buildbook.description.yaml_reader import Node


def idle(layout: Layout, left: Iterable[str], used: Collection[str]) -> tuple[Stretch, ...]:
    """Runs that lead to nothing once things have left some points.

    From each point that was left the rope is taken back to where something is, ends or is
    spliced, or where it branches. A point with a bare end that nothing has left stays: its author
    wants it.
    """
    gone: list[Stretch] = []
    for harness in layout.harnesses:
        rest = [s for s in layout.stretches if s.harness == harness]
        ends = list(dict.fromkeys(point for point in left if point not in used))
        while ends:
            point = ends.pop()
            there = [s for s in rest if point in s.ends]
            if point in used or len(there) != 1:
                continue
            rest.remove(there[0])
            gone.append(there[0])
            ends += [end for end in there[0].ends if end != point]
    return tuple(gone)


def without_runs(tree: Node, gone: Collection[Stretch], used: Collection[str]) -> Node:
    """The tree without runs that fell away, and without what is said of the points they ended at.

    A point stays known where something else is there.
    """
    rope = at(tree, "rope")
    if rope is None or not gone:
        return tree
    values = dict(entries(rope))
    for name in dict.fromkeys(s.harness for s in gone):
        values[name] = _shortened(values[name], {s.ends for s in gone if s.harness == name})
    left = {end for harness in values.values() for end in _points(harness)}
    lost = {end for s in gone for end in s.ends} - left - set(used)
    values = {name: _without_points(harness, lost) for name, harness in values.items()}
    sections = {**entries(tree), "rope": mapping(values, rope)}
    plan = at(tree, "plan")
    places = at(plan, "places")
    if plan is not None and places is not None:
        sections["plan"] = mapping({**entries(plan), "places": less(places, lost)}, plan)
    return mapping(sections, tree)


def _shortened(harness: Node, gone: set[tuple[str, str]]) -> Node:
    values = dict(entries(harness))
    runs, tapes = at(harness, "runs"), at(harness, "tapes")
    if runs is not None and isinstance(runs.value, list):
        stay = [r for r in runs.value if (word(r, "from"), word(r, "to")) not in gone]
        values["runs"] = Node(stay, runs.where, {}, runs.added)
    if tapes is not None and isinstance(tapes.value, list):
        cut = [_cut(tape, gone) for tape in tapes.value]
        stay = [tape for tape in cut if len(listed(at(tape, "marks"))) > 1]
        values["tapes"] = Node(stay, tapes.where, {}, tapes.added)
    return mapping(values, harness)


def _cut(tape: Node, gone: set[tuple[str, str]]) -> Node:
    """A tape without the marks at its ends that no rope leads to any more."""
    marks = at(tape, "marks")
    rest = listed(marks)
    while len(rest) > 1 and _between(rest[0], rest[1]) in gone:
        rest = [_bare(rest[1]), *rest[2:]]
    while len(rest) > 1 and _between(rest[-2], rest[-1]) in gone:
        rest = rest[:-1]
    if marks is None or len(rest) == len(listed(marks)):
        return tape
    return mapping({**entries(tape), "marks": Node(rest, marks.where)}, tape)


def _between(one: Node, other: Node) -> tuple[str, str]:
    return word(one, "at"), word(other, "at")


def _bare(mark: Node) -> Node:
    """A mark that is the first of its tape now: what led up to it is gone."""
    return less(mark, entries(mark).keys() - {"at", "reads"})


def _points(harness: Node) -> set[str]:
    found = {word(run, end) for run in listed(at(harness, "runs")) for end in ("from", "to")}
    marks = (mark for tape in listed(at(harness, "tapes")) for mark in listed(at(tape, "marks")))
    return found | {word(mark, "at") for mark in marks}


def _without_points(harness: Node, lost: set[str]) -> Node:
    """A harness that no longer says of points that are gone that nothing is spliced there."""
    said = at(harness, "no splices")
    if said is None or not isinstance(said.value, list):
        return harness
    stay = [point for point in said.value if str(point.value) not in lost]
    return mapping({**entries(harness), "no splices": Node(stay, said.where)}, harness)
