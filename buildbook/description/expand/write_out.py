"""Writes a description out in full: alike, feeds, variants, kinds, references, uses, moves."""

from __future__ import annotations

from buildbook.description.expand import alike, feeds, kinds, references, states, uses
from buildbook.description.move.lay import moved
from buildbook.description.tree import at, entries, mapping
from buildbook.description.variants import built_as, chosen, laid_over, without
from buildbook.description.yaml_reader import Node
from buildbook.problem import Problem


def written_out(tree: Node, variant: str | None) -> tuple[Node | None, list[Problem]]:
    """The tree of the chosen variant in full; places are those where things were written.

    None where there is no variant of that name: nothing else can be said of it then.

    What a variant changes of an entry as it is written comes before entries are multiplied, what
    it changes of one that stands for itself only afterwards comes then.
    """
    chosen_one, problems = chosen(tree, variant)
    if problems:
        return None, problems
    tree = built_as(tree, variant)
    change = at(chosen_one, "change")
    later = None
    if change is not None and isinstance(change.value, dict):
        now, later = _apart(tree, change)
        tree = laid_over(tree, now, problems)
    tree = _multiplied(tree, problems)
    if later is not None:
        tree = laid_over(tree, later, problems)
    tree = kinds.written_out(tree, problems)
    tree = references.written_out(tree, problems)
    tree = uses.written_out(tree)
    tree = states.written_out(tree)
    tree = without(tree, at(chosen_one, "leave out"), problems)
    return moved(tree, chosen_one, problems), problems


def _multiplied(tree: Node, problems: list[Problem]) -> Node:
    return feeds.written_out(alike.written_out(tree, problems), problems)


def _apart(tree: Node, change: Node) -> tuple[Node, Node]:
    """What a variant changes as it is written, and what only stands there once multiplied."""
    whole = _multiplied(tree, [])
    now: dict[str, Node] = {}
    later: dict[str, Node] = {}
    for section, node in entries(change).items():
        made = entries(at(whole, section)).keys() - entries(at(tree, section)).keys()
        if not isinstance(node.value, dict):
            now[section] = node
            continue
        for part, chosen_ones in (
            (now, {k: n for k, n in node.value.items() if k not in made}),
            (later, {k: n for k, n in node.value.items() if k in made}),
        ):
            if chosen_ones or (part is now and not node.value):
                part[section] = mapping(chosen_ones, node)
    return mapping(now, change), mapping(later, change)
