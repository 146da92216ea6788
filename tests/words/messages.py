"""What the program says by its catalogues, found in its source: Python by its syntax, templates.

python -m tests.words.messages [PART-OF-A-PATH]   prints what German lacks, as a catalogue writes it
"""

from __future__ import annotations

import ast
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from jinja2 import nodes

import buildbook
from buildbook.book.resources import template_folder
from buildbook.book.templates import environment
from buildbook.catalogue.load import (
    barrels,
    boots,
    clamps,
    colours,
    contact_families,
    fuse_families,
    sleeves,
    wire_families,
)
from buildbook.checks.likely import likely
from buildbook.checks.listing import what_it_finds
from buildbook.checks.registry import RULES
from buildbook.checks.run import CUSTOM
from buildbook.description.expand import kinds
from buildbook.description.kind_titles import titles
from buildbook.description.models.devices import BASE_KINDS
from buildbook.phone.script_words import said_in, script_files
from buildbook.words.catalogues import catalogue_of

PACKAGE = Path(buildbook.__file__).parent
ONE, COUNTED = ("say", "worded", "mark"), ("say_n", "worded_n", "say_counted")
SILENT = ("commands",)
"""Rooms that speak English to whoever types."""
IN_TEMPLATES = (*ONE, *COUNTED, "gettext", "ngettext", "pgettext", "npgettext")


@dataclass(frozen=True)
class Message:
    """Words that are said, with those for many where they are counted."""

    where: str
    text: str
    many: str = ""
    context: str = ""


def messages() -> list[Message]:
    """Every message of the source, in the order of files and lines."""
    found: list[Message] = []
    for path in sorted(PACKAGE.rglob("*.py")):
        if path.relative_to(PACKAGE).parts[0] not in SILENT:
            found += _of_python(path)
    for path in sorted(template_folder().glob("*.[hc]*")):
        found += _of_template(path)
    return [*found, *_of_script(), *_of_kinds(), *_of_rules(), *_of_likely(), *_of_catalogue()]


def _of_script() -> Iterator[Message]:
    """What the phone edition's script says."""
    for path in script_files():
        script = path.read_text("utf-8")
        for at, context, words in said_in(script):
            where = f"templates/{path.name}:{script.count(chr(10), 0, at) + 1}"
            yield Message(where, words, context=context)


def _of_kinds() -> Iterator[Message]:
    """What devices are by their kinds, what those say of them, and what their pins are for."""
    words = (*BASE_KINDS, *dict.fromkeys(titles().values()), *kinds.printed_words())
    for context, said in ((kinds.CONTEXT, words), (kinds.USE, kinds.known_uses())):
        for text in said:
            yield Message("buildbook/description/kinds", text, context=context)


def _of_rules() -> Iterator[Message]:
    """What each rule looks for, and on whose word, as its module says it."""
    for rule in RULES:
        path = Path(*rule.check.__module__.split(".")).with_suffix(".py")
        yield Message(f"{path}:1", what_it_finds(rule))
        yield Message(f"{path}:1", rule.source.removeprefix(CUSTOM))


def _of_likely() -> Iterator[Message]:
    for source in dict.fromkeys(row.source for row in likely().values()):
        yield Message("buildbook/checks/likely.yaml", source)


def _of_catalogue() -> Iterator[Message]:
    """The titles and sources that the catalogue gives its parts, and the names of its colours."""
    families = (wire_families, contact_families, fuse_families, sleeves, barrels, clamps, boots)
    for load in families:
        for row in load().values():
            yield Message("buildbook/catalogue", row.title)
            yield Message("buildbook/catalogue/source", row.source)
    for name, _ in colours().values():
        yield Message("buildbook/catalogue/colours.yaml", name)
    for family in fuse_families().values():
        for name in family.colours.values():
            yield Message("buildbook/catalogue/fuses.yaml", name)


def _of_python(path: Path) -> Iterator[Message]:
    for call in ast.walk(ast.parse(path.read_text("utf-8"))):
        if not isinstance(call, ast.Call) or not isinstance(call.func, ast.Name):
            continue
        if call.func.id not in (*ONE, *COUNTED):
            continue
        count = 2 if call.func.id in COUNTED else 1
        words = [arg.value if isinstance(arg, ast.Constant) else None for arg in call.args[:count]]
        if len(words) == count and all(isinstance(word, str) for word in words):
            named = {k.arg: k.value for k in call.keywords}
            told = named.get("context")
            context = told.value if isinstance(told, ast.Constant) else ""
            where = f"{path.relative_to(PACKAGE.parent)}:{call.lineno}"
            yield Message(where, words[0], words[1] if count == 2 else "", context)


def _of_template(path: Path) -> Iterator[Message]:
    where = f"templates/{path.name}"
    for call in environment().parse(path.read_text("utf-8")).find_all(nodes.Call):
        name = call.node.name if isinstance(call.node, nodes.Name) else ""
        words = [arg.value if isinstance(arg, nodes.Const) else None for arg in call.args]
        named = {kwarg.key: kwarg.value for kwarg in call.kwargs}
        told = named.get("context")
        context = told.value if isinstance(told, nodes.Const) else ""
        if name in ("pgettext", "npgettext"):
            context = words.pop(0)
        count = 1 if name in (*ONE, "gettext", "pgettext") else 2
        if name not in IN_TEMPLATES or not all(isinstance(word, str) for word in words[:count]):
            continue
        yield Message(f"{where}:{call.lineno}", words[0], words[1] if count == 2 else "", context)


def lacking(code: str = "de") -> list[Message]:
    """Messages that a language has no words for, each once."""
    catalogue = catalogue_of(code)
    once: dict[tuple[str, str], Message] = {}
    for message in messages():
        key = (message.context, message.text)
        known = catalogue.plurals if message.many else catalogue.words
        if key not in known:
            once.setdefault(key, message)
    return list(once.values())


def entry(message: Message) -> str:
    """A message as a catalogue has it, with room for its translation."""
    lines = [f"msgctxt {quoted(message.context)}"] if message.context else []
    lines.append(f"msgid {quoted(message.text)}")
    if message.many:
        lines += [f"msgid_plural {quoted(message.many)}", 'msgstr[0] ""', 'msgstr[1] ""']
    else:
        lines.append('msgstr ""')
    return "\n".join(lines)


def quoted(text: str) -> str:
    escaped = text.replace("\\", "\\\\").replace('"', '\\"').replace("\n", "\\n")
    return f'"{escaped}"'


if __name__ == "__main__":
    chosen = sys.argv[1] if len(sys.argv) > 1 else ""
    for message in lacking():
        if chosen in message.where:
            print(f"# {message.where}\n{entry(message)}\n")
