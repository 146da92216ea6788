"""`buildbook show`: what is written in short, written out."""

from __future__ import annotations

import sys
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

from buildbook.commands.print_messages import EPILOG, Unclear, show_problems, vehicle_argument

if TYPE_CHECKING:
    from buildbook.description.read import FolderContents
    from buildbook.description.yaml_reader import Node
    from buildbook.harness.route import Way

SECTIONS = ("devices", "circuits", "cables", "parts")


IDLE = "it would be passed over, and what is shown would not be what was asked for"


@click.command(epilog=EPILOG)
@vehicle_argument
@click.argument("name", required=False)
@click.option("--variant", metavar="NAME", help="Show it in this variant.")
@click.option(
    "--against",
    metavar="NAME",
    help="What this variant, or 'as written', would be built with, and the one shown beside it: "
    "wire by size, copper, drops, sizes, fuses, price, what is to be measured.",
)
@click.option(
    "--all", "everything", is_flag=True, help="With --against: every changed length and drop."
)
@click.option(
    "--format",
    "form",
    type=click.Choice(["text", "json"]),
    default="text",
    show_default=True,
    help="With --against: how to print.",
)
def show(
    vehicle: Path,
    name: str | None,
    variant: str | None,
    against: str | None,
    everything: bool,
    form: str,
) -> None:
    """Write out in full what VEHICLE says in short.

    NAME is a device, a circuit, a feed, a kind, or the name of things that are alike. What you
    did not write yourself is told by what wrote it; of a circuit in which harness it runs, why,
    and which others would do. Without NAME all that was added is listed.

    \b
        buildbook show my-car
        buildbook show my-car fuel-pump
        buildbook show my-car coil
        buildbook show my-car --variant tunnel-panel --against "as written"
    """
    if against is not None:
        from buildbook.commands.against import show_against

        refuse_beside_against(name)
        show_against(vehicle, variant, against, everything, form)
        return
    if everything or form != "text":
        option = "--all" if everything else f"--format {form}"
        raise Unclear(f"{option} goes with --against alone", "leave it out", IDLE)
    from buildbook.description.read import read_folder
    from buildbook.description.suggest import did_you_mean
    from buildbook.description.tree import at

    contents, problems = read_folder(vehicle, variant)
    if contents is None:
        show_problems(problems, vehicle)
        sys.exit(1)
    tree = contents.positions.tree
    sections = {section: at(tree, section) for section in SECTIONS}
    if name is None:
        for line in (*added(sections), *left_out(vehicle, sections, variant)):
            click.echo(line)
        return
    lines = list(shown(name, sections))
    if not lines:
        known = [n for node in sections.values() if node for n in names_of(node)]
        own = [n for node in sections.values() if node for n in own_names_of(node)]
        hint = did_you_mean(name, known, own)
        raise Unclear(f"nothing here is called `{name}`", hint)
    for line in (*lines, *ways_told(contents, called(name, sections["circuits"]))):
        click.echo(line)


def refuse_beside_against(name: str | None) -> None:
    """Raises Unclear where a comparison is asked for of one thing alone."""
    if name is not None:
        raise Unclear(
            f"`{name}` has no meaning beside --against",
            "leave it out: whole vehicles are compared",
            IDLE,
        )


def called(name: str, section: Node | None) -> list[str]:
    """Names of the entries of a section that a name means."""
    from buildbook.description.tree import entries

    return [n for n, e in entries(section).items() if name == n or name in makers_of(e)]


def ways_told(contents: FolderContents, circuits: list[str]) -> Iterator[str]:
    """In which harness each circuit runs, and how it would run in others; nothing where the
    vehicle cannot be joined up yet."""
    from buildbook.harness.choices import ways
    from buildbook.harness.rope import lay_rope
    from buildbook.vehicle.join import join

    vehicle, problems = join(contents) if circuits else (None, [])
    if vehicle is None or problems:
        return
    rope = lay_rope(vehicle)
    for name in circuits:
        found = ways(vehicle, rope, vehicle.circuits[name])
        if not found:
            continue
        why = "as `harness` says" if vehicle.circuits[name].written.harness else why_taken(found)
        yield f"# {name} runs in {way_told(found[0])}: {why}"
        for way in found[1:]:
            yield f"#   with `harness: {way.harness}` it would run in {way_told(way)}"


def why_taken(ways: Sequence[Way]) -> str:
    """Why the first of several ways is the one that is taken."""
    from buildbook.description.move.layout import CROSSING_M
    from buildbook.harness.choices import is_as_long

    if not ways[1:]:
        return "the only way"
    if is_as_long(ways[0], ways[1]):
        return "as short as another, and the first that is described"
    if any(way.route.throughs for way in ways):
        return f"the shortest, where a pass-through counts as {CROSSING_M:g} m"
    return "the shortest way"


def way_told(way: Way) -> str:
    """'main and engine through X1, 2.07 m of rope'."""
    from buildbook.words.joined import all_of

    through = f" through {all_of(way.route.throughs)}" if way.route.throughs else ""
    length = f"{way.rope_m:.2f} m of rope" if way.rope_m else "at one place"
    return f"{all_of(way.harnesses)}{through}, {length}"


def shown(name: str, sections: dict[str, Node | None]) -> Iterator[str]:
    """The entries that a name means, and where the values of their kinds come from."""
    from buildbook.description.as_yaml import as_yaml
    from buildbook.description.expand.kinds import built_in
    from buildbook.description.tree import entries, word

    kinds: dict[str, None] = {}
    for section, node in sections.items():
        found = {n: e for n, e in entries(node).items() if name == n or name in makers_of(e)}
        if found:
            yield f"{section}:"
        for entry_name, entry in found.items():
            yield from as_yaml(entry_name, entry, 1)
            kinds |= dict.fromkeys(k for k in makers_of(entry) if k in built_in())
    for kind in kinds:
        told = built_in()[kind]
        yield f"# kind {kind}: {word(told, 'about')}; {word(told, 'source')}"


def added(sections: dict[str, Node | None]) -> Iterator[str]:
    """All that the author did not write, by what wrote it."""
    from buildbook.description.expand.items import WITHOUT
    from buildbook.description.tree import entries

    made: dict[str, list[str]] = {}
    for section, node in sections.items():
        for name, entry in entries(node).items():
            for maker in all_makers(entry):
                by = "what its pins are for" if maker.startswith("use") else maker
                by = "without a draw or contact of their kind" if maker.startswith(WITHOUT) else by
                made.setdefault(by, []).append(name if section == "devices" else f"`{name}`")
    for by, names in made.items():
        yield f"{by}: {', '.join(dict.fromkeys(names))}"


def left_out(vehicle: Path, sections: dict[str, Node | None], variant: str | None) -> Iterator[str]:
    """What a variant does without: what it names, and what goes along with that."""
    from buildbook.description.read import read_folder
    from buildbook.description.tree import at, entries
    from buildbook.description.variants import AS_WRITTEN

    contents, _ = read_folder(vehicle, AS_WRITTEN) if variant else (None, [])
    for section, node in sections.items() if contents is not None else ():
        whole = entries(at(contents.positions.tree, section)) if contents is not None else {}
        gone = [name for name in whole if name not in entries(node)]
        if gone:
            yield f"variant {variant} goes without {section}: {', '.join(gone)}"


def all_makers(entry: Node) -> list[str]:
    """What wrote an entry or a part of it, as it is told: 'kind fuel pump'."""
    found: dict[str, None] = {}

    def walk(node: Node) -> None:
        if node.added:
            found[node.added] = None
        children = node.value.values() if isinstance(node.value, dict) else node.value
        if isinstance(node.value, (dict, list)):
            for child in children:  # type: ignore[attr-defined]
                walk(child)

    walk(entry)
    return list(found)


def makers_of(entry: Node) -> list[str]:
    """The names of the feeds, kinds and things alike that wrote an entry or a part of it.

    What else may have written a part, such as the use of a pin, has no name to be asked for.
    """
    names = []
    for by in all_makers(entry):
        group, comma, _ = by.partition(", one of ")
        word, _, name = by.partition(" ")
        if comma:
            names.append(group)
        elif word in ("kind", "feed"):
            names.append(name)
    return names


def names_of(node: Node) -> list[str]:
    """What may be asked for in a section."""
    from buildbook.description.tree import entries

    return [n for name, entry in entries(node).items() for n in (name, *makers_of(entry))]


def own_names_of(node: Node) -> list[str]:
    """What the author has named in a section: entries that stand in the files, and feeds and
    things alike in place of what they write."""
    from buildbook.description.tree import entries

    names = []
    for name, entry in entries(node).items():
        maker = entry.added.partition(", one of ")[0].removeprefix("feed ")
        names.append(maker or name)
    return names
