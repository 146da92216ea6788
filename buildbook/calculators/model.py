"""What a calculator is: the inputs it asks for, and the working that it gives back."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True)
class Reader:
    """How the text of one input becomes a value; `read` raises ValueError with the reason."""

    placeholder: str
    """What stands for it in the help: CURRENT, LENGTH, …"""
    unit: str
    """Of the value as read; '' where it is a name, a list or a bare number."""
    read: Callable[[str], Any]


@dataclass(frozen=True)
class Input:
    """One thing a calculator asks; without `default` it must be given unless `optional`."""

    name: str
    reader: Reader
    help: str
    default: str = ""
    optional: bool = False


@dataclass(frozen=True)
class Given:
    """An input with its value, and whether it was assumed because nothing was written."""

    input: Input
    text: str
    value: Any
    assumed: bool


@dataclass(frozen=True)
class Mistake:
    """What is wrong with an input (an option's name), why it matters, and what to try."""

    about: str
    what: str
    why: str = ""
    hint: str = ""


@dataclass(frozen=True)
class Amount:
    """A number with its unit, '' for a bare number, and the digits that are worth showing."""

    value: float
    unit: str = ""
    digits: int = 4


@dataclass(frozen=True)
class Step:
    """One line of the working: the formula in words, and the same with its numbers put in.

    `put_in` holds a `{}` for each of `numbers`.
    """

    what: str
    formula: str
    put_in: str
    numbers: tuple[Amount, ...]
    result: Amount
    source: str


@dataclass(frozen=True)
class Table:
    """Rows that stand side by side, such as every size that was tried."""

    title: str
    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True)
class Answer:
    """A named result: an amount, or words."""

    name: str
    value: Amount | str


@dataclass(frozen=True)
class Working:
    """How an answer was reached.

    `assumed` says what was taken that no option shows; `unused` names inputs that had no part.
    """

    steps: tuple[Step, ...]
    answers: tuple[Answer, ...]
    tables: tuple[Table, ...] = ()
    assumed: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    unused: frozenset[str] = frozenset()

    @property
    def sources(self) -> tuple[str, ...]:
        """Where the formulas and figures come from, each once, in the order of the steps."""
        return tuple(dict.fromkeys(step.source for step in self.steps))


@dataclass(frozen=True)
class Calculator:
    """A calculator: `work` takes the values by input name and gives a working or the mistakes."""

    name: str
    teaches: str
    """One line for the list."""
    about: str
    """What it does and when to use it."""
    example: str
    """Words that run after `buildbook calc NAME`."""
    inputs: tuple[Input, ...]
    work: Callable[[Mapping[str, Any]], Working | tuple[Mistake, ...]]
