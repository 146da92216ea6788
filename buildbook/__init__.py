"""buildbook turns one description of a vehicle into a printable build book.

From Python: `read` a folder, `solve` it, ask the result, `draw` it, `make` the book.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from buildbook.api import Unusable as Unusable
    from buildbook.api import draw as draw
    from buildbook.api import read as read
    from buildbook.api import size as size
    from buildbook.api import solve as solve

__version__ = "0.1.0"

STABLE = ("Unusable", "draw", "read", "size", "solve")
"""Names that stay as they are; everything else may move."""


def __getattr__(name: str) -> Any:
    """The stable names, each fetched when it is first asked for: the commands start fast."""
    if name in STABLE:
        return getattr(import_module("buildbook.api"), name)
    raise AttributeError(f"module 'buildbook' has no attribute '{name}'")


def __dir__() -> list[str]:
    return sorted([*globals(), *STABLE])
