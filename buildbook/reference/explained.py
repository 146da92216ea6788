"""Explains one word of the description: a key wherever it stands, a kind, families, contacts."""

from __future__ import annotations

import textwrap
from collections.abc import Callable, Iterator, Mapping, Sequence
from functools import cache

from buildbook.catalogue.load import contact_families, wire_families
from buildbook.catalogue.model import ContactFamily, WireFamily
from buildbook.description.as_yaml import as_yaml, flow
from buildbook.description.expand.kinds import built_in
from buildbook.description.expand.states import WORDS
from buildbook.description.models import Description, Section
from buildbook.description.models.devices import BASE_KINDS
from buildbook.description.tree import entries, less, word
from buildbook.reference.keys import Place, places

ABOUT_ITSELF = {"title", "about", "source"}


def explained(words: Sequence[str]) -> str:
    """What is known of a word or of a path such as `devices draws amps` or `devices.draws.amps`;
    '' for nothing."""
    name = " ".join(words)
    if name in LISTS:
        return LISTS[name]()
    parts = [_of_kind(name)] if name in built_in() else []
    parts += [_of_base_kind(name)] if name in BASE_KINDS else []
    parts += [_of_key(place) for place in _places(words)]
    apart = [key for word in words for key in word.split(".") if key]
    if not parts and apart and apart != [*words]:
        return explained(apart)
    return "\n\n".join(parts)


def known() -> list[str]:
    """Everything that may be asked for."""
    keys = {place.path[-1] for place in _all_places()}
    return [*LISTS, *built_in(), *BASE_KINDS, *sorted(keys)]


@cache
def _all_places() -> tuple[Place, ...]:
    return tuple(places(Description))


def _places(words: Sequence[str]) -> Iterator[Place]:
    """Where a key stands; the words before it are keys that hold it, in their order."""
    seen: set[tuple[type[Section], str]] = set()
    joined = " ".join(words)
    for place in _all_places():
        path = list(place.path)
        fits = path[-1] == joined or (path[-1] == words[-1] and _in_order(words[:-1], path[:-1]))
        if fits and (place.model, place.path[-1]) not in seen:
            seen.add((place.model, place.path[-1]))
            yield place


def _in_order(words: Sequence[str], path: Sequence[str]) -> bool:
    rest = iter(path)
    return all(any(word == key for key in rest) for word in words)


def _of_key(place: Place) -> str:
    lines = [" › ".join(place.path), f"    takes: {place.takes}"]
    lines += [f"    {place.default}"] if place.default else []
    lines += textwrap.wrap(place.says, 92, initial_indent="    ", subsequent_indent="    ")
    return "\n".join([*lines, f"    example: `{place.path[-1]}: {place.example}`"])


def _of_kind(name: str) -> str:
    kind = built_in()[name]
    told = [f"kind {name}: {word(kind, 'about')}", f"    values: {word(kind, 'source')}"]
    body = less(kind, ABOUT_ITSELF)
    return "\n".join([*told, *(f"    {line}" for line in as_yaml(name, body))])


def _of_base_kind(name: str) -> str:
    """A kind that the program knows by itself, and the kinds with data that are made of it."""
    made = [other for other, kind in built_in().items() if word(kind, "kind") == name]
    told = f"kind {name}: brings no pins and no draws of its own; a device of it says all."
    lines = textwrap.wrap(f"Made of it: {', '.join(made)}.", 88) if made else []
    return "\n".join([told, *(f"    {line}" for line in lines)])


def _in_columns(rows: Mapping[str, str]) -> list[str]:
    """Names, each with what is said of it, in columns."""
    wide = max(map(len, rows), default=0) + 2
    return [f"  {name:<{wide}}{said}" for name, said in rows.items()]


def _kinds() -> str:
    """Every kind that may stand at a device."""
    lines = ["Kinds with data; `buildbook explain KIND` prints what one of them brings:"]
    lines += _in_columns({name: word(kind, "about") for name, kind in built_in().items()})
    lines += ["Kinds that bring nothing, and that all others are made of:"]
    lines += textwrap.wrap(", ".join(BASE_KINDS), 92, initial_indent="  ", subsequent_indent="  ")
    return "\n".join(lines)


def _families() -> str:
    lines = ["Families of wire, for `family` of a circuit and `wire` of `vehicle`:"]
    lines += _in_columns({name: _wire(family) for name, family in wire_families().items()})
    return "\n".join(lines)


def _wire(family: WireFamily) -> str:
    first, last = family.conductors[0].label, family.conductors[-1].label
    return f"{family.title}; {first} to {last}, to {family.rated_c:g} degC"


def _contacts() -> str:
    lines = ["Contacts, for `contact` of a plug, a device or one of its pins:"]
    lines += _in_columns({name: _contact(family) for name, family in contact_families().items()})
    return "\n".join(lines)


def _contact(family: ContactFamily) -> str:
    sizes = f"{family.smallest_mm2:g} to {family.largest_mm2:g} mm2"
    sealed = "; may be sealed" if family.sealed_od_mm else ""
    return f"{family.title}; for {sizes}, to {family.amps:g} A{sealed}"


def _uses() -> str:
    lines = ["What follows from what a pin is for (`uses` of a device says otherwise):"]
    for name, kind in built_in().items():
        lines += [f"  {name}:"] if entries(kind).get("uses") else []
        for pattern, follows in entries(entries(kind).get("uses")).items():
            lines.append(f"    {pattern:<20}{flow(follows)}")
    return "\n".join(lines)


def _states() -> str:
    lines = ["Words that may stand for a list of states, wherever a device says when:"]
    return "\n".join([*lines, *(f"  {name}" for name in ("all", *WORDS))])


LISTS: dict[str, Callable[[], str]] = {
    "kinds": _kinds,
    "families": _families,
    "contacts": _contacts,
    "uses of pins": _uses,
    "words for states": _states,
}
