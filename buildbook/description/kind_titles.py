"""What a device is that has no name of its own: the short title of the kind it is written with."""

from __future__ import annotations

from functools import cache

from buildbook.description.expand.kinds import BY_KIND, CONTEXT, DEEPEST, built_in
from buildbook.description.tree import at, word
from buildbook.description.yaml_reader import Node
from buildbook.words.say import worded


@cache
def titles() -> dict[str, str]:
    """The short title of each kind of the program that has data, in English."""
    return {name: word(kind, "title") for name, kind in built_in().items()}


def title_of_kind(device: Node | None, base: str, own: Node | None) -> str:
    """What a device is by its kind, as a table says it: 'Wide-band probe'.

    The device is written out in full: its kind is the `base` that the program knows by itself, and
    says what wrote it. What the author says of a kind under `kinds` is printed as it is written.
    """
    kind = at(device, "kind")
    name = base
    if kind is not None and kind.added.startswith(BY_KIND):
        name = kind.added.removeprefix(BY_KIND)
    for _ in range(DEEPEST):
        said = word(at(own, name), "about")
        if said:
            return said
        if name in titles():
            return worded(titles()[name], CONTEXT)
        name = word(at(own, name), "kind")
    called = worded(base, CONTEXT)
    return called[:1].upper() + called[1:]
