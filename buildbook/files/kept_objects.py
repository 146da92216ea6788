"""Objects that were worked out once, kept as all is that is kept, and read without trust."""

from __future__ import annotations

import io
import pickle
import sys
import zlib
from collections.abc import Callable
from dataclasses import is_dataclass
from datetime import date
from decimal import Decimal
from typing import Any, TypeVar

from pydantic import BaseModel

from buildbook.files import kept

Found = TypeVar("Found")

PLAIN: dict[tuple[str, str], type] = {
    ("builtins", "frozenset"): frozenset,
    ("builtins", "set"): set,
    ("builtins", "complex"): complex,
    ("datetime", "date"): date,
    ("decimal", "Decimal"): Decimal,
}
"""What is read beside the program's own data, numbers and texts."""
OURS = __name__.partition(".")[0] + "."
SPOILT = (
    pickle.UnpicklingError,
    zlib.error,
    EOFError,
    AttributeError,
    ImportError,
    IndexError,
    KeyError,
    TypeError,
    ValueError,
)
"""What reading a file that is none of ours may raise."""


def once(key: str, work: Callable[[], Found]) -> Found:
    """What was kept under `key`; where nothing is, what `work` gives, which is kept then.

    With an empty key nothing is looked for or kept. What it gives are frozen dataclasses of this
    program, models of the description, and plain containers, numbers and texts.
    """
    if not key:
        return work()
    held: Found | None = find(key)
    if held is not None:
        return held
    made = work()
    put(key, made)
    return made


def find(key: str) -> Any:
    """What was kept under a name; None where nothing is, or what cannot be read."""
    content = kept.find(key)
    if content is None:
        return None
    try:
        return _Reader(io.BytesIO(zlib.decompress(content))).load()
    except SPOILT:
        return None


def put(key: str, made: object) -> None:
    """Keep data under a name, and no more in all than may be kept."""
    kept.keep(key, zlib.compress(pickle.dumps(made, pickle.HIGHEST_PROTOCOL), 1))
    kept.trim()


class _Reader(pickle.Unpickler):
    """Makes data only: a file that was tampered with finds no function to call."""

    def find_class(self, module: str, name: str) -> type:
        """A class of data; UnpicklingError for all else."""
        plain = PLAIN.get((module, name))
        if plain is not None:
            return plain
        if module.startswith(OURS):
            __import__(module)
            found = getattr(sys.modules[module], name, None)
            if isinstance(found, type) and (is_dataclass(found) or issubclass(found, BaseModel)):
                return found
        raise pickle.UnpicklingError(f"{module}.{name} is no data")
