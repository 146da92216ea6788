"""Lays the moves of a variant over a description that is written out in full."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from buildbook.description.move.devices import Going, goings, put
from buildbook.description.move.fall_away import idle, without_runs
from buildbook.description.move.layout import Layout, layout_of
from buildbook.description.move.lead import Ground, Lead, leads_of
from buildbook.description.move.needs import needs_of
from buildbook.description.suggest import did_you_mean
from buildbook.description.tree import at, entries, listed, mapping, word
from buildbook.description.yaml_reader import Node
from buildbook.problem import Problem, Where

BY = "move of "
"""What wrote a run that a move asks for, with the device behind it."""


@dataclass(frozen=True, order=True)
class ToMeasure:
    """A run whose length is estimated for a move, and where the move is written."""

    where: Where
    harness: str
    from_: str
    to: str
    length: str
    """As it is written."""


def moved(tree: Node, variant: Node | None, problems: list[Problem]) -> Node:
    """The tree with devices where a variant moves them, and rope that leads there."""
    move = at(variant, "move")
    layout = layout_of(tree) if entries(move) else None
    moves = goings(move, layout, problems) if layout else []
    if layout is None or not moves:
        return tree
    tree = put(tree, moves)
    there = {name: going.new for going in moves for name in going.group}
    after = replace(layout, points=layout.points | there)
    used = after.in_use() | set(there.values())
    gone = idle(layout, [going.old for going in moves], used)
    after = replace(after, stretches=tuple(s for s in layout.stretches if s not in gone))
    ground = Ground(layout, after, gone)
    unclear: list[Problem] = []
    leads = leads_of(ground, needs_of(layout, after, moves, unclear), unclear)
    problems += unclear or _idle_words(moves, leads)
    stay = {s.harness for s in after.stretches} | {lead.spot.harness for lead in leads}
    tree = without_runs(tree, [s for s in gone if s.harness in stay], used)
    return _in_their_harness(_with_runs(tree, leads), moves, after, leads)


def _with_runs(tree: Node, leads: Sequence[Lead]) -> Node:
    rope = at(tree, "rope")
    if rope is None or not leads:
        return tree
    values = dict(entries(rope))
    for lead in leads:
        harness = values[lead.spot.harness]
        runs = at(harness, "runs")
        where = runs.where if runs else lead.going.where
        listed_ = Node([*listed(runs), _run(lead)], where)
        values[lead.spot.harness] = mapping({**entries(harness), "runs": listed_}, harness)
    return mapping({**entries(tree), "rope": mapping(values, rope)}, tree)


def _run(lead: Lead) -> Node:
    """The run as if the author had written it where the move stands."""
    going, by = lead.going, f"{BY}{lead.going.device}"
    length = Node(f"{lead.length_m * 1000:.10g} mm", going.where, {}, by)
    known = "measured" if lead.measured else "estimated"
    values = {
        "from": Node(lead.spot.point, going.where, {}, by),
        "to": Node(lead.new, going.where, {}, by),
        "length": length,
        "zone": Node(lead.zone, going.place("zone"), {}, by),
        "known": Node(known, going.where, {}, by),
    }
    return Node(values, going.where, dict.fromkeys(values, going.where), by)


def _in_their_harness(
    tree: Node, moves: Iterable[Going], after: Layout, leads: Iterable[Lead]
) -> Node:
    """Jumpers that stay between things that move together lie in a harness that gets there."""
    circuits = at(tree, "circuits")
    if circuits is None:
        return tree
    values = dict(entries(circuits))
    for going in moves:
        there = [*after.harnesses_at(going.new)]
        there += [lead.spot.harness for lead in leads if lead.new == going.new]
        for joined in after.circuits:
            stays = any(after.points.get(device) != going.new for device in joined.devices)
            if stays or not joined.made or not there or joined.harness in there:
                continue
            harness = Node(there[0], going.where, {}, f"{BY}{going.device}")
            inside = {**entries(values[joined.name]), "harness": harness}
            values[joined.name] = mapping(inside, values[joined.name])
    return mapping({**entries(tree), "circuits": mapping(values, circuits)}, tree)


def _idle_words(moves: Iterable[Going], leads: Sequence[Lead]) -> list[Problem]:
    """Words of a move that would be passed over: rope leads to its place without them."""
    found = []
    for going in moves:
        led = [lead.spot.harness for lead in leads if lead.new == going.new]
        for key in ("from", "zone") if not led else ():
            if at(going.node, key) is not None:
                found.append(_passed_over(going, going.place(key), key))
        measured = at(going.node, "measured")
        for harness in entries(measured):
            if harness not in led and measured is not None:
                place = measured.keys[harness]
                found.append(_passed_over(going, place, f"measured: {harness}", harness, led))
    return found


def _passed_over(
    going: Going, place: Where, key: str, harness: str = "", led: Sequence[str] = ()
) -> Problem:
    which = f" of `{harness}`" if harness else ""
    return Problem(
        place,
        f"no new rope{which} is led to `{going.new}`, so `{key}` says nothing",
        "it would be passed over",
        did_you_mean(harness, led) if led else "take it out",
    )


def to_measure(tree: Node) -> list[ToMeasure]:
    """Runs of a written-out tree that a move made and nobody has measured yet."""
    return sorted(
        ToMeasure(run.where, name, word(run, "from"), word(run, "to"), word(run, "length"))
        for name, harness in entries(at(tree, "rope")).items()
        for run in listed(at(harness, "runs"))
        if run.added.startswith(BY) and word(run, "known") == "estimated"
    )
