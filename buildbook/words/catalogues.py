"""Catalogues of other languages: gettext's `.po` files, a folder for each language."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from decimal import Decimal
from functools import cache
from gettext import c2py
from pathlib import Path
from string import Formatter
from typing import TypeVar

FOLDER = Path(__file__).parent
LANGUAGES = ("en", "de")
"""English is what everything is written in; the others are folders here."""
Said = tuple[str, str]
"""Context and English words."""
Form = TypeVar("Form", str, tuple[str, ...])


class _Filler(Formatter):
    """Fills holes; numbers of a hole that has a format get a decimal sign."""

    def __init__(self, decimal_sign: str) -> None:
        self._decimal_sign = decimal_sign

    def format_field(self, value: object, format_spec: str) -> str:
        text: str = super().format_field(value, format_spec)
        if format_spec and isinstance(value, float | Decimal):
            return text.replace(".", self._decimal_sign)
        return text


class Catalogue:
    """Everything that is said, in one language."""

    def __init__(
        self,
        words: Mapping[Said, str],
        plurals: Mapping[Said, tuple[str, ...]],
        decimal_sign: str,
        form: Callable[[int], int],
    ) -> None:
        """`form` gives which of a message's plural forms goes with a count."""
        self.words, self.plurals = words, plurals
        self.decimal_sign, self.form = decimal_sign, form
        self.filler = _Filler(decimal_sign)


@cache
def catalogue_of(code: str) -> Catalogue:
    """The catalogue of a language, all its files together.

    Raises ValueError where two files say the same words differently.
    """
    from babel.messages.pofile import read_po
    from babel.numbers import get_decimal_symbol

    words: dict[Said, str] = {}
    plurals: dict[Said, tuple[str, ...]] = {}
    for path in sorted((FOLDER / code).glob("*.po")):
        with path.open("rb") as file:
            found = read_po(file, locale=code)
        for message in (message for message in found if message.id):
            context = message.context or ""
            if isinstance(message.id, str):
                _enter(words, (context, message.id), str(message.string), path)
            else:
                _enter(plurals, (context, message.id[0]), tuple(message.string or ()), path)
    return Catalogue(words, plurals, get_decimal_symbol(code), c2py(found.plural_expr))


def _enter(into: dict[Said, Form], key: Said, said: Form, path: Path) -> None:
    """Enter what is translated; what is not yet stands in a file with nothing below it."""
    if not said or not all(said):
        return
    if into.setdefault(key, said) != said:
        raise ValueError(f"{path.name} says “{key[1]}” otherwise than another file")
