"""What the book says, in the language of its vehicle, numbers with the language's decimal sign.

Words are written in English where they are said, `say("{name} draws {amps:.1f} A", …)`, and found
in the catalogue of another language by that. Templates say theirs by the same functions.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar

from buildbook.words.catalogues import Catalogue, catalogue_of

ENGLISH = "en"
_LANGUAGE = ContextVar("language", default=ENGLISH)
_UNKNOWN: ContextVar[set[str] | None] = ContextVar("unknown", default=None)


@contextmanager
def in_language(code: str) -> Iterator[None]:
    """Everything that is said within the block is said in this language, such as `de`."""
    before = _LANGUAGE.set(code)
    try:
        yield
    finally:
        _LANGUAGE.reset(before)


@contextmanager
def unknown_words() -> Iterator[set[str]]:
    """Collects what is said within the block and stands in no catalogue of its language."""
    found: set[str] = set()
    before = _UNKNOWN.set(found)
    try:
        yield found
    finally:
        _UNKNOWN.reset(before)


def language() -> str:
    """The code of the language in which is said what is said now."""
    return _LANGUAGE.get()


def say(message: str, /, context: str = "", **values: object) -> str:
    """A message in the language of now, its `{holes}` filled with values as `str.format` does.

    A number whose hole has a format is written with the language's decimal sign. `context` tells
    two meanings of one English word apart.
    """
    return _filled(worded(message, context), values)


def say_n(one: str, many: str, n: int, /, context: str = "", **values: object) -> str:
    """`say` of a count: words for one, or for many, as the language counts; `{n}` is the count."""
    return _filled(worded_n(one, many, n, context), {"n": n, **values})


def say_counted(one: str, many: str, n: int, /, context: str = "", **values: object) -> str:
    """`say_n` whose `{n}` is 'no' where there is none: 'no clamps', '1 clamp', '2 clamps'."""
    count = str(n) if n else say("no", context="a count")
    return _filled(worded_n(one, many, n, context), {"n": count, **values})


def mark(message: str, context: str = "") -> str:
    """The message itself: words that stand in a table of the source, and are said later."""
    return message


def worded(message: str, context: str = "") -> str:
    """A message in the language of now, its holes as they are: for templates, which fill them."""
    catalogue = _catalogue()
    if catalogue is None or not message:
        return message
    found = catalogue.words.get((context, message))
    if found is None:
        _note(message)
        return message
    return found


def worded_n(one: str, many: str, n: int, context: str = "") -> str:
    """The same of a count."""
    catalogue = _catalogue()
    forms = catalogue.plurals.get((context, one)) if catalogue else None
    if catalogue is not None and forms is not None:
        return forms[catalogue.form(n)]
    if catalogue is not None:
        _note(one)
    return one if n == 1 else many


def in_figures(text: str) -> str:
    """A number written with a point, with the decimal sign of the language of now: '0,75'."""
    catalogue = _catalogue()
    return text if catalogue is None else text.replace(".", catalogue.decimal_sign)


def _catalogue() -> Catalogue | None:
    code = _LANGUAGE.get()
    return None if code == ENGLISH else catalogue_of(code)


def _filled(message: str, values: Mapping[str, object]) -> str:
    """A message with its holes filled; without values braces stand for themselves."""
    if not values:
        return message
    catalogue = _catalogue()
    if catalogue is None:
        return message.format(**values)
    return catalogue.filler.vformat(message, (), values)


def _note(message: str) -> None:
    unknown = _UNKNOWN.get()
    if unknown is not None:
        unknown.add(message)
