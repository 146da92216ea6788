"""A problem in what the user wrote, and where it stands."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any


@dataclass(frozen=True, order=True)
class Where:
    """A place in the vehicle folder; line and column count from 1."""

    file: str
    line: int = 1
    column: int = 1

    def __str__(self) -> str:
        return f"{self.file}:{self.line}:{self.column}"


@dataclass(frozen=True, order=True)
class Problem:
    """What is wrong, why it matters, and what to try."""

    where: Where
    what: str
    why: str = ""
    hint: str = ""
    mends: tuple[tuple[str, tuple[Any, ...]], ...] = field(default=(), compare=False)
    """Ways to mend it in words, the likeliest first, with the edits of each, to be tried."""
